"""Whatever two faults are put into a unit, its world stays a world."""

from __future__ import annotations

from math import isfinite
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.workshop import Fault, World
from diag.workshop.amount import Amount
from diag.workshop.check import mistakes_of
from diag.workshop.fault import apply_fault
from diag.workshop.heater import QUANTITIES
from diag.workshop.run.trace import CHANNELS
from tests.workshop.shipped import small


def _faults() -> st.SearchStrategy[Fault]:
    """Draw a fault of any number of any part, anywhere in its range, often at its ends."""
    places = [
        (part, quantity, field.takes)
        for part, known in QUANTITIES.items()
        for quantity, field in known.items()
        if isinstance(field.takes, Amount)
    ]

    def fault(drawn: tuple[tuple[str, str, Amount], float]) -> Fault:
        (part, quantity, takes), share = drawn
        return Fault(part, quantity, "becomes", takes.least + share * (takes.most - takes.least))

    share = st.one_of(st.sampled_from([0.0, 1.0]), st.floats(0.0, 1.0))
    return st.tuples(st.sampled_from(places), share).map(fault)


@settings(max_examples=40)
@given(st.lists(_faults(), min_size=2, max_size=2, unique_by=lambda f: (f.part, f.quantity)))
def test_two_faults_of_any_degree_leave_numbers_that_can_be(faults: list[Fault]) -> None:
    """Every channel stays finite, no unit gives current back, none makes cold, fuel closes."""
    heater = small()
    for fault in faults:
        heater = apply_fault(heater, fault)
    if mistakes_of(heater):
        return
    world = World(heater, Random(1))
    pooled = heater.burner.pooled_ml
    world.start()
    world.run(100.0)
    world.switch_off()
    trace = world.run(10.0)
    for channel in CHANNELS:
        assert all(map(isfinite, trace.values(channel))), channel
    whole = world.trace
    coldest = min(heater.weather.temperature_c, heater.cabin.temperature_c)
    lowest = [whole.lowest(name) for name in ("amps", "outlet temperature", "heat")]
    assert lowest[0] is not None
    assert lowest[0] >= -1e-6
    assert lowest[1] is not None
    assert lowest[1] >= coldest - 1.0
    used = world.tally
    ends = used.burnt_ml + used.unburnt_ml + used.lost_ml + world.state.pool_ml
    assert pooled + used.pumped_ml == pytest.approx(ends, rel=1e-3, abs=1e-6)
