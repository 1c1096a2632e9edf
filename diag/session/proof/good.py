"""What a finding reads on a sound unit, worked out from the rules that judge it.

No limit is written twice: readings are tried, with all else as it should be, and those are good
of which no rule concludes anything bad. An idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from diag.logic.figure import value_of
from diag.logic.rests_on import depending_on, directly_below
from diag.model.expression import Compare, Condition, Ref, Term, UnitRef, names_in, walk
from diag.model.quantity import UNITS, Quantity
from diag.model.rulebook import Finding, Rule, Rulebook, UnitData, Value
from diag.reason.chain.engine import Chain
from diag.reason.chain.network import Network, compile_rules
from diag.session.proof.ranges import widest_range
from diag.session.proof.wanted import Wanted

SHOWN_DIGITS = 3


def what_is_good(
    rulebook: Rulebook,
    unit: UnitData,
    finding: str,
    known: Mapping[str, Value] | None = None,
    network: Network | None = None,
) -> str | None:
    """Say what a finding reads on this unit when all is well, as `11 V or more`.

    `class value` stands behind what rests on data that are not the unit's own. `known` are facts
    of this unit, as of what kind a part is; the rest is taken as it should be. A choice is good in
    its first state. None where the rules set no limit. `network`: the rules as
    compiled, where they are. Raises `KeyError` for an unknown finding.
    """
    asked = rulebook.findings[finding]
    if asked.choices:
        return None if asked.fixed else next(look or state for state, look in asked.choices.items())
    facts = {name: value for name, value in (known or {}).items() if rulebook.findings[name].fixed}
    if network is None:
        network = compile_rules(rulebook.rules, rulebook.figures, rulebook.signs)
    chain = Chain(network, unit)
    sound = {name: one.states[0] for name, one in rulebook.findings.items() if one.choices}
    chain.tell_all({**sound, **facts})
    good = good_number(rulebook, unit, asked, chain)
    if good is None:
        return None
    return f"{good} (class value)" if good.assumed else str(good)


def good_number(
    rulebook: Rulebook, unit: UnitData, finding: Finding, chain: Chain
) -> Wanted | None:
    """Return what a number reads on this unit when all else is as in `chain`, which is changed.

    Ends are rounded inwards, to what a meter shows.
    """
    judged = _Judged(rulebook, unit, finding, chain)
    ends = None if judged.hangs_on_more else widest_range(finding, judged.turns(), judged.is_good)
    if ends is None:
        return None
    least, most = ends
    small = all(abs(end.value) < 0.1 for end in ends if end is not None)
    low, high = least and _shown(least, small, up=True), most and _shown(most, small, up=False)
    only = low if high is None else high
    beyond = only is not None and not judged.is_good(only)
    return Wanted(low=low, high=high, assumed=judged.assumed(rulebook), beyond=beyond)


class _Judged:
    """A number held against the rules that rest on it, with all else as it should be."""

    def __init__(self, rulebook: Rulebook, unit: UnitData, finding: Finding, chain: Chain) -> None:
        self._finding, self._unit, self._chain = finding.id, unit, chain
        below = directly_below(rulebook.rules, rulebook.figures, rulebook.signs)
        self._above = depending_on(finding.id, below)
        self._rules = [
            rule
            for rule in rulebook.rules
            if rule.then.kind in ("sign", "danger") and self._above & _named(rule.when)
        ]
        self._sound = {name: sign.states[0] for name, sign in rulebook.signs.items()}
        self._releases = [
            danger.released_when
            for danger in rulebook.dangers.values()
            if self._above & _named(danger.released_when)
        ]

    def is_good(self, number: Quantity) -> bool:
        """Tell whether nothing bad follows from a number, and what is sound may be concluded."""
        self._chain.tell(self._finding, number)
        truth = self._chain.truth
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
        return rule.then.kind == "danger" or rule.then.state != self._sound[rule.then.name]

    @property
    def hangs_on_more(self) -> bool:
        """Tell whether a danger sets a limit that other readings would have to tell."""
        raising = (rule.when for rule in self._rules if rule.then.kind == "danger")
        limits = (limit for one in raising for limit in self._limits(one))
        return any(value_of(limit, self._chain) is None for limit in limits)

    def turns(self) -> Iterator[float]:
        """Yield, in SI, what the rules compare the finding with."""
        for condition in self._conditions():
            for limit in self._limits(condition):
                value = value_of(limit, self._chain)
                if value is not None:
                    yield value.si

    def _limits(self, condition: Condition) -> Iterator[Term]:
        """Yield what a condition compares the finding with."""
        for part in walk(condition):
            if isinstance(part, Compare):
                sides = (part.left, part.right)
                for side, other in (sides, sides[::-1]):
                    if side == Ref(self._finding):
                        yield other

    def assumed(self, rulebook: Rulebook) -> tuple[str, ...]:
        """Return the data that limits rest on and that are not the unit's own.

        What limits grow with, by which a unit is picked, is none.
        """
        scales = {name for limit in rulebook.thresholds.values() for name in limit.proportional}
        limits = (limit for one in self._conditions() for limit in self._limits(one))
        data = (part.name for one in limits for part in walk(one) if isinstance(part, UnitRef))
        return tuple(dict.fromkeys(name for name in data if name in self._unit.assumed - scales))

    def _conditions(self) -> Iterator[Condition]:
        yield from (rule.when for rule in self._rules)
        yield from self._releases


def _named(condition: Condition) -> set[str]:
    return set(names_in(condition))


def _shown(end: Quantity, small: bool, *, up: bool) -> Quantity:
    """Return an end as a meter shows it, in thousandths of its unit where all is small."""
    unit = UNITS.get(f"m{end.unit.symbol}", end.unit) if small else end.unit
    written = Decimal(f"{unit.from_si(end.si):.6g}")
    place = Decimal(1).scaleb(written.adjusted() - SHOWN_DIGITS + 1)
    rounded = written.quantize(place, ROUND_CEILING if up else ROUND_FLOOR)
    return Quantity(unit.to_si(float(rounded)), unit)
