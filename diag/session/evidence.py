"""What of the readings counts as evidence: each of its own stage, and none from rules at odds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from diag.model.reading import Reading
from diag.model.rulebook import Fact, Rule
from diag.reason.belief.belief import Evidence
from diag.reason.belief.contradictions import RuleContradiction, rule_contradictions
from diag.reason.belief.evidence import together, twice

if TYPE_CHECKING:
    from diag.session.state import SessionState


def evidence_of(state: SessionState) -> Iterator[Evidence]:
    """Yield what counts as evidence: earlier stages as they stood, then signs as they are."""
    stage = state.stage
    yield from state.before
    for sign in state.rulebook.signs:
        for one in sorted(state.chain.states(sign)):
            reliability, taken, known = _standing(state, sign, one)
            if taken == stage or not stage:
                yield Evidence(sign, one, reliability, taken, hearsay=not known)


def _standing(state: SessionState, sign: str, shown: str) -> tuple[float, int, bool]:
    """Return how far a sign's state can be relied on, the stage it speaks of, and whether it was
    all seen or measured here, none of it told.

    A support is as reliable as its readings `together` and as old as its oldest: what
    mixes readings from before and after a repair says nothing of the unit as it is now; what no
    repair changes is of every stage. Of several supports the strongest counts.
    """
    best, findings = (0.0, 0, False), state.rulebook.findings
    for names in state.grounds_of(sign, shown):
        taken = [state.readings[name] for name in names if name in state.readings]
        if taken:
            trust = together(reliability_of(state, reading) for reading in taken)
            ages = [one.stage for one in taken if not findings[one.finding].fixed]
            known = all(reading.how != "told" for reading in taken)
            best = max(best, (trust, min(ages or [one.stage for one in taken]), known))
    return best


def outdated(state: SessionState) -> Iterator[str]:
    """Yield the findings of repaired causes that were looked at before the last repair."""
    signs = {sign for done in state.repairs for sign in state.rulebook.causes[done.cause].shows}
    for sign in sorted(signs):
        for one in state.chain.states(sign):
            for name in frozenset().union(*state.grounds_of(sign, one)):
                reading = state.readings.get(name)
                if reading and reading.stage < state.stage and reading.how != "told":
                    yield name


def contradictions(state: SessionState) -> tuple[RuleContradiction, ...]:
    """Return where one reading both shows a sign and rules out all that brings it about.

    Neither side counts. From different readings it is no fault of the rules: the sign shows
    anyway, or one of the readings is wrong.
    """
    found = rule_contradictions(state.evidence(), state.chain.excluded, state.start.links)
    return tuple(one for one in found if _from_one_reading(state, one))


def _from_one_reading(state: SessionState, contradiction: RuleContradiction) -> bool:
    barred = [
        state.under(support.used)
        for cause in contradiction.causes
        for support in state.chain.supports(Fact("excluded", cause, "ruled out"))
    ]
    shown = state.grounds_of(contradiction.sign, contradiction.state)
    return any(one <= other or other <= one for one in shown for other in barred)


def reliability_of(state: SessionState, reading: Reading) -> float:
    """Return how far a reading can be relied on.

    Taken twice alike it would have to slip twice. Of readings that cannot be true together
    one is wrong, and any of them may be it.
    """
    trust = state.rulebook.scales.reliability[reading.how]
    if reading.finding in state.confirmed:
        return twice(trust)
    shared = [
        len(names - state.confirmed) for _, names in state.impossible if reading.finding in names
    ]
    return trust * (1 - 1 / min(shared)) if shared else trust


def raising(state: SessionState) -> frozenset[str]:
    """Return the findings on which what raises a danger rests, as things stand."""
    facts = (Fact("danger", name, "present") for name in state.chain.dangers)
    used = (support.used for fact in facts for support in state.chain.supports(fact))
    return frozenset().union(*map(state.under, used))


def of_one_stage(state: SessionState, findings: Iterable[str]) -> bool:
    """Tell whether no repair lies between readings: else they speak of different units."""
    return len({state.readings[one].stage for one in findings if one in state.readings}) <= 1


def cannot_be(state: SessionState) -> Iterator[tuple[Rule, frozenset[str]]]:
    """Yield what cannot be yet is, as rules with the readings of one stage that they rest on."""
    for one in state.chain.impossible:
        names = state.under(one.used)
        if of_one_stage(state, names):
            yield one.rule, names
