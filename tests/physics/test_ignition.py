"""Ignition, starts and standby: trade facts, hand-worked sums, and laws."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.supply.battery import TheveninSource
from diag.physics.supply.charge import Chemistry, resistance_factor, rest_volts_v
from diag.physics.supply.endurance import (
    hours_carried,
    standby_days,
    starts_carried,
    usable_charge_ah,
)
from diag.physics.supply.frost import coldest_bearable_c
from diag.physics.supply.ignition import (
    IgnitionLoad,
    Limit,
    coldest_ignition_c,
    emptiest_ignition_percent,
    ignition_charge_ah,
    ignition_profile,
    ignition_sag,
    largest_circuit_ohm,
)

LOAD = IgnitionLoad(current_a=15.0, circuit_ohm=0.08, cut_off_v=10.5)


def test_standby_takes_half_of_a_battery() -> None:
    """0.085 A takes half of 100 Ah in 24 to 25 days (common practice, no source)."""
    assert 24.0 < standby_days(100.0, 50.0, 0.085) < 25.0


def test_hours_and_starts() -> None:
    """50 Ah carries 3 A for 16.7 h, and 200 starts of 0.25 Ah (arithmetic)."""
    assert pytest.approx(16.667, abs=1e-3) == hours_carried(50.0, 3.0)
    assert starts_carried(50.0, 0.25) == 200
    assert starts_carried(0.3, 0.1) == 3
    assert starts_carried(0.29, 0.1) == 2
    assert usable_charge_ah(100.0, 50.0, 0.8) == 40.0


def test_ignition_charge() -> None:
    """15 A for 3 s and 9 A for 87 s is 0.23 Ah (arithmetic)."""
    phases = ignition_profile(90.0, 15.0, 9.0)
    assert pytest.approx((15 * 3 + 9 * 87) / 3600) == ignition_charge_ah(phases)


def test_sag_through_an_ignition() -> None:
    """The surge leaves 12.6 - 0.09 x 15 V at the appliance, the settled current more (Ohm)."""
    surge, settled = ignition_sag(
        TheveninSource(12.6, 0.01), 0.08, ignition_profile(90.0, 15.0, 9.0)
    )
    assert pytest.approx((12.45, 11.25)) == (surge.terminals_v, surge.appliance_v)
    assert pytest.approx((12.51, 11.79)) == (settled.terminals_v, settled.appliance_v)


def test_sag_falls_with_the_charge_taken() -> None:
    """A voltage that falls 0.1 V for each Ah has lost 0.023 V when 0.23 Ah is taken."""
    phases = ignition_profile(90.0, 15.0, 9.0)
    firm = ignition_sag(TheveninSource(12.6, 0.01), 0.08, phases)[-1]
    tired = ignition_sag(TheveninSource(12.6, 0.01), 0.08, phases, fall_v_per_ah=0.1)[-1]
    assert pytest.approx(0.023, abs=1e-6) == firm.appliance_v - tired.appliance_v


def test_largest_circuit_is_at_the_cut_off() -> None:
    """(12.6 - 10.5) V / 15 A leaves 0.13 ohm beside a battery's 0.01 (Ohm's law)."""
    assert pytest.approx(0.13) == largest_circuit_ohm(TheveninSource(12.6, 0.01), 15.0, 10.5)


@given(st.floats(0.005, 0.06), st.floats(40, 100), st.sampled_from(["flooded", "AGM", "gel"]))
def test_coldest_is_an_edge(ohm: float, percent: float, chemistry: Chemistry) -> None:
    """At the coldest battery found, the volts stand at the cut-off, or its acid may freeze."""
    limit = coldest_ignition_c(ohm, LOAD, chemistry, percent)

    def left(c: float) -> float:
        inside = ohm * resistance_factor(chemistry, c, percent)
        return rest_volts_v(chemistry, percent) - (inside + 0.08) * 15.0

    if limit.kind == "ends":
        at_ice = limit.value == pytest.approx(coldest_bearable_c(chemistry, percent), abs=1e-6)
        assert at_ice or pytest.approx(10.5, abs=1e-6) == left(limit.value)
        assert left(limit.value) > 10.5 - 1e-6
    else:
        assert (limit.kind == "always") == (left(limit.value) >= 10.5)


@given(st.floats(0.005, 0.05), st.floats(-25, 25))
def test_emptiest_is_an_edge(ohm: float, c: float) -> None:
    """A warmer battery may be emptier before ignition fails."""
    cold = emptiest_ignition_percent(ohm, LOAD, "flooded", c)
    warm = emptiest_ignition_percent(ohm, LOAD, "flooded", c + 5.0)
    order = {"always": 0.0, "ends": 1.0, "never": 2.0}
    assert order[warm.kind] <= order[cold.kind]
    if warm.kind == cold.kind == "ends":
        assert warm.value <= cold.value + 1e-6


def test_limits_say_always_and_never() -> None:
    """A tiny load always starts; a battery that cannot even when warm never does."""
    easy = IgnitionLoad(1.0, 0.01, 10.5)
    hopeless = IgnitionLoad(15.0, 0.5, 10.5)
    assert coldest_ignition_c(0.01, easy, "AGM") == Limit("always", -30.0)
    assert emptiest_ignition_percent(0.01, easy, "AGM") == Limit("always", 0.0)
    assert coldest_ignition_c(0.01, hopeless, "AGM").kind == "never"
    assert emptiest_ignition_percent(0.01, hopeless, "AGM").kind == "never"


@given(st.floats(1, 200), st.floats(5, 100), st.floats(0.01, 5), st.floats(1.01, 3))
def test_more_drain_fewer_days(capacity: float, percent: float, amps: float, times: float) -> None:
    """A drain so many times larger lasts so many times less."""
    slow, fast = (standby_days(capacity, percent, each) for each in (amps, amps * times))
    assert pytest.approx(slow) == fast * times
