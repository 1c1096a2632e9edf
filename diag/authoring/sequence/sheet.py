"""The usual fault sequence of a complaint as data: dangers, then steps in their fixed order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from diag.authoring.sequence.choosing import MOST_STEPS, best_sequence, shortened
from diag.authoring.sequence.good import Good, GoodReadings
from diag.authoring.sequence.walk import Order, Stand, Walk
from diag.model.rulebook import Check, Rulebook, UnitData
from diag.reason.plan.costs import keys_of
from diag.session.offer.opening import danger_checks


@dataclass(frozen=True, slots=True)
class SheetReading:
    """What is looked at in a step, what is good, and what each state that is not points to."""

    sign: str
    good: GoodReadings
    points: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]
    """States that are not good, and the causes that each points to, the likeliest first."""
    sides: tuple[tuple[str, str], ...] = ()
    """On which side of a range with two ends a state lies, `above` or `below`."""


@dataclass(frozen=True, slots=True)
class SheetStep:
    """One check where it stands on the sheet."""

    check: Check
    minutes: float
    """Of work, with what has to be fetched, opened or made ready here."""
    same_run: bool
    """Whether it is read in the run of the step before."""
    made_ready: tuple[str, ...]
    """What has to be opened for it here, and all that it needs, made ready before or not."""
    come_to: float
    """The share of the units in which one comes to it."""
    readings: tuple[SheetReading, ...]
    asked: tuple[str, ...]
    """The findings that are read for it here, in the order of the check."""


@dataclass(frozen=True, slots=True)
class FaultSheet:
    """The usual fault sequence of one complaint on one unit."""

    complaint: str
    title: str
    unit: str
    minutes: float
    """Expected until a step shows the fault, or to the end of the sheet."""
    unshown: float
    """The share of the units whose fault no step shows."""
    raised: tuple[str, ...]
    """The dangers that the complaint itself is."""
    first: tuple[SheetStep, ...]
    steps: tuple[SheetStep, ...]


def fault_sheet(
    rulebook: Rulebook,
    unit: UnitData,
    complaint: str,
    *,
    fits: Callable[[FaultSheet], bool] = lambda _: True,
    progress: Callable[[float], None] = lambda _: None,
) -> FaultSheet:
    """Work out the sheet of a complaint; what it can best do without is left out until it `fits`.

    `progress` is told the share done, 0 to 1. Raises `KeyError` for an unknown complaint.
    """
    walk = Walk.of(rulebook, unit, complaint, tuple(one.id for one in danger_checks(rulebook)))
    order = best_sequence(walk, MOST_STEPS, progress)
    sheet = _sheet(walk, complaint, order)
    while len(order) > 1 and not fits(sheet):
        order = shortened(walk, order)
        sheet = _sheet(walk, complaint, order)
    return sheet


def _sheet(walk: Walk, complaint: str, order: Order) -> FaultSheet:
    steps = tuple(_steps(walk, order))
    stand = walk.stand(order)
    assert stand is not None
    return FaultSheet(
        complaint,
        walk.rulebook.complaints[complaint].title,
        walk.unit.id,
        stand.minutes,
        sum(stand.weights),
        walk.supposed.dangers,
        steps[: len(walk.first)],
        steps[len(walk.first) :],
    )


def _steps(walk: Walk, order: Order) -> Iterator[SheetStep]:
    good = Good(walk.rulebook, walk.unit, walk.bench)
    scales, run = walk.rulebook.scales, ""
    for name, before, after in walk.stands(order):
        check = walk.rulebook.checks[name]
        new = keys_of(walk.rulebook, check) - before.opened
        yield SheetStep(
            check,
            after.spent - scales.settings.price_of_waiting * check.waits,
            bool(run) and check.run == run,
            (*({check.access} & new), *check.needs),
            sum(before.weights),
            tuple(_readings(walk, good, before, after)),
            tuple(one for one in check.yields if one in after.asked - before.asked),
        )
        run = check.run


def _readings(walk: Walk, good: Good, before: Stand, after: Stand) -> Iterator[SheetReading]:
    """Yield what is looked at; where it points to nothing, what a later step has to know."""
    names = walk.bench.compiled.links.causes
    new = after.asked - before.asked
    if not after.pointers:
        yield SheetReading("", tuple(good.readings(new)), ())
    for sign in dict.fromkeys(one.sign for one in after.pointers):
        points = tuple(
            (one.states, tuple(names[walk.causes[place]] for place, _ in one.causes))
            for one in after.pointers
            if one.sign == sign
        )
        states = [state for some, _ in points for state in some]
        readings = good.of(sign, states, new, before.asked)
        sides = ((state, good.side(sign, state, readings)) for state in states)
        yield SheetReading(sign, readings, points, tuple(one for one in sides if one[1]))
