"""What a reading is judged by, and where that comes from."""

from __future__ import annotations

from collections.abc import Iterator

from diag.logic.evaluate import evaluate
from diag.logic.rests_on import depending_on, resting_on
from diag.model.expression import Compare, Condition, names_in, walk
from diag.model.frozen import frozen
from diag.model.quantity import Quantity
from diag.model.rulebook import Finding, Rule, Value
from diag.reason.chain.engine import Chain
from diag.session.account.judged import judge_reading
from diag.session.state import SessionState


@frozen
class ReadingLimit:
    """What is good by the rules on this unit, and on what that rests; empty where nothing is."""

    good: str = ""
    is_good: bool | None = None
    """None where the rules set no limit, or neither accept nor refuse it."""
    missed: str = ""
    """By how much, as `0.8 V too low`."""
    origin: str = ""


def limit_of(state: SessionState, finding: str) -> ReadingLimit:
    """Return what the reading of a finding is judged by, as the session stands."""
    asked, reading = state.rulebook.findings[finding], state.readings[finding]
    if isinstance(reading.value, Quantity):
        one = judge_reading(state, finding)
        if one is None or not one.good:
            return ReadingLimit()
        return ReadingLimit(one.good, one.is_good, one.missed, origin_of(state, finding))
    if not asked.choices or asked.fixed:
        return ReadingLimit()
    is_good = _choice_is_good(state, asked, reading.value)
    return ReadingLimit(asked.states[0], is_good, "", origin_of(state, finding))


def _choice_is_good(state: SessionState, asked: Finding, value: Value) -> bool | None:
    """Tell whether a state is as it should be, or one that a complaint's proof accepts.

    Neither good nor bad is one that nothing is concluded from and that no cause shows.
    """
    if value == asked.states[0] or _accepted(state, asked.id, value):
        return True
    causes = state.rulebook.causes.values()
    shown = any(value in one.shows.get(asked.id, {}) for one in causes)
    told = any(value in _states(rule, asked.id) and _is_bad(state, rule) for rule in _rules(state))
    return False if shown or told else None


def _accepted(state: SessionState, finding: str, value: Value) -> bool:
    """Tell whether a proof that asks for this finding alone holds with this answer."""
    book = state.rulebook
    proofs = [one.condition for each in book.complaints.values() for one in each.proof]
    alone = [one for one in proofs if names_in(one) == (finding,)]
    if not alone:
        return False
    chain = Chain(state.compiled.network, state.unit)
    chain.tell(finding, value)
    return any(evaluate(one, chain).truth for one in alone)


def _rules(state: SessionState) -> Iterator[Rule]:
    return (rule for rule in state.rulebook.rules if rule.then.kind in ("sign", "danger"))


def _is_bad(state: SessionState, rule: Rule) -> bool:
    if rule.then.kind == "danger":
        return True
    return rule.then.state != state.rulebook.signs[rule.then.name].states[0]


def _states(rule: Rule, finding: str) -> frozenset[str]:
    """Return the states of a finding that the condition of a rule names."""
    named = (part for part in walk(rule.when) if getattr(part, "name", "") == finding)
    return frozenset(state for part in named for state in getattr(part, "states", ()))


def origin_of(state: SessionState, finding: str) -> str:
    """Say where the limits of a finding come from: the unit's data, and the sources of the rules.

    Of the rules those count that say something by what was read; where none does, all.
    """
    below = state.compiled.below
    above = depending_on(finding, below)
    near = [rule for rule in _rules(state) if above & set(names_in(rule.when))]
    rules = [rule for rule in near if state.now.truth(rule.when)] or near
    sources = dict.fromkeys(str(rule.origin) for rule in rules if rule.origin)
    parts = [part for rule in rules for part in _compared(rule.when, above)]
    names = dict.fromkeys(
        name.removeprefix("unit ")
        for name in resting_on(names_in(*parts), below.get)
        if name.startswith("unit ")
    )
    data = [_datum(state, name) for name in names if name in state.unit.data]
    return "; ".join([*data, *sources])


def _compared(condition: Condition, above: frozenset[str] | set[str]) -> Iterator[Compare]:
    for part in walk(condition):
        if isinstance(part, Compare) and set(above) & set(names_in(part)):
            yield part


def _datum(state: SessionState, name: str) -> str:
    """Write a datum of the unit: whether it is the unit's own, its class's, and its origin."""
    unit = state.unit
    whose = "class value" if name in unit.assumed else "unit file"
    origin = f", {unit.origins[name]}" if name in unit.origins else ""
    return f"{name} {unit.data[name]} ({whose}{origin})"
