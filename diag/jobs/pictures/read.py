"""What can be drawn of a session as it stands: only what was read at this stage."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from diag.bench.pictures import current, heat, supply
from diag.jobs.pictures.drawn import (
    BeliefPath,
    HeatFlow,
    JobPicture,
    LoadLine,
    PhaseAmps,
    StartCurrent,
    SupplyLosses,
)
from diag.model.quantity import UNITS
from diag.session.account.numbers import numbers_of
from diag.session.proof.good import good_range
from diag.session.state import SessionState

LEAST_PHASES, MOST_LINES = 2, 4


def pictures_of(state: SessionState) -> Iterator[JobPicture]:
    """Yield what can be drawn of the readings of this stage."""
    numbers = numbers_of(state)
    drops, line = supply.supply_drops(numbers), supply.load_line_of(numbers)
    balance = heat.heat_balance(numbers)
    cut_off = numbers.get(supply.CUT_OFF)
    if drops is not None:
        along = (numbers.get(f"drop along the {side} cable") for side in ("positive", "negative"))
        yield SupplyLosses(drops.rest_v, drops.terminals_v, drops.heater_v, cut_off, *along)
    if line is not None:
        rest = numbers[supply.AT_REST]
        yield LoadLine(rest, line.load_v, line.load_a, line.heater_v, line.cut_off_v)
    phases = tuple(_phases(state, numbers))
    if len(phases) >= LEAST_PHASES:
        yield StartCurrent(phases)
    if balance is not None and balance.fuel_w > 0:
        lost = numbers.get("heat lost in the exhaust")
        exhaust = None if lost is None else lost * balance.fuel_w / 1e3
        yield HeatFlow(balance.fuel_w / 1e3, balance.air_w / 1e3, exhaust)


def _phases(state: SessionState, numbers: Mapping[str, float]) -> Iterator[PhaseAmps]:
    """Yield the phases that were read, each with between what ends it is good on this unit."""
    book, told = state.rulebook, state.now.told
    names = {phase: reading for phase, reading, _ in current.PHASES}
    for one in current.phase_currents(numbers):
        good = good_range(book, state.unit, names[one.phase], told, state.compiled.network)
        ends = (good.low, good.high) if good else (None, None)
        low, high = (None if end is None else UNITS["A"].from_si(end.si) for end in ends)
        yield PhaseAmps(one.phase, one.read_a, low, high)


def belief_path(steps: Sequence[tuple[str, dict[str, float]]]) -> BeliefPath | None:
    """Return how the leading explanations went, of what was answered and the shares after it.

    Those that ever led by most, at most `MOST_LINES`; None with fewer than two steps.
    """
    if len(steps) < 2:
        return None
    names = dict.fromkeys(name for _, shares in steps for name in shares)
    most = sorted(names, key=lambda name: -max(shares.get(name, 0.0) for _, shares in steps))
    lines = tuple(
        (name, tuple(shares.get(name, 0.0) for _, shares in steps)) for name in most[:MOST_LINES]
    )
    return BeliefPath(tuple(after for after, _ in steps), lines)
