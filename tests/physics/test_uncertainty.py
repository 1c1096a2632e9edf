"""Errors against `uncertainties`, a Monte Carlo with a fixed seed, and laws."""

from collections.abc import Callable, Sequence
from math import hypot, sqrt
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat, wrap

from diag.physics.combustion.carbon_monoxide import mg_per_m3_from_ppm
from diag.physics.combustion.flue import siegert_loss_from_o2
from diag.physics.combustion.fuel import pump_power_kw
from diag.physics.heat.air import air_heat_from_centre_kw
from diag.physics.heat.balance import efficiency_percent
from diag.physics.supply.battery import appliance_volts_v, internal_resistance_ohm
from diag.physics.supply.cable import circuit_resistance_ohm
from diag.physics.supply.conductor import temperature_factor
from diag.physics.uncertainty import error_budget, instrument_error, margin_verdict, propagate


def efficiency(
    centre: float, bore: float, inlet: float, outlet: float, rate: float, dose: float
) -> float:
    """Chain the whole heat balance, from meters to percent."""
    heat = air_heat_from_centre_kw(centre, bore, inlet, outlet)
    return efficiency_percent(heat, pump_power_kw(rate, dose))


Case = tuple[Callable[..., float], Sequence[float], Sequence[float]]
CASES: list[Case] = [
    (internal_resistance_ohm, (5.0, 12.55, 25.0, 12.20), (0.05, 0.01, 0.25, 0.01)),
    (appliance_volts_v, (12.6, 0.01, 10.0, 0.08), (0.02, 0.001, 0.2, 0.004)),
    (circuit_resistance_ohm, (5.0, 3.0, 20.0), (0.1, 0.05, 3.0)),
    (temperature_factor, (0.0,), (2.0,)),
    (air_heat_from_centre_kw, (12.5, 60.0, 18.0, 105.0), (0.4, 0.5, 1.0, 1.5)),
    (siegert_loss_from_o2, (300.0, 15.0, 8.0), (5.0, 1.0, 0.3)),
    (mg_per_m3_from_ppm, (30.0, 20.0), (3.0, 1.0)),
    (efficiency, (12.5, 60.0, 18.0, 105.0, 5.0, 0.02), (0.4, 0.5, 1.0, 1.5, 0.05, 0.0004)),
]


@pytest.mark.parametrize(("function", "values", "errors"), CASES)
def test_first_order_against_uncertainties(
    function: Callable[..., float], values: Sequence[float], errors: Sequence[float]
) -> None:
    """`uncertainties` finds the same error from the same function, within 0.01 %."""
    theirs = wrap(function)(*(ufloat(v, e) for v, e in zip(values, errors, strict=True)))
    value, error = propagate(function, values, errors)
    assert theirs.nominal_value == pytest.approx(value, rel=1e-12)
    assert theirs.std_dev == pytest.approx(error, rel=1e-4)


@pytest.mark.parametrize(("function", "values", "errors"), CASES)
def test_monte_carlo(
    function: Callable[..., float], values: Sequence[float], errors: Sequence[float]
) -> None:
    """Ten thousand throws with a fixed seed scatter as the error says, within 5 %."""
    random = Random(20)
    throws = [
        function(*(random.gauss(v, e) for v, e in zip(values, errors, strict=True)))
        for _ in range(10000)
    ]
    mean = sum(throws) / len(throws)
    scatter = sqrt(sum((throw - mean) ** 2 for throw in throws) / (len(throws) - 1))
    value, error = propagate(function, values, errors)
    assert scatter == pytest.approx(error, rel=0.05)
    assert value == pytest.approx(mean, abs=error / 10)


def test_heat_balance_is_known_to_about_4_points() -> None:
    """With usual meters the worked heat balance is known to 3 to 5 points, the air worst."""
    function, values, errors = CASES[-1]
    budget = error_budget(function, values, errors)
    assert 3.0 <= budget.error <= 5.0
    assert budget.worst == 0


def test_budget_names_the_worst_input() -> None:
    """For u / i the larger relative error contributes most (hand-worked: 0.03 and 0.15)."""
    budget = error_budget(lambda u, i: u / i, (12.0, 4.0), (0.12, 0.2))
    assert pytest.approx((0.03, 0.15), rel=1e-6) == budget.contributions
    assert budget.worst == 1
    assert pytest.approx(hypot(0.03, 0.15), rel=1e-6) == budget.error


def test_no_error_has_no_worst() -> None:
    """Exact readings give an exact result, and nobody is to blame."""
    budget = error_budget(lambda a, b: a * b, (2.0, 3.0), (0.0, 0.0))
    assert (6.0, 0.0, None) == (budget.value, budget.error, budget.worst)


def test_edge_of_a_range_is_one_sided() -> None:
    """At the edge of what a formula accepts, the slope is taken from inside (Ohm's law)."""
    value, error = propagate(appliance_volts_v, (12.6, 0.01, 0.0, 0.08), (0.0, 0.0, 0.5, 0.0))
    assert value == 12.6
    assert pytest.approx(0.09 * 0.5, rel=1e-5) == error


@given(
    st.lists(st.tuples(st.floats(-50, 50), st.floats(0, 5)), min_size=1, max_size=5),
    st.floats(0.1, 10),
)
def test_sums_add_in_quadrature(terms: list[tuple[float, float]], scale: float) -> None:
    """A scaled sum has the scaled root of the sum of squares (GUM, JCGM 100:2008, 5.1.2)."""
    values, errors = zip(*terms, strict=True)
    _, error = propagate(lambda *parts: scale * sum(parts), values, errors)
    assert pytest.approx(scale * hypot(*errors), rel=1e-4, abs=1e-9) == error


@pytest.mark.parametrize(
    ("reading", "percent", "digits", "resolution", "error"),
    [(12.6, 0.5, 2, 0.01, 0.083), (-12.6, 0.5, 2, 0.01, 0.083), (0.0, 2.0, 3, 0.1, 0.3)],
)
def test_meter_error(
    reading: float, percent: float, digits: float, resolution: float, error: float
) -> None:
    """A meter errs by percent of its reading and some of its last digits (arithmetic)."""
    assert error == pytest.approx(instrument_error(reading, percent, digits, resolution))


@pytest.mark.parametrize(
    ("margin", "error", "verdict"),
    [
        (0.3, 0.1, "clear yes"),
        (-0.3, 0.1, "clear no"),
        (0.05, 0.1, "cannot tell"),
        (-0.05, 0.1, "cannot tell"),
        (0.0, 0.0, "clear yes"),
        (-0.001, 0.0, "clear no"),
    ],
)
def test_verdict(margin: float, error: float, verdict: str) -> None:
    """A margin inside its error decides nothing."""
    assert verdict == margin_verdict(margin, error)
