"""What a battery gives: volts at rest by charge, resistance, frost, and the cut-off of lithium."""

from __future__ import annotations

from functools import lru_cache

from diag.physics.interpolation import along
from diag.physics.supply.charge import Chemistry, capacity_factor, resistance_factor
from diag.physics.supply.frost import LITHIUM_COLDEST_C, freezing_point_c
from diag.workshop.amount import OPEN_OHM
from diag.workshop.parts.supply import BatteryPart

# Volts of 12 V at rest by charge. Flooded: Bode's electrode formulas and the BCI-derived table
# agree to 0.02 V; AGM and gel: middle of tables that are 0.15 to 0.3 V apart; LiFePO4: four
# cells, flat from 20 to 80 %. Below 5 % the volts collapse (memory).
_REST_V = {
    "flooded": ((0.0, 10.8), (0.03, 11.7), (0.1, 11.95), (0.25, 12.06), (0.5, 12.24),
                (0.75, 12.45), (1.0, 12.65)),
    "AGM": ((0.0, 10.8), (0.03, 11.7), (0.1, 11.9), (0.25, 12.1), (0.5, 12.36), (0.75, 12.6),
            (1.0, 12.9)),
    "gel": ((0.0, 10.8), (0.03, 11.7), (0.1, 11.9), (0.25, 12.05), (0.5, 12.35), (0.75, 12.6),
            (1.0, 12.85)),
    "LiFePO4": ((0.0, 10.0), (0.05, 12.2), (0.1, 12.8), (0.2, 13.08), (0.8, 13.28), (0.95, 13.35),
                (1.0, 13.5)),
}  # fmt: skip

_ICE = 25.0  # times the resistance: memory, no published number
POLARISATION_S = 45.0  # memory: volts settle within a minute or two of a load
LITHIUM_CUT_OFF_V = 10.0  # 2.5 V a cell, two makers' pages


def _blocks(battery: BatteryPart) -> float:
    return battery.nominal_v / 12.0


def rest_v(battery: BatteryPart) -> float:
    """Give the volts at rest, all polarisation gone."""
    return along(_REST_V[battery.kind], battery.charge) * _blocks(battery)


def freezes_at_c(battery: BatteryPart) -> float:
    """Give the temperature (C) at which the electrolyte begins to freeze; lithium never does."""
    if battery.kind == "LiFePO4":
        return -273.0
    return freezing_point_c(battery.charge * 100.0)


def frozen(battery: BatteryPart) -> bool:
    """Say whether there is ice in it."""
    return battery.temperature_c <= freezes_at_c(battery)


def shut_off(battery: BatteryPart, terminal_v: float) -> bool:
    """Say whether a lithium battery's own management has cut it off, by its volts under load."""
    if battery.kind != "LiFePO4":
        return False
    low = terminal_v < LITHIUM_CUT_OFF_V * _blocks(battery)
    return low or battery.temperature_c < LITHIUM_COLDEST_C


@lru_cache(maxsize=64)
def _grown(battery: BatteryPart) -> float:
    """Give by how much cold, emptiness and ice raise the resistance (`physics.charge`)."""
    chemistry: Chemistry = battery.kind  # type: ignore[assignment]
    cold = min(60.0, max(-30.0, battery.temperature_c))
    factor = resistance_factor(chemistry, cold, battery.charge * 100.0)
    return factor * (_ICE if frozen(battery) else 1.0)


def resistance_ohm(battery: BatteryPart) -> float:
    """Give the resistance that shows at once."""
    if shut_off(battery, rest_v(battery)):
        return OPEN_OHM
    return battery.resistance_ohm * _blocks(battery) * _grown(battery) / battery.health


def polarisation_ohm(battery: BatteryPart) -> float:
    """Give the further resistance that shows within a minute; worn plates have much of it."""
    worn = float(battery.health**-1.6)
    return 0.8 * battery.resistance_ohm * _blocks(battery) * _grown(battery) * worn


def usable_ah(battery: BatteryPart) -> float:
    """Give the charge (Ah) between full and empty of the battery as it is."""
    chemistry: Chemistry = battery.kind  # type: ignore[assignment]
    cold = min(60.0, max(-30.0, battery.temperature_c))
    return battery.capacity_ah * battery.health * capacity_factor(chemistry, cold)


def may_charge(battery: BatteryPart) -> bool:
    """Say whether charging current is let in: ice and lithium below 0 C bar it."""
    if battery.kind == "LiFePO4":
        return battery.temperature_c >= 0.0
    return not frozen(battery)
