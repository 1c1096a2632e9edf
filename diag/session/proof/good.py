"""What a finding reads on a sound unit, worked out from the rules that judge it.

No limit is written twice: readings are tried, with all else as it should be, and those are good
of which no rule concludes anything bad. An idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diag.logic.figure import value_of
from diag.logic.rests_on import depending_on, directly_below, resting_on
from diag.model.expression import Compare, Condition, Ref, Term, names_in, walk
from diag.model.quantity import Quantity
from diag.model.rulebook import Finding, Rule, Rulebook, UnitData, Value
from diag.reason.chain.engine import Chain
from diag.reason.chain.network import Network, compile_rules
from diag.session.proof.ranges import widest_range
from diag.session.proof.wanted import Wanted, inwards

CLASS_VALUE = " (class value)"
"""What stands behind a limit that rests on data that are not the unit's own."""


def what_is_good(
    rulebook: Rulebook,
    unit: UnitData,
    finding: str,
    known: Mapping[str, Value] | None = None,
    network: Network | None = None,
) -> str | None:
    """Say what a finding reads on this unit when all is well, as `11 V or more`.

    `class value` stands behind what rests on data that are not the unit's own. A choice is good in
    its first state; a number as `good_range` says, with the same `known` and `network`. None where
    the rules set no limit. `KeyError` for an unknown finding.
    """
    asked = rulebook.findings[finding]
    if asked.choices:
        return None if asked.fixed else next(look or state for state, look in asked.choices.items())
    good = good_range(rulebook, unit, finding, known, network)
    return None if good is None else with_class_value(good)


def with_class_value(good: Wanted) -> str:
    """Write a range, and that it rests on data that are not the unit's own where it does."""
    return f"{good}{CLASS_VALUE if good.assumed else ''}"


def good_range(
    rulebook: Rulebook,
    unit: UnitData,
    finding: str,
    known: Mapping[str, Value] | None = None,
    network: Network | None = None,
) -> Wanted | None:
    """Return between what ends a number is good on this unit, None where the rules set no limit.

    `known` is what was read on it: facts that no repair changes count, and numbers that are good
    themselves; the rest is taken as it should be. `network`: the rules as compiled, where they
    are. `KeyError` for an unknown finding.
    """
    asked = rulebook.findings[finding]
    if network is None:
        network = compile_rules(rulebook.rules, rulebook.figures, rulebook.signs)
    told: dict[str, Value]
    told = {name: one.states[0] for name, one in rulebook.findings.items() if one.choices}
    told |= {name: value for name, value in (known or {}).items() if rulebook.findings[name].fixed}
    sound = Chain(network, unit)
    sound.tell_all(told)
    judged = _Judged(rulebook, unit, asked, sound)
    fuller = _with_numbers(judged, known or {})
    return (fuller.range() if fuller else None) or judged.range()


def _with_numbers(judged: _Judged, known: Mapping[str, Value]) -> _Judged | None:
    """Return the same with those numbers told that have a say in it and are good themselves.

    None where there are none.
    """
    good_numbers: dict[str, Value] = {}
    for name in judged.rests_on():
        value = known.get(name)
        if isinstance(value, Quantity) and name != judged.finding.id:
            other = judged.of(judged.book.findings[name], judged.chain)
            good = other.range()
            if good is None or not good.missed_by(value):
                good_numbers[name] = value
    if not good_numbers:
        return None
    chain = judged.chain.copy()
    chain.tell_all(good_numbers)
    return judged.of(judged.finding, chain)


class _Judged:
    """A number held against the rules that rest on it, with all else as told to a chain."""

    def __init__(self, book: Rulebook, unit: UnitData, finding: Finding, chain: Chain) -> None:
        self.book, self.finding, self.chain = book, finding, chain
        self._unit, self._trial = unit, chain.copy()
        self._below = directly_below(book.rules, book.figures, book.signs)
        self._above = above = depending_on(finding.id, self._below)
        self._rules = [
            rule
            for rule in book.rules
            if rule.then.kind in ("sign", "danger") and above & set(names_in(rule.when))
        ]
        self._releases = [
            danger.released_when
            for danger in book.dangers.values()
            if above & set(names_in(danger.released_when))
        ]

    def of(self, finding: Finding, chain: Chain) -> _Judged:
        """Return the same for another finding or another chain."""
        return _Judged(self.book, self._unit, finding, chain)

    def rests_on(self) -> tuple[str, ...]:
        """Return the findings that its rules rest on, itself among them."""
        names = names_in(*self._conditions())
        return tuple(
            name for name in resting_on(names, self._below.get) if name in self.book.findings
        )

    def range(self) -> Wanted | None:
        """Return what is good, its ends rounded inwards to what a meter shows."""
        judging = {rule.then.kind for rule in self._rules}
        if "sign" not in judging or self._hangs_on_more:
            return None  # what raises a danger is no measure of what is good
        ends = widest_range(self.finding, self._turns(), self._good)
        if ends is None:
            return None
        least, most = ends
        low, high = inwards(least, most)
        only = low if high is None else high
        beyond = only is not None and not self._good(only)
        return Wanted(low=low, high=high, assumed=self._assumed(), beyond=beyond)

    def _good(self, number: Quantity) -> bool:
        """Tell whether nothing bad follows from a number, and what is sound may be concluded."""
        self._trial.tell(self.finding.id, number)
        truth = self._trial.truth
        may_be: dict[str, bool] = {}
        for rule in self._rules:
            sign, stands = rule.then.name, truth(rule.when)
            if self._is_bad(rule):
                if stands:
                    return False
            else:
                may_be[sign] = may_be.get(sign, False) or stands is not False
        may_release = all(truth(condition) is not False for condition in self._releases)
        return all(may_be.values()) and may_release

    def _is_bad(self, rule: Rule) -> bool:
        return (
            rule.then.kind == "danger"
            or rule.then.state != self.book.signs[rule.then.name].states[0]
        )

    @property
    def _hangs_on_more(self) -> bool:
        """Tell whether a danger sets a limit that other readings would have to tell."""
        raising = (rule.when for rule in self._rules if rule.then.kind == "danger")
        limits = (limit for one in raising for limit in self._limits(one))
        return any(value_of(limit, self._trial) is None for limit in limits)

    def _turns(self) -> Iterator[float]:
        """Yield, in SI, what the rules compare the finding with."""
        for condition in self._conditions():
            for limit in self._limits(condition):
                value = value_of(limit, self._trial)
                if value is not None:
                    yield value.si

    def _limits(self, condition: Condition) -> Iterator[Term]:
        """Yield what a condition compares the finding with."""
        for part in walk(condition):
            if isinstance(part, Compare):
                sides = (part.left, part.right)
                for side, other in (sides, sides[::-1]):
                    if side == Ref(self.finding.id):
                        yield other

    def _assumed(self) -> tuple[str, ...]:
        """Return the data that limits rest on and that are not the unit's own.

        What limits grow with, by which a unit is picked, is none.
        """
        scales = {name for limit in self.book.thresholds.values() for name in limit.proportional}
        names = names_in(*self._decided())
        data = (
            name.removeprefix("unit ")
            for name in resting_on(names, self._below.get)
            if name.startswith("unit ")
        )
        return tuple(name for name in data if name in self._unit.assumed - scales)

    def _decided(self) -> Iterator[Compare]:
        """Yield the comparisons that rest on the finding and are decided by it."""
        for part in self._compared():
            if self._above & set(names_in(part)) and self._trial.truth(part) is not None:
                yield part

    def _compared(self) -> Iterator[Compare]:
        """Yield every comparison in its conditions."""
        parts = (part for condition in self._conditions() for part in walk(condition))
        return (part for part in parts if isinstance(part, Compare))

    def _conditions(self) -> Iterator[Condition]:
        yield from (rule.when for rule in self._rules)
        yield from self._releases
