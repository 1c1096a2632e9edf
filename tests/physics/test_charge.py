"""State of charge and derating: published tables as bands, and refusals."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.supply.charge import (
    CHEMISTRIES,
    ChargeBand,
    Chemistry,
    NoChargeBand,
    capacity_factor,
    charge_band,
    resistance_factor,
    rest_volts_v,
)

# Flooded: memory of one table, and of two others that differ by 0.1 V.
BCI = {100: 12.65, 75: 12.45, 50: 12.24, 25: 12.06, 0: 11.89}
OTHER_FLOODED = ({100: 12.66, 75: 12.45, 50: 12.30, 25: 12.15}, {100: 12.6, 75: 12.4, 50: 12.2})
# Specific gravity at 26.7 C, of which a cell's volts are SG + 0.84 to 0.845 (IEEE 450 rule,
# from memory).
GRAVITY = {100: 1.265, 75: 1.225, 50: 1.190, 25: 1.155, 0: 1.120}
# AGM: memory of a table, +-0.15 V.
AGM = {100: 12.80, 75: 12.60, 50: 12.30, 25: 12.00, 0: 11.80}


@pytest.mark.parametrize(
    ("chemistry", "table", "tolerance"),
    [("flooded", BCI, 1e-9), ("AGM", AGM, 1e-9)]
    + [("flooded", table, 0.1) for table in OTHER_FLOODED],
)
def test_rested_volts(chemistry: Chemistry, table: dict[int, float], tolerance: float) -> None:
    """Rested volts follow the tables, which differ among themselves by 0.1 V (from memory)."""
    for percent, volts in table.items():
        assert volts == pytest.approx(rest_volts_v(chemistry, percent), abs=tolerance)


@pytest.mark.parametrize("offset", [0.84, 0.845])
def test_flooded_volts_against_gravity(offset: float) -> None:
    """Six cells of SG + 0.84 give the flooded table within 0.15 V (IEEE 450 rule, from memory)."""
    for percent, gravity in GRAVITY.items():
        assert 6 * (gravity + offset) == pytest.approx(rest_volts_v("flooded", percent), abs=0.15)


@pytest.mark.parametrize("chemistry", ["flooded", "AGM", "gel"])
def test_band_holds_the_table(chemistry: Chemistry) -> None:
    """The band of a table's volts holds the table's percent, and is wide (tables disagree)."""
    for percent in (25.0, 50.0, 75.0):
        band = charge_band(rest_volts_v(chemistry, percent), chemistry, 12.0)
        assert isinstance(band, ChargeBand)
        assert band.low_percent < percent < band.high_percent
        assert band.high_percent - band.low_percent >= 20


@pytest.mark.parametrize("volts", [13.0, 13.1, 13.2, 13.3, 13.35])
def test_flat_curve_is_refused(volts: float) -> None:
    """LiFePO4 between 13.0 and 13.35 V tells nothing: charts put 13.2 V at 40 to 80 %."""
    refusal = charge_band(volts, "LiFePO4", 24.0)
    assert refusal == NoChargeBand(
        f"LiFePO4 stays between 13 and 13.35 V from about 30 to 90 %, so {volts:.4g} V cannot tell"
    )


@pytest.mark.parametrize(
    ("volts", "percent"), [(13.6, 99), (13.4, 90), (12.9, 25), (12.8, 20), (12.0, 10), (10.0, 0)]
)
def test_lifepo4_bands_hold_the_chart(volts: float, percent: float) -> None:
    """Off the flat, a LiFePO4 band holds a chart's point (from memory; no standard exists)."""
    band = charge_band(volts, "LiFePO4", 24.0)
    assert isinstance(band, ChargeBand)
    assert band.low_percent <= percent <= band.high_percent


def test_not_rested_is_refused() -> None:
    """Volts soon after charge or load say nothing of the charge (common practice, no source)."""
    assert charge_band(12.5, "AGM", 0.5) == NoChargeBand(
        "AGM needs 4 h without charge or load before its volts tell the charge, and it had 0.5 h"
    )


def test_charger_still_on_is_refused() -> None:
    """Volts above any rested battery are a charger's, not a charge."""
    assert charge_band(13.8, "flooded", 12.0) == NoChargeBand(
        "13.8 V per 12 V is above any rested flooded battery: take the charger off and let it rest"
    )
    assert isinstance(charge_band(14.9, "LiFePO4", 12.0), NoChargeBand)


def test_24_v_is_two_blocks() -> None:
    """A 24 V battery has the band of half its volts."""
    assert charge_band(12.3, "gel", 9.0) == charge_band(24.6, "gel", 9.0, nominal_v=24.0)


@given(st.floats(11.5, 12.9), st.floats(0.001, 0.3), st.sampled_from(["flooded", "AGM", "gel"]))
def test_more_volts_never_mean_less_charge(volts: float, more: float, kind: Chemistry) -> None:
    """A band never moves down as the volts go up, and stays within 0 to 100 %."""
    low, high = charge_band(volts, kind, 12.0), charge_band(volts + more, kind, 12.0)
    if isinstance(low, ChargeBand) and isinstance(high, ChargeBand):
        assert 0 <= low.low_percent <= high.low_percent
        assert low.high_percent <= high.high_percent <= 100


@given(st.floats(-30, 39), st.floats(0.1, 5), st.floats(0, 99), st.sampled_from(CHEMISTRIES))
def test_cold_and_emptiness_cost(c: float, rise: float, percent: float, kind: Chemistry) -> None:
    """Colder or emptier never means less resistance, nor colder more capacity."""
    assert resistance_factor(kind, c, percent) >= resistance_factor(kind, c + rise, percent)
    assert resistance_factor(kind, c, percent) >= resistance_factor(kind, c, percent + 1)
    assert capacity_factor(kind, c) <= capacity_factor(kind, c + rise)


def test_lead_acid_in_the_cold() -> None:
    """At -20 C lead-acid has about twice the resistance and 60 % of its charge (from memory)."""
    assert pytest.approx(2.0, rel=0.2) == resistance_factor("flooded", -20.0)
    assert pytest.approx(0.6, rel=0.2) == capacity_factor("flooded", -20.0)
    assert (1.0, 1.0) == (resistance_factor("AGM", 25.0), capacity_factor("AGM", 25.0))
