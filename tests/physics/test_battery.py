"""A battery by load steps: worked numbers, the half-crank table, and laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.supply.battery import (
    COLD_CRANK_RATINGS,
    LoadPoint,
    appliance_volts_v,
    half_crank_minimum_v,
    half_crank_test,
    internal_resistance_ohm,
    short_circuit_current_a,
    source_from_loads,
    terminal_volts_v,
)


@pytest.mark.parametrize(
    ("loads", "ohm", "emf", "short"),
    [
        ((50.0, 12.35, 250.0, 11.55), 0.004, 12.55, 3137.5),
        ((0.0, 12.6, 100.0, 12.0), 0.006, 12.6, 2100.0),
    ],
)
def test_two_load_algebra(
    loads: tuple[float, float, float, float], ohm: float, emf: float, short: float
) -> None:
    """Two loads give resistance, volts and short circuit (IEC 60896-21 cl. 6.3, from memory)."""
    first_a, first_v, second_a, second_v = loads
    fitted = source_from_loads((LoadPoint(first_a, first_v), LoadPoint(second_a, second_v)))
    assert pytest.approx(ohm) == internal_resistance_ohm(*loads)
    assert pytest.approx(emf) == fitted.emf_v
    assert pytest.approx(short) == short_circuit_current_a(*loads)
    by_clause = (first_v * second_a - second_v * first_a) / (first_v - second_v)
    assert pytest.approx(by_clause) == short_circuit_current_a(*loads)


def test_published_resistance_of_a_dry_cell() -> None:
    """8.8 V falling to 10 ohm x 0.62 A has 4.2 ohm inside (f-alpha.net, experiment 13)."""
    measured = internal_resistance_ohm(0.0, 8.8, 0.62, 10 * 0.62)
    assert pytest.approx(4.2, abs=0.02) == measured


def test_order_of_loads_does_not_matter() -> None:
    """The larger load may be taken first."""
    assert internal_resistance_ohm(50, 12.35, 250, 11.55) == internal_resistance_ohm(
        250, 11.55, 50, 12.35
    )


def test_three_loads_by_least_squares() -> None:
    """Three loads off a line give the regression line and its misfit (hand-worked)."""
    # Currents 0, 10, 20; volts 12.6, 12.4, 12.3: slope -0.015, mean 12.43333 at 10 A,
    # residuals +0.01667, -0.03333, +0.01667.
    fitted = source_from_loads((LoadPoint(0, 12.6), LoadPoint(10, 12.4), LoadPoint(20, 12.3)))
    assert pytest.approx(0.015) == fitted.resistance_ohm
    assert pytest.approx(12.58333, abs=1e-5) == fitted.emf_v
    assert pytest.approx(0.023570, abs=1e-6) == fitted.misfit_v


# Half the cold-crank current for 15 s, least volts by F: memory of battery service manuals.
HALF_CRANK = {70: 9.6, 60: 9.5, 50: 9.4, 40: 9.3, 30: 9.1, 20: 8.9, 10: 8.7, 0: 8.5}


@pytest.mark.parametrize(("fahrenheit", "volts"), HALF_CRANK.items())
def test_half_crank_table(fahrenheit: float, volts: float) -> None:
    """The least volts of a half-crank test follow the printed temperatures (from memory)."""
    celsius = max(-18.0, (fahrenheit - 32) / 1.8)
    assert volts == pytest.approx(half_crank_minimum_v(celsius), abs=0.005)


@pytest.mark.parametrize(
    ("rating", "volts", "seconds"),
    [("SAE", 7.2, 30), ("EN", 7.5, 10), ("IEC", 8.4, 60), ("DIN", 9.0, 30)],
)
def test_cold_crank_ratings_differ(rating: str, volts: float, seconds: float) -> None:
    """Each standard asks other volts after another time (SAE J537, EN 50342-1, old IEC, DIN)."""
    assert (volts, seconds) == COLD_CRANK_RATINGS[rating]


def test_half_crank_verdict_turns_at_the_table() -> None:
    """9.6 V passes and 9.5 V fails above 21 C (from memory)."""
    assert half_crank_test(9.6, 300.0, 600.0, 25.0).passed
    failed = half_crank_test(9.5, 300.0, 600.0, 25.0)
    assert not failed.passed
    assert pytest.approx(-0.1) == failed.margin_v


emfs = st.floats(11.0, 13.5)
ohms = st.floats(0.002, 0.05)


@given(emfs, ohms, st.floats(0, 20), st.floats(1, 100))
def test_round_trip(emf: float, ohm: float, first: float, more: float) -> None:
    """Two loads taken from a known battery give that battery back."""
    loads = tuple(LoadPoint(a, terminal_volts_v(emf, ohm, a)) for a in (first, first + more))
    fitted = source_from_loads(loads)
    assert pytest.approx(emf, abs=1e-6) == fitted.emf_v
    assert pytest.approx(ohm, rel=1e-6) == fitted.resistance_ohm


@given(emfs, ohms, st.floats(0.0, 0.2), st.floats(0, 20), st.floats(0.1, 10))
def test_more_current_leaves_less(
    emf: float, ohm: float, circuit: float, amps: float, more: float
) -> None:
    """Volts fall with current, and at the appliance stand no higher than at the terminals."""
    there = appliance_volts_v(emf, ohm, amps, circuit)
    assert appliance_volts_v(emf, ohm, amps + more, circuit) < there
    assert there <= terminal_volts_v(emf, ohm, amps)
