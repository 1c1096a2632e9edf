"""Cable runs against ISO 10133, ABYC E-11 and IEC 60228."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.errors import PhysicsError
from diag.physics.supply.cable import (
    DROP_PERCENT,
    LEAST_AREA_MM2,
    abyc_circular_mils,
    cable_drop,
    circuit_resistance_ohm,
    compare_sizes,
    drop_limit_v,
    iso_10133_area_mm2,
    iso_10133_drop_v,
    smallest_area_mm2,
    smallest_awg,
)
from diag.physics.supply.conductor import OHM_PER_KM, resistivity_ohm_mm2_per_m

lengths = st.floats(0.5, 30.0)
currents = st.floats(0.5, 20.0)


def test_iso_10133_example() -> None:
    """1.6 A over a round trip of 22 m in 1.5 mm2 loses 0.385 V (ISO 10133 Annex A, worked)."""
    assert pytest.approx(0.3849, abs=5e-5) == iso_10133_drop_v(1.6, 22.0, 1.5)


@pytest.mark.parametrize(
    ("drop", "cmil", "by_awg", "by_sae"),
    [(0.36, 6271, 12, 10), (1.2, 1881, 16, 16), (0.96, 2351.6, 16, 14)],
)
def test_abyc_example(drop: float, cmil: float, by_awg: int, by_sae: int) -> None:
    """10 A over 21 ft round trip: the ABYC E-11 worked example, where AWG and SAE areas part."""
    needed = abyc_circular_mils(10.0, 21.0, drop)
    assert cmil == pytest.approx(needed, abs=0.5)
    assert by_awg == smallest_awg(needed, sae=False)
    assert by_sae == smallest_awg(needed)


def test_length_is_the_round_trip_in_both_formulas() -> None:
    """A circuit is twice the length one way: 5 m of 2.5 mm2 is 10 m at 7.98 ohm/km."""
    assert pytest.approx(0.0798) == circuit_resistance_ohm(5.0, 2.5)


def test_formulas_stand_at_different_temperatures() -> None:
    """ISO's 0.0164 is copper at about 7.6 C, ABYC's 10.75 copper at about 29.3 C, 9 % more."""
    ureg = pint.UnitRegistry()
    foot_mil = ureg.Quantity(10.75, "ohm * circular_mil / foot")
    abyc = foot_mil.to("ohm * mm**2 / m").magnitude
    assert pytest.approx(0.017871, abs=5e-6) == abyc
    assert pytest.approx(0.0164, abs=2e-6) == resistivity_ohm_mm2_per_m(7.56)
    assert pytest.approx(abyc, rel=1e-4) == resistivity_ohm_mm2_per_m(29.3)
    assert pytest.approx(1.090, abs=1e-3) == abyc / 0.0164


def test_class_5_asks_for_more_than_both() -> None:
    """The same 2.5 mm2 run loses most by IEC 60228 class 5, then ABYC E-11, least by ISO 10133."""
    by_class_5 = cable_drop(circuit_resistance_ohm(5.0, 2.5), 10.0, 12.0).drop_v
    by_iso = iso_10133_drop_v(10.0, 10.0, 2.5)
    by_abyc = 0.017871 * 10.0 * 10.0 / 2.5
    assert by_iso < by_abyc < by_class_5


def test_comparison_holds_the_three_answers() -> None:
    """Sizing by three ways gives each one's own answer for the same run."""
    sizes = compare_sizes(3.2004, 10.0, 0.36)
    assert sizes.class_5_mm2 == 4.0
    assert pytest.approx(0.0164 * 10 * 6.4008 / 0.36) == sizes.iso_10133_mm2
    assert pytest.approx(6271, abs=0.5) == sizes.abyc_cmil
    assert (12, 10) == (sizes.awg_by_awg_area, sizes.awg_by_sae_area)


def test_allowed_drop_and_least_area() -> None:
    """Vital circuits may lose 3 %, others 10 %; 1 mm2 is least (ISO 10133, ABYC E-11)."""
    assert pytest.approx((0.36, 0.96)) == (drop_limit_v(12.0), drop_limit_v(32.0))
    assert pytest.approx(1.2) == drop_limit_v(12.0, DROP_PERCENT["other"])
    assert {"single conductor": 1.0, "in a multi-core cable": 0.75} == dict(LEAST_AREA_MM2)


def test_drop_and_loss() -> None:
    """Drop is resistance times current, loss is drop times current (Ohm's law)."""
    run = cable_drop(0.08, 10.0, 12.0)
    assert pytest.approx((0.8, 100 * 0.8 / 12, 8.0)) == (run.drop_v, run.drop_percent, run.loss_w)


@given(lengths, currents, st.floats(0.3, 3.0), st.floats(-30, 60))
def test_smallest_size_is_smallest(length: float, amps: float, drop: float, c: float) -> None:
    """The size found keeps the limit, and the next smaller does not."""
    sizes = [size for size, _ in OHM_PER_KM["class 5"]]
    try:
        area = smallest_area_mm2(length, amps, drop, c)
    except PhysicsError:
        assert circuit_resistance_ohm(length, sizes[-1], c) * amps > drop
        return
    assert circuit_resistance_ohm(length, area, c) * amps <= drop
    place = sizes.index(area)
    if place:
        assert circuit_resistance_ohm(length, sizes[place - 1], c) * amps > drop


@given(lengths, currents, st.floats(0.75, 35))
def test_iso_area_and_drop_are_inverse(length: float, amps: float, area: float) -> None:
    """The area for the drop of an area is that area."""
    drop = iso_10133_drop_v(amps, 2 * length, area)
    assert pytest.approx(area) == iso_10133_area_mm2(amps, 2 * length, drop)


@given(lengths, st.floats(0.75, 35), st.floats(0, 0.1))
def test_joints_add(length: float, area: float, joints: float) -> None:
    """Joints and fuse holder add their resistance to the cable's."""
    bare = circuit_resistance_ohm(length, area)
    assert pytest.approx(bare + joints) == circuit_resistance_ohm(length, area, joints_ohm=joints)
