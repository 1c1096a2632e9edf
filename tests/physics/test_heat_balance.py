"""Heat balance, slips and comparisons: trade facts (no source) and conservation."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.combustion.fuel import pump_power_kw
from diag.physics.heat.balance import efficiency_percent, electricity_per_kwh, judge_claim
from diag.physics.heat.compare import Level, delivery
from diag.physics.heat.slip import HeatReadings, balance_percent, heat_out_kw, rank_slips

USUAL = (55.0, 85.0)  # % of the fuel's heat, common practice
SOUND = HeatReadings(
    speed_m_s=12.5,
    speed_kind="centre",
    bore_mm=60.0,
    inlet_c=18.0,
    outlet_c=105.0,
    rate_hz=5.0,
    dose_ml=0.02,
)
SPEED_PLACE = "the air speed was taken as the mean, but read at the centre"
BORE = "the bore is wrong, perhaps the outside of the duct"
INLET = "the inlet temperature was measured in the wrong place"
PULSES = "the pulses were miscounted"
DOSE = "the dose is from memory"


def test_full_power_is_62_to_70_percent() -> None:
    """5 pulses of 0.02 ml and 12.5 m/s at the centre: 62 to 70 %; common practice, no source."""
    assert 62.0 <= balance_percent(SOUND) <= 70.0
    assert rank_slips(SOUND, USUAL) == ()


def test_five_kilowatts_are_impossible() -> None:
    """5 kW from 5 pulses of 0.02 ml a second needs about 140 %; common practice, no source."""
    claim = judge_claim(5.0, 5.0, 0.02)
    assert claim.standing == "impossible"
    assert pytest.approx(140.0, abs=1.0) == claim.efficiency_percent
    assert pytest.approx(7.0, abs=0.05) == claim.rate_needed_hz
    assert pytest.approx(0.028, abs=2e-4) == claim.dose_needed_ml


def test_a_claim_may_be_doubtful() -> None:
    """Between 92 and 100 % a claim breaks no law, but flue loss alone rules it out."""
    assert judge_claim(3.4, 5.0, 0.02, doubtful_above_percent=92.0).standing == "doubtful"
    assert judge_claim(2.4, 5.0, 0.02, doubtful_above_percent=92.0).standing == "possible"


@given(st.floats(0.5, 20), st.floats(0.5, 10), st.floats(0.005, 0.1), st.floats(50, 100))
def test_what_it_would_take_does_it(heat: float, rate: float, dose: float, at: float) -> None:
    """The pulse rate or dose told gives the claimed heat at the efficiency named."""
    claim = judge_claim(heat, rate, dose, at_percent=at)
    if claim.rate_needed_hz <= 50:
        by_rate = pump_power_kw(claim.rate_needed_hz, dose)
        assert pytest.approx(at) == efficiency_percent(heat, by_rate)
    if claim.dose_needed_ml <= 1:
        by_dose = pump_power_kw(rate, claim.dose_needed_ml)
        assert pytest.approx(at) == efficiency_percent(heat, by_dose)


@given(st.floats(0.1, 10), st.floats(0.1, 10))
def test_nothing_above_the_fuel_is_possible(heat: float, rate: float) -> None:
    """A claim is called impossible exactly when it holds more heat than the fuel."""
    impossible = judge_claim(heat, rate, 0.02).standing == "impossible"
    assert impossible == (heat / pump_power_kw(rate, 0.02) > 1.0)


def test_centre_speed_taken_as_mean_is_found() -> None:
    """With a mean that was the centre's and a measured dose, the place is the likeliest slip."""
    wrong = replace(SOUND, speed_m_s=15.5, speed_kind="mean")
    slip = rank_slips(wrong, USUAL)[0]
    assert slip.says == SPEED_PLACE
    assert pytest.approx(15.5 * 49 / 60) == slip.would_be


def test_dose_from_memory_is_found() -> None:
    """With a traverse and a dose from memory, the dose is suspected before the air."""
    wrong = replace(SOUND, speed_kind="traverse", dose_ml=0.0145, dose_kind="memory")
    slip = rank_slips(wrong, USUAL)[0]
    assert slip.says == DOSE
    assert slip.would_be > 0.0145


def test_double_counted_pulses_are_found() -> None:
    """Twice the pulses halve the efficiency, which no small slip explains."""
    wrong = replace(SOUND, rate_hz=10.0, outlet_c=70.0, speed_m_s=15.0)
    assert pytest.approx(27.5, abs=5.0) == balance_percent(wrong)
    slip = rank_slips(wrong, USUAL)[0]
    assert slip.says == PULSES
    assert pytest.approx(5.0, abs=0.5) == slip.would_be


@given(st.floats(15, 30), st.sampled_from(["centre", "mean", "traverse"]))
def test_each_slip_put_right_is_believable(speed: float, kind: str) -> None:
    """Putting bore, inlet, pulses or dose right brings the efficiency to the band's edge."""
    wrong = replace(SOUND, speed_m_s=speed, speed_kind=kind)  # type: ignore[arg-type]
    fields = {BORE: "bore_mm", INLET: "inlet_c", PULSES: "rate_hz"}
    slips = rank_slips(wrong, USUAL)
    assert [slip.surprise for slip in slips] == sorted(slip.surprise for slip in slips)
    for slip in slips:
        if slip.says in fields and slip.would_be < 80.0:
            mended = replace(wrong, **{fields[slip.says]: slip.would_be})
            assert pytest.approx(85.0, rel=0.01) == balance_percent(mended)


def test_heat_out_takes_the_correction_only_at_the_centre() -> None:
    """A centre speed is brought down by 49/60; a mean or traverse is not (power law, n = 7)."""
    mean = heat_out_kw(replace(SOUND, speed_kind="mean"))
    assert pytest.approx(49 / 60) == heat_out_kw(SOUND) / mean
    assert mean == heat_out_kw(replace(SOUND, speed_kind="traverse"))


def test_electricity() -> None:
    """12.5 V and 1.5 A for 2 kW is 9.4 Wh for each kWh (arithmetic)."""
    assert pytest.approx(9.375) == electricity_per_kwh(12.5, 1.5, 2.0)


BIG = (Level(2.2, 0.30, 1.5, 48.0), Level(4.0, 0.55, 3.5, 58.0))
SMALL = (Level(1.0, 0.14, 1.0, 45.0), Level(2.2, 0.32, 3.0, 57.0))


def test_big_on_low_against_small_flat_out() -> None:
    """For the same 2.2 kW a bigger unit takes 1.5 A, a smaller 3 A; common practice, no source."""
    big, small = delivery("ROAD-07", BIG, 2.2), delivery("LIB-03", SMALL, 2.2)
    assert (1.5, 3.0) == (big.current_a, small.current_a)
    assert pytest.approx(2.0) == small.charge_ah_per_kwh / big.charge_ah_per_kwh
    assert ("steady", "flat out") == (big.manner, small.manner)
    assert (48.0, 57.0) == (big.noise_db, small.noise_db)


def test_too_much_is_told_as_short() -> None:
    """A unit asked for more than it has gives what it has."""
    asked = delivery("LIB-03", SMALL, 3.0)
    assert (2.2, "flat out") == (asked.heat_kw, asked.manner)


def test_too_little_is_switched() -> None:
    """Below its lowest level a unit runs for a share of the time."""
    half = delivery("ROAD-07", BIG, 1.1)
    assert ("on and off", 0.5, 0.15, 0.75) == (
        half.manner,
        half.running_share,
        half.fuel_l_per_h,
        half.current_a,
    )


@given(st.floats(0.2, 3.9), st.floats(0.01, 0.1))
def test_more_heat_takes_more(wanted: float, more: float) -> None:
    """More heat never takes less fuel or current."""
    low, high = delivery("x", BIG, wanted), delivery("x", BIG, wanted + more)
    assert low.fuel_l_per_h <= high.fuel_l_per_h
    assert low.current_a <= high.current_a
    assert low.heat_kw < high.heat_kw or low.manner == "flat out"
