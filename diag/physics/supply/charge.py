"""How full a battery is, as a band from its rested volts, and what cold and emptiness cost."""

from types import MappingProxyType
from typing import Literal

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, above, between, celsius, one_of
from diag.physics.interpolation import along

Chemistry = Literal["flooded", "AGM", "gel", "LiFePO4"]
CHEMISTRIES: tuple[Chemistry, ...] = ("flooded", "AGM", "gel", "LiFePO4")

# Rested volts of a 12 V battery by percent of charge, and how far tables disagree.
# Flooded: memory of tables of open-circuit volts, which differ by up to 0.1 V.
# AGM and gel: memory of such tables, which differ by up to 0.15 V.
REST_VOLTS = MappingProxyType(
    {
        "flooded": ((0.0, 11.89), (25.0, 12.06), (50.0, 12.24), (75.0, 12.45), (100.0, 12.65)),
        "AGM": ((0.0, 11.80), (25.0, 12.00), (50.0, 12.30), (75.0, 12.60), (100.0, 12.80)),
        "gel": ((0.0, 11.80), (25.0, 12.00), (50.0, 12.35), (75.0, 12.65), (100.0, 12.85)),
        "LiFePO4": (
            (0.0, 10.0), (10.0, 12.0), (20.0, 12.8), (30.0, 13.0), (40.0, 13.2), (70.0, 13.3),
            (90.0, 13.4), (99.0, 13.6),
        ),
    }
)  # fmt: skip
TABLE_SPREAD_V = MappingProxyType({"flooded": 0.10, "AGM": 0.15, "gel": 0.15})

# Charts for LiFePO4 disagree by up to 0.4 V and put 13.2 V anywhere from 40 to 80 %.
LIFEPO4_FLAT_V = (13.0, 13.35)
LIFEPO4_BANDS = ((12.0, 0.0, 10.0), (12.8, 0.0, 25.0), (13.0, 10.0, 40.0), (14.7, 70.0, 100.0))

# Hours without charge or load before volts mean anything: common practice, from memory.
REST_HOURS = MappingProxyType({"flooded": 4.0, "AGM": 4.0, "gel": 4.0, "LiFePO4": 1.0})

# Resistance against that at 25 C and full, and capacity against that at 25 C:
# common practice, from memory, good to about a fifth of the rise.
RESISTANCE_BY_COLD = MappingProxyType(
    {
        "lead": ((-30.0, 2.5), (-20.0, 1.9), (-10.0, 1.55), (0.0, 1.3), (25.0, 1.0), (40.0, 0.95)),
        "lithium": ((-30.0, 5.5), (-20.0, 4.0), (-10.0, 2.5), (0.0, 1.8), (25.0, 1.0), (40.0, 0.9)),
    }
)
RESISTANCE_BY_CHARGE = MappingProxyType(
    {
        "lead": ((0.0, 3.0), (10.0, 2.2), (25.0, 1.6), (50.0, 1.25), (100.0, 1.0)),
        "lithium": ((0.0, 2.0), (10.0, 1.3), (25.0, 1.05), (50.0, 1.0), (100.0, 1.0)),
    }
)
CAPACITY_BY_COLD = MappingProxyType(
    {
        "lead": ((-30.0, 0.45), (-20.0, 0.6), (-10.0, 0.72), (0.0, 0.82), (10.0, 0.9), (25.0, 1.0)),
        "lithium": ((-30.0, 0.5), (-20.0, 0.65), (-10.0, 0.8), (0.0, 0.9), (25.0, 1.0)),
    }
)


@frozen
class ChargeBand:
    """Hold the lowest and highest percent of charge that rested volts allow."""

    low_percent: float
    high_percent: float


@frozen
class NoChargeBand:
    """Hold why rested volts cannot tell the charge here."""

    reason: str


def _family(chemistry: Chemistry) -> str:
    one_of("chemistry", chemistry, CHEMISTRIES)
    return "lithium" if chemistry == "LiFePO4" else "lead"


def charge_band(
    rested_v: float, chemistry: Chemistry, hours_rested: float, nominal_v: float = 12.0
) -> ChargeBand | NoChargeBand:
    """Give the band of charge (%) that rested volts (V) allow, or why they cannot tell.

    `nominal_v` is 12, 24, 36 or 48. Source: BCI-derived and makers' tables with the spread
    between them (from memory), for LiFePO4 bands only since no standard exists. Raises
    `PhysicsError` for volts outside 0 to 16 per 12 V or an unknown chemistry.

    >>> charge_band(12.24, "flooded", hours_rested=12.0)
    ChargeBand(low_percent=36.0, high_percent=62.0)
    >>> charge_band(13.2, "LiFePO4", hours_rested=12.0).reason
    'LiFePO4 stays between 13 and 13.35 V from about 30 to 90 %, so 13.2 V cannot tell'
    """
    one_of("chemistry", chemistry, CHEMISTRIES)
    if nominal_v not in (12.0, 24.0, 36.0, 48.0):
        raise PhysicsError(f"`nominal voltage` is {nominal_v:g} V: expected 12, 24, 36 or 48 V")
    blocks = nominal_v / 12.0
    between("volts at rest", rested_v, "V", least=0.0, most=16.0 * blocks)
    between("hours rested", hours_rested, "h", least=0.0, most=100000.0)
    least_h = REST_HOURS[chemistry]
    if hours_rested < least_h:
        return NoChargeBand(
            f"{chemistry} needs {least_h:g} h without charge or load before its volts tell the "
            f"charge, and it had {hours_rested:g} h"
        )
    if chemistry == "LiFePO4":
        return _lifepo4_band(rested_v / blocks)
    return _lead_band(rested_v / blocks, chemistry)


def _lead_band(volts_v: float, chemistry: Chemistry) -> ChargeBand | NoChargeBand:
    table = tuple((volts, percent) for percent, volts in REST_VOLTS[chemistry])
    spread_v = TABLE_SPREAD_V[chemistry]
    if volts_v > table[-1][0] + 3 * spread_v:
        return NoChargeBand(
            f"{volts_v:.4g} V per 12 V is above any rested {chemistry} battery: take the charger "
            "off and let it rest"
        )
    low, high = along(table, volts_v - spread_v), along(table, volts_v + spread_v)
    return ChargeBand(float(round(low)), float(round(high)))


def _lifepo4_band(volts_v: float) -> ChargeBand | NoChargeBand:
    flat_low, flat_high = LIFEPO4_FLAT_V
    if flat_low <= volts_v <= flat_high:
        return NoChargeBand(
            f"LiFePO4 stays between {flat_low:g} and {flat_high:g} V from about 30 to 90 %, "
            f"so {volts_v:.4g} V cannot tell"
        )
    for ceiling_v, low, high in LIFEPO4_BANDS:
        if volts_v <= ceiling_v:
            return ChargeBand(low, high)
    return NoChargeBand(
        f"{volts_v:.4g} V per 12 V is above any rested LiFePO4 battery: take the charger off and "
        "let it rest"
    )


def rest_volts_v(chemistry: Chemistry, charge_percent: float, nominal_v: float = 12.0) -> float:
    """Give the rested volts (V) to expect at a charge (%).

    Source: as for `charge_band`, good to 0.1 V at best. Raises `PhysicsError` for a percent
    outside 0 to 100.

    >>> rest_volts_v("flooded", 75.0)
    12.45
    """
    one_of("chemistry", chemistry, CHEMISTRIES)
    between("charge", charge_percent, "%", least=0.0, most=100.0)
    above("nominal voltage", nominal_v, "V", most=48.0)
    return along(REST_VOLTS[chemistry], charge_percent) * (nominal_v / 12.0)


def resistance_factor(
    chemistry: Chemistry, temperature_c: float, charge_percent: float = 100.0
) -> float:
    """Give a battery's resistance against that at 25 C and full, by temperature (C) and %.

    Source: common practice, from memory. Raises `PhysicsError` outside -30 to 60 C or 0 to
    100 %.

    >>> round(resistance_factor("flooded", -20.0, 50.0), 3)
    2.375
    """
    family = _family(chemistry)
    celsius("battery temperature", temperature_c, least=-30.0, most=60.0)
    between("charge", charge_percent, "%", least=0.0, most=100.0)
    cold = along(RESISTANCE_BY_COLD[family], temperature_c)
    return cold * along(RESISTANCE_BY_CHARGE[family], charge_percent)


def capacity_factor(chemistry: Chemistry, temperature_c: float) -> float:
    """Give the share of its 25 C capacity that a battery gives at a temperature (C).

    Source: common practice, from memory. Raises `PhysicsError` outside -30 to 60 C.

    >>> capacity_factor("AGM", 0.0)
    0.82
    """
    family = _family(chemistry)
    celsius("battery temperature", temperature_c, least=-30.0, most=60.0)
    return along(CAPACITY_BY_COLD[family], temperature_c)
