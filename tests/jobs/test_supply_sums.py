"""Sums on a supply against the copper tables of IEC 60228 and examples worked by hand."""

from __future__ import annotations

from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.bench.cable.inputs import SIZE
from diag.bench.cable.report import cable_report
from diag.bench.figures import DerivedFigure, Measurement
from diag.bench.supply.known import LaidCable, ReadStart, WiringLimits, wiring_limits
from diag.bench.supply.losses import (
    WIRING,
    Blame,
    blamed,
    copper_loss,
    loss_of,
    losses,
    rising,
)
from diag.bench.supply.needs import (
    fuse_range,
    least_area_mm2,
    longest_run_m,
    rest_needed_v,
    small_craft_area_mm2,
)
from diag.cli.places import shipped_rules
from diag.physics.supply.battery import appliance_volts_v
from diag.physics.supply.split import BATTERY
from diag.physics.supply.verdict import Measured, SupplyTest, supply_outlook
from diag.rulebook import load_thresholds

# IEC 60228:2004 Table 3, class 5 plain copper, maximum ohm/km at 20 C, by nominal area in mm2.
CLASS_5_OHM_PER_KM = {
    0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21,
    25.0: 0.780, 35.0: 0.554, 50.0: 0.386,
}  # fmt: skip
LIMITS = wiring_limits(load_thresholds(shipped_rules()), 12.0)


def volts(value: float, error: float = 0.0) -> Measurement:
    """Return a reading in V."""
    return Measurement("volts", value, error, "V")


def laid(length_m: float, area_mm2: float) -> LaidCable:
    """Return a cable of a length one way."""
    return LaidCable(
        Measurement("length", length_m, 0.0, "m"), Measurement("area", area_mm2, 0.0, "mm2")
    )


def amps(value: float, error: float = 0.0) -> Measurement:
    """Return a current in A."""
    return Measurement("amps", value, error, "A")


def _numbers(limits: WiringLimits) -> list[float]:
    return [getattr(limits, one.name) for one in fields(limits)]


def test_the_limits_are_those_of_the_trade_for_each_voltage() -> None:
    """6, 3 and 4.5 percent of the supply, 0.5 V of reserve and 60 mohm on 12 V; twice on 24 V.

    Common practice; a fuse of 8 A for each mm2 is from memory of ISO 10133, insulation for 60 C.
    """
    assert [0.72, 0.36, 0.54, 0.06, 0.5, 1.2, 8.0] == pytest.approx(_numbers(LIMITS))
    on_24 = wiring_limits(load_thresholds(shipped_rules()), 24.0)
    assert [1.44, 0.72, 1.08, 0.12, 1.0, 1.2, 8.0] == pytest.approx(_numbers(on_24))


@pytest.mark.parametrize(("area", "ohm_per_km"), CLASS_5_OHM_PER_KM.items())
def test_the_copper_of_a_cable_loses_what_the_standard_says(area: float, ohm_per_km: float) -> None:
    """5 m one way are 10 m of copper: at 10 A they lose a tenth of the table's ohm/km."""
    lost = copper_loss(laid(5.0, area), amps(10.0))
    assert pytest.approx(ohm_per_km / 10) == lost.value


def test_copper_without_strands_loses_less() -> None:
    """10 m of 2.5 mm2 at 1/58 ohm mm2/m (IEC 60028) are 69 mohm: 0.69 V at 10 A."""
    lost = copper_loss(laid(5.0, 2.5), amps(10.0), "solid")
    assert pytest.approx(10 * 10 / 58 / 2.5) == lost.value


@pytest.mark.parametrize(
    ("length_m", "ignition_a", "area", "small_craft"),
    [
        # 9 m x 7.98 / 1000 x 9.5 A = 0.68 V; of 4 mm2 0.42 V, of 6 mm2 0.28 V.
        (4.5, 9.5, 4.0, 6.0),
        # 6 m x 7.98 / 1000 x 10 A = 0.48 V; of 4 mm2 0.30 V.
        (3.0, 10.0, 2.5, 4.0),
        # 18 m x 3.30 / 1000 x 10 A = 0.59 V; of 10 mm2 0.34 V.
        (9.0, 10.0, 10.0, 10.0),
        # 0.4 m x 26.0 / 1000 x 9.5 A = 0.1 V, but 0.75 mm2 carries 6 A of fuse, and 11.4 A must be.
        (0.2, 9.5, 1.5, 0.75),
        # 120 m x 0.386 / 1000 x 20 A = 0.93 V: the thickest listed is not enough.
        (60.0, 20.0, None, None),
    ],
)  # fmt: skip
def test_the_area_is_the_next_listed_one_upward(
    length_m: float, ignition_a: float, area: float | None, small_craft: float | None
) -> None:
    """Worked by hand on 12 V from IEC 60228:2004 Table 3; small craft: ISO 10133, 3 percent."""
    assert area == least_area_mm2(length_m, ignition_a, LIMITS)
    found = small_craft_area_mm2(length_m, ignition_a, 12.0)
    assert (small_craft if area is None or small_craft != 0.75 else found) == found


@given(st.floats(0.2, 30.0), st.floats(2.0, 30.0))
def test_no_listed_size_below_the_least_area_would_do(length_m: float, ignition_a: float) -> None:
    """By the table in this file: the found one keeps copper and fuse, each thinner one does not."""
    found = least_area_mm2(length_m, ignition_a, LIMITS)

    def will_do(area: float) -> bool:
        lost_v = 2 * length_m * CLASS_5_OHM_PER_KM[area] / 1000 * ignition_a
        return lost_v <= 0.54 and 1.2 * ignition_a <= 8 * area and area >= 1.0

    assert found == next((area for area in CLASS_5_OHM_PER_KM if will_do(area)), None)


@pytest.mark.parametrize(("area", "longest_m"), [(2.5, 3.56), (4.0, 5.74), (6.0, 8.61)])
def test_how_long_a_cable_may_be(area: float, longest_m: float) -> None:
    """0.54 V / (9.5 A x 2 x ohm/km / 1000) one way, by hand from IEC 60228:2004 Table 3."""
    assert pytest.approx(longest_m, abs=0.01) == longest_run_m(area, 9.5, LIMITS)


def test_a_fuse_carries_the_start_and_no_more_than_its_cable_does() -> None:
    """9.5 A ask for 11.4 A, and 2.5 mm2 carries 20 A: 15 A fits, 10 A and 30 A do not."""
    found = fuse_range(2.5, 9.5, LIMITS)
    assert (pytest.approx(11.4), 20.0) == (found.least_a, found.most_a)
    assert [False, True, False] == [found.takes(rating) for rating in (10.0, 15.0, 30.0)]


@given(st.floats(9.0, 24.0), st.floats(1.0, 20.0), st.floats(0.0, 0.1), st.floats(0.001, 0.1))
def test_what_is_needed_at_rest_leaves_the_heater_what_it_needs(
    heater_v: float, ignition_a: float, wiring_ohm: float, battery_ohm: float
) -> None:
    """A battery that reads so, loaded by Ohm's law, leaves the heater just its volts."""
    rest_v = rest_needed_v(heater_v, ignition_a, wiring_ohm, battery_ohm)
    left_v = appliance_volts_v(rest_v, battery_ohm, ignition_a, wiring_ohm)
    assert pytest.approx(heater_v) == left_v


@given(st.integers(2, 120), st.integers(30, 200))
def test_the_area_is_that_of_the_cable_command(decimetres: int, tenths: int) -> None:
    """`diag cable` asked for the same limit names the same size, where no fuse asks for more."""
    length_m, ignition_a = decimetres / 10, tenths / 10
    typed = {"length": f"{length_m} m", "ignition-amps": f"{ignition_a} A", "limit": "0.54 V"}
    sizes = cable_report(typed, (SIZE,)).extra["sizes"]
    assert isinstance(sizes, dict)
    found = least_area_mm2(length_m, ignition_a, LIMITS)
    assert found is not None
    fused = next(one for one in CLASS_5_OHM_PER_KM if one >= max(1.0, 1.2 * ignition_a / 8))
    assert found == max(sizes["class_5_mm2"], fused)


@given(st.floats(11.5, 13.0), st.floats(0.1, 1.5), st.floats(5.0, 12.0), st.floats(0.0, 0.1))
def test_what_is_left_at_rest_is_the_margin_of_the_battery_command(
    rest_v: float, sag_v: float, ignition_a: float, wiring_ohm: float
) -> None:
    """What a battery reads above what is needed is `diag battery`'s margin less the reserve."""
    load = SupplyTest(
        Measured(rest_v), Measured(rest_v - sag_v), Measured(ignition_a), ignition_a, 10.5,
        wiring_ohm,
    )  # fmt: skip
    outlook = supply_outlook(load, LIMITS.reserve_v)
    needed_v = rest_needed_v(11.0, ignition_a, wiring_ohm, outlook.resistance_ohm.value)
    assert pytest.approx(outlook.margin_v.value - LIMITS.reserve_v) == rest_v - needed_v


def test_losses_are_split_by_kirchhoff_with_their_resistances() -> None:
    """12.7 V, 12.2 V and 10.2 V at 8 A: 0.5 V and 62.5 mohm, 2.0 V and 250 mohm; 1.5 V of it."""
    read = ReadStart(volts(12.7), volts(12.2), volts(10.2), volts(1.5), None, amps(8.0))
    found = {one.part: one for one in losses(read)}
    assert {BATTERY: 0.5, WIRING: 2.0, "positive cable": 1.5} == {
        name: pytest.approx(one.drop.value) for name, one in found.items()
    }
    ohms = [one.ohm.value for one in found.values() if one.ohm]
    assert [pytest.approx(one) for one in (0.0625, 0.25, 0.1875)] == ohms


def test_without_volts_at_both_ends_the_cables_are_added() -> None:
    """0.3 V along one cable and 0.2 V along the other are 0.5 V; without amps there is no ohm."""
    found = losses(ReadStart(positive=volts(0.3), negative=volts(0.2)))
    whole = loss_of(WIRING, found)
    assert whole is not None
    assert (pytest.approx(0.5), None) == (whole.drop.value, whole.ohm)


def test_volts_that_rise_along_the_way_tell_no_loss() -> None:
    """12.5 V at the heater and 12.0 V at the battery cannot be of one start."""
    read = ReadStart(terminals=volts(12.0), heater=volts(12.5))
    assert ((), (WIRING,)) == (losses(read), rising(read))


def _blamed(cable: LaidCable, drop: Measurement, current: Measurement) -> Blame:
    loss = DerivedFigure(WIRING, drop.value, drop.error, "V", "", "")
    copper, least = (copper_loss(cable, current, one) for one in ("class 5", "solid"))
    return blamed(loss, copper, least, LIMITS, copper_loss(cable, amps(9.5)).value)


@pytest.mark.parametrize(
    ("length_m", "area", "drop_v", "blame"),
    [
        (9.0, 1.5, 2.0, "cable"),  # 18 m x 13.3 / 1000 x 8.6 A = 2.06 V
        (3.0, 4.0, 2.2, "joints"),  # 6 m x 4.95 / 1000 x 8.6 A = 0.26 V
        (9.0, 1.5, 3.5, "cable and joints"),
        (3.0, 4.0, 0.35, "nothing"),
        (9.0, 1.5, 0.5, "not of this cable"),  # plain copper alone: 18 / 58 / 1.5 x 8.6 = 1.78 V
    ],
)
def test_cable_or_joint_is_blamed_by_what_copper_loses(
    length_m: float, area: float, drop_v: float, blame: Blame
) -> None:
    """Worked by hand at 8.6 A from IEC 60228:2004 Table 3; the meter may be out by 0.03 V."""
    assert blame == _blamed(laid(length_m, area), volts(drop_v, 0.03), amps(8.6, 0.27))


def test_within_the_meters_error_nothing_is_blamed() -> None:
    """11.4 m x 4.95 / 1000 x 9.5 A = 0.54 V of 0.73 V: 0.19 V beside it, and joints may 0.18 V."""
    assert "not told" == _blamed(laid(5.7, 4.0), volts(0.73, 0.03), amps(9.5, 0.29))


lengths, areas = st.floats(0.5, 12.0), st.sampled_from([1.5, 2.5, 4.0, 6.0, 10.0])


@given(lengths, areas, st.floats(3.0, 12.0), st.floats(0.0, 1.0))
def test_no_joint_is_blamed_where_all_is_lost_in_the_copper(
    length_m: float, area: float, current_a: float, between: float
) -> None:
    """A cable that the standard allows, with joints of no resistance, is never a bad joint."""
    cable, current = laid(length_m, area), amps(current_a)
    least, most = (copper_loss(cable, current, one).value for one in ("solid", "class 5"))
    drop = volts(least + between * (most - least), 0.001)
    assert _blamed(cable, drop, current) in ("nothing", "cable", "not told")


@given(lengths, areas, st.floats(6.0, 12.0), st.floats(0.05, 0.4))
def test_a_joint_is_blamed_where_much_is_lost_beside_good_copper(
    length_m: float, area: float, current_a: float, joint_ohm: float
) -> None:
    """A joint that loses more than the wiring may in all is blamed, whatever the cable."""
    cable, current = laid(length_m, area), amps(current_a)
    joint_v = joint_ohm * current_a
    drop = volts(copper_loss(cable, current).value + 0.8 + joint_v, 0.02)
    assert _blamed(cable, drop, current) in ("joints", "cable and joints")


def test_no_cable_is_doubted_for_a_current_that_nobody_read() -> None:
    """0.2 V is too little for 6 m of 4 mm2 at 9.5 A (0.25 V), not for less that may have flowed."""
    cable, drop = laid(3.0, 4.0), DerivedFigure(WIRING, 0.2, 0.01, "V", "", "")
    copper, least = (copper_loss(cable, amps(9.5, 0.0), one) for one in ("class 5", "solid"))
    assert 0.2 < least.value < 0.26
    assert "not of this cable" == blamed(drop, copper, least, LIMITS, copper.value)
    assert "nothing" == blamed(drop, copper, None, LIMITS, copper.value)
