"""An independent battery: PyBaMM's lead-acid model (skipped where it is not installed).

Its terminals do not follow a straight line: the reaction's share of the resistance shrinks as the
current grows. So a line through two loads holds near and between them, and not far outside;
both are tested.
"""

import os
from functools import cache

import pytest

from diag.physics.supply.battery import LoadPoint, source_from_loads, terminal_volts_v

os.environ.setdefault("PYBAMM_DISABLE_TELEMETRY", "true")
pybamm = pytest.importorskip("pybamm")

SETTLED_S = 5.0


@cache
def simulated_volts(current_a: float) -> float:
    """Give the volts of PyBaMM's 17 Ah, 12 V lead-acid battery after 5 s at a current (A)."""
    model = pybamm.lead_acid.Full()
    values = model.default_parameter_values
    values["Current function [A]"] = current_a
    solution = pybamm.Simulation(model, parameter_values=values).solve([0.0, 20.0])
    return float(solution["Battery voltage [V]"](SETTLED_S))


def current_by_line(first: float, second: float, third: float) -> float:
    """Give the current at which the line through two loads has the third's volts."""
    battery = source_from_loads([LoadPoint(a, simulated_volts(a)) for a in (first, second)])
    return (battery.emf_v - simulated_volts(third)) / battery.resistance_ohm


@pytest.mark.parametrize(
    ("first", "second", "third"), [(4.0, 10.0, 7.0), (7.0, 17.0, 10.0), (10.0, 25.0, 17.0)]
)
def test_two_loads_predict_a_current_between(first: float, second: float, third: float) -> None:
    """Two loads up to 2.5 times apart predict a current between them within 5 %."""
    assert third == pytest.approx(current_by_line(first, second, third), rel=0.05)
    battery = source_from_loads([LoadPoint(a, simulated_volts(a)) for a in (first, second)])
    at_terminals = terminal_volts_v(battery.emf_v, battery.resistance_ohm, third)
    assert simulated_volts(third) == pytest.approx(at_terminals, abs=0.02)


def test_light_loads_do_not_predict_a_heavy_one() -> None:
    """Far beyond its loads the line errs to the safe side: it foretells too few volts."""
    battery = source_from_loads([LoadPoint(a, simulated_volts(a)) for a in (4.0, 10.0)])
    foretold = terminal_volts_v(battery.emf_v, battery.resistance_ohm, 34.0)
    assert foretold < simulated_volts(34.0) - 0.1
    assert 34.0 != pytest.approx(current_by_line(4.0, 10.0, 34.0), rel=0.05)
