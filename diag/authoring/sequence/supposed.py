"""What a worker on a sheet supposes: all as it should be, but for how the complaint itself shows.

A complaint is known before the first step. What most units with it show is no news, and is taken
as bad in each way in which it often is; whatever else was looked at and passed is good.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice, product

from diag.authoring.settling import Bench
from diag.logic.evaluate import evaluate
from diag.logic.figure import Held
from diag.logic.rests_on import findings_under
from diag.model.expression import Condition
from diag.model.rulebook import Figure, Rulebook, UnitData
from diag.reason.belief.links import Links
from diag.reason.chain.engine import Chain
from diag.session.hearing import hear_dangers

MOST_TRIED = 2000
"""How many sets of answers are tried for one that agrees with a sign's state."""
OFTEN = 0.1
"""The least share of the units, of a way in which a complaint shows."""
ASKED_OF = 1 / 2
"""The least share of the units that come to a step, of those for which it makes sense."""

UnitShares = Mapping[int, float]
"""Index of a cause to its share of the units; they add to 1."""


@dataclass(frozen=True)
class Situation:
    """One way in which the complaint shows: its weight, and the answers that are not good."""

    weight: float
    answers: Mapping[str, str]
    states: Mapping[str, str]


class _Seen:
    """What a condition may see, where these findings were asked for."""

    def __init__(self, supposed: Supposed, asked: frozenset[str], at: Situation) -> None:
        self._supposed, self._asked, self._at = supposed, asked, at

    def value(self, name: str) -> Held | None:
        book, asked = self._supposed.rulebook, self._asked
        if name in book.findings:
            states = book.findings[name].states
            good = states and name in asked
            return frozenset({self._at.answers.get(name, states[0])}) if good else None
        if name in book.signs:
            needs = self._supposed.bench.needs(name)
            settled = any(need <= asked for need in needs)
            state = self._at.states.get(name, book.signs[name].states[0])
            return frozenset({state}) if settled else None
        return self._supposed.unit.data.get(name.removeprefix("unit "))

    def deciders(self, _: str) -> frozenset[str]:
        return frozenset()

    def figure(self, _: str) -> Figure | None:
        return None


@dataclass(frozen=True)
class Supposed:
    """Whether a step makes sense after others that were passed, for a complaint on a unit."""

    rulebook: Rulebook
    unit: UnitData
    bench: Bench
    situations: Sequence[Situation]
    told: frozenset[str]
    """Signs that the complaint itself tells: to look at them shows nothing new."""
    _known: dict[tuple[Condition, frozenset[str]], bool] = field(default_factory=dict)
    _under: dict[Condition, frozenset[str]] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        rulebook: Rulebook,
        unit: UnitData,
        bench: Bench,
        shares: UnitShares,
        told: Mapping[str, str],
    ) -> Supposed:
        """Work out how a complaint shows, by the causes that bring it and by what it tells."""
        signs = {name: state for name, state in told.items() if name in rulebook.signs}
        first = Situation(1.0, told, signs)
        known = tuple(_situations(rulebook, unit, bench, shares, first))
        return cls(rulebook, unit, bench, known, frozenset(signs))

    def holds(self, when: Condition | None, asked: frozenset[str]) -> bool:
        """Tell whether a condition is decided by what was asked, and often enough true."""
        if when is None:
            return True
        if when not in self._under:
            below = self.bench.compiled.below
            self._under[when] = frozenset(findings_under(when, self.rulebook.findings, below))
        key = when, asked & self._under[when]
        if key not in self._known:
            seen = [(at.weight, _Seen(self, asked, at)) for at in self.situations]
            true = sum(weight for weight, view in seen if evaluate(when, view).truth)
            self._known[key] = true >= ASKED_OF
        return self._known[key]

    @cached_property
    def dangers(self) -> tuple[str, ...]:
        """Return the dangers that the complaint itself raises, by how it shows."""
        dangers = self.rulebook.dangers.values()
        shown = [(at.weight, frozenset(at.answers), at) for at in self.situations]
        weights = {
            one.id: sum(
                weight
                for weight, asked, at in shown
                if evaluate(one.raised_when, _Seen(self, asked, at)).truth
            )
            for one in dangers
        }
        return tuple(name for name, weight in weights.items() if weight >= ASKED_OF)

    @cached_property
    def forbidden(self) -> frozenset[str]:
        """Return the acts that nobody does while those dangers hold."""
        dangers = self.rulebook.dangers
        return frozenset(act for name in self.dangers for act in dangers[name].forbids)

    def asked_of(self, check: str, asked: frozenset[str]) -> frozenset[str]:
        """Return what is asked for in a check, after what was asked; none where it makes no
        sense."""
        one = self.rulebook.checks[check]
        findings = self.rulebook.findings
        if not self.holds(one.possible_when, asked) or self.forbidden.intersection(one.acts):
            return frozenset()
        left, found = list(one.yields), set[str]()
        while True:
            now = asked | found
            more = [name for name in left if self.holds(findings[name].asked_when, now)]
            if not more:
                return frozenset(found)
            found.update(more)
            left = [name for name in left if name not in found]


def told_by(rulebook: Rulebook, complaint: str) -> Iterator[tuple[str, str]]:
    """Yield what a complaint itself tells of dangers: findings and their states.

    Only where its first check is to look for them: elsewhere a word of its title may sound so.
    """
    told = rulebook.complaints[complaint]
    asked = rulebook.asked_first
    if told.intake and asked.intersection(rulebook.checks[told.intake[0]].yields):
        for heard in hear_dangers(told.title, rulebook):
            yield heard.finding.id, heard.state


def _situations(
    rulebook: Rulebook, unit: UnitData, bench: Bench, shares: UnitShares, first: Situation
) -> Iterator[Situation]:
    links = bench.compiled.links
    known = [first]
    for sign in rulebook.signs:
        chances = _chances(links, sign, shares)
        if sign in first.states or chances[0] >= 0.5:
            continue
        often = {
            state: chance
            for state, chance in zip(links.table(sign).states[1:], chances[1:], strict=True)
            if chance >= OFTEN
        }
        total = sum(often.values())
        known = [
            Situation(
                before.weight * chance / total,
                _agreeing(rulebook, unit, bench, before.answers, (sign, state)),
                {**before.states, sign: state},
            )
            for before in known
            for state, chance in often.items()
        ] or known
    yield from known


def _chances(links: Links, sign: str, shares: UnitShares) -> list[float]:
    table = links.table(sign)
    each = [(share, table.chances([cause])) for cause, share in shares.items()]
    return [sum(share * one[at] for share, one in each) for at in range(len(table.states))]


def _agreeing(
    rulebook: Rulebook,
    unit: UnitData,
    bench: Bench,
    before: Mapping[str, str],
    seen: tuple[str, str],
) -> Mapping[str, str]:
    """Return answers with which a sign is in a state: good ones first, where those agree."""
    sign, state = seen
    chain = Chain(bench.compiled.network, unit)
    under = {name for need in bench.needs(sign) for name in need} & rulebook.findings.keys()
    asked = [rulebook.findings[name] for name in sorted(under) if rulebook.findings[name].choices]
    ways = [(before[one.id],) if one.id in before else one.states for one in asked]
    for answers in islice(product(*ways), MOST_TRIED):
        told = dict(zip((one.id for one in asked), answers, strict=True))
        chain.tell_all(told)
        if chain.states(sign) == {state}:
            return {**before, **told}
    return before
