"""What frost does to a battery: where lead's acid freezes, where lithium gives no more."""

from diag.physics.errors import between, celsius, one_of
from diag.physics.interpolation import along
from diag.physics.supply.charge import CHEMISTRIES, Chemistry

# Freezing point (C) by percent of charge, flooded, 1.265 when full: US Army TM
# 5-3820-256-24-4 Table 2. The acid of AGM and gel is stronger and freezes a little lower.
FREEZES_C = ((0.0, -9.4), (25.0, -15.0), (50.0, -26.1), (75.0, -37.2), (100.0, -59.5))
ICE_MARGIN_K = 3.0  # an error of 0.01 in the acid's density is 2 to 3 K
LITHIUM_COLDEST_C = -20.0  # to which manuals allow discharge (two manuals, from memory)


def freezing_point_c(charge_percent: float) -> float:
    """Give the temperature (C) at which the acid of a lead battery freezes at a charge (%).

    Source: US Army TM 5-3820-256-24-4 Table 2, linear between its rows. Raises `PhysicsError`
    outside 0 to 100 %.

    >>> freezing_point_c(25.0)
    -15.0
    """
    between("charge", charge_percent, "%", least=0.0, most=100.0)
    return along(FREEZES_C, charge_percent)


def coldest_bearable_c(chemistry: Chemistry, charge_percent: float) -> float:
    """Give how cold (C) a battery at a charge (%) may be and still be loaded.

    Lead: 3 K above its freezing point; LiFePO4: -20 C, where its management may cut it off
    (from memory). Raises `PhysicsError` outside 0 to 100 % or for an unknown chemistry.

    >>> round(coldest_bearable_c("flooded", 50.0), 1), coldest_bearable_c("LiFePO4", 50.0)
    (-23.1, -20.0)
    """
    one_of("chemistry", chemistry, CHEMISTRIES)
    if chemistry == "LiFePO4":
        between("charge", charge_percent, "%", least=0.0, most=100.0)
        return LITHIUM_COLDEST_C
    return freezing_point_c(charge_percent) + ICE_MARGIN_K


def may_be_frozen(chemistry: Chemistry, temperature_c: float, charge_percent: float) -> bool:
    """Say whether there may be ice in a battery at a temperature (C) and a charge (%).

    Source: as for `coldest_bearable_c`; LiFePO4 has no water to freeze. Raises `PhysicsError`
    as it does, or below absolute zero.

    >>> may_be_frozen("flooded", -20.0, 21.0), may_be_frozen("flooded", -20.0, 75.0)
    (True, False)
    """
    celsius("battery temperature", temperature_c)
    coldest_c = coldest_bearable_c(chemistry, charge_percent)
    return chemistry != "LiFePO4" and temperature_c <= coldest_c
