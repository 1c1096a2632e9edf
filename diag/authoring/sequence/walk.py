"""What it costs to go down a list of checks in their order until one shows the fault.

The expected minutes of a list are those of each step by the chance that one comes to it, and a
session for what no step shows: the least cost testing sequence of Mitten, "An analytic solution to
the least cost testing sequence problem", J. Ind. Eng. 11 (1960), with costs and chances that hang
on what was done before; from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf, prod

from diag.authoring.sequence.pointing import Pointer, StateChances, pointed, state_chances
from diag.authoring.sequence.supposed import Supposed, told_by
from diag.authoring.settling import Bench
from diag.logic.rests_on import findings_under
from diag.model.rulebook import Rulebook, UnitData
from diag.reason.belief.links import Links
from diag.reason.plan.costs import cost_of, extra_minutes, keys_of, opened_after, setup_costs

MOST_POINTERS = 2
"""How many readings of one step, and what they point to, the sheet has room for."""

Order = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stand:
    """Where somebody stands who went down a list and saw nothing wrong."""

    minutes: float
    """Expected so far, by the chance of each step to be come to."""
    weights: tuple[float, ...]
    """By place of cause: the share of the units in which it was not shown yet."""
    asked: frozenset[str] = frozenset()
    looked: frozenset[str] = frozenset()
    """Signs that were settled, and those that they supersede."""
    opened: frozenset[str] = frozenset()
    pointers: tuple[Pointer, ...] = ()
    """What was looked at in the last step."""
    spent: float = 0.0
    """Minutes of the last step, with what it needs beyond what is ready."""


@dataclass(frozen=True)
class Walk:
    """Lists of checks for one complaint, each walked once and remembered step by step.

    `causes` are the indices of the causes that bring the complaint, `shares` their shares of the
    units: single faults, by belief's own odds. `first` are the checks with which every list
    begins.
    """

    rulebook: Rulebook
    unit: UnitData
    bench: Bench
    causes: tuple[int, ...]
    shares: tuple[float, ...]
    supposed: Supposed
    first: Order
    _stands: dict[Order, Stand | None] = field(default_factory=dict)
    _chances: dict[str, tuple[StateChances, ...]] = field(default_factory=dict)

    @classmethod
    def of(cls, rulebook: Rulebook, unit: UnitData, complaint: str, first: Order = ()) -> Walk:
        """Make ready the lists of a complaint; `KeyError` for an unknown one."""
        bench = Bench(rulebook, unit)
        links = bench.compiled.links
        _ = rulebook.complaints[complaint]
        causes = tuple(at for at, told in enumerate(links.complaints) if told.get(complaint))
        told = dict(told_by(rulebook, complaint))
        odds = [
            links.odds[at] * links.complaints[at][complaint] * _tells_so(links, at, told)
            for at in causes
        ]
        shares = tuple(one / sum(odds) for one in odds)
        units = dict(zip(causes, shares, strict=True))
        supposed = Supposed.of(rulebook, unit, bench, units, told)
        return cls(rulebook, unit, bench, causes, shares, supposed, first)

    def minutes(self, order: Order) -> float:
        """Return the expected minutes of a list; endless where a step makes no sense in it."""
        stand = self.stand(order)
        if stand is None:
            return inf
        session = self.rulebook.scales.settings.hand_over_minutes
        return stand.minutes + session * sum(stand.weights)

    def stand(self, order: Order) -> Stand | None:
        """Return where one stands after a list; None where a step makes no sense in it."""
        return self._stand((*self.first, *order))

    def stands(self, order: Order) -> Iterator[tuple[str, Stand, Stand]]:
        """Yield each step of a list that can be walked, with where one stands before and after."""
        whole = (*self.first, *order)
        for at, check in enumerate(whole):
            before, after = self._stand(whole[:at]), self._stand(whole[: at + 1])
            assert before is not None
            assert after is not None
            yield check, before, after

    def _stand(self, whole: Order) -> Stand | None:
        if whole not in self._stands:
            found: Stand | None = Stand(0.0, self.shares, looked=self.supposed.told)
            if whole:
                before = self._stand(whole[:-1])
                found = self._after(before, whole) if before else None
                if found is None and whole == self.first[: len(whole)]:
                    found = before
            self._stands[whole] = found
        return self._stands[whole]

    def _after(self, before: Stand, whole: Order) -> Stand | None:
        *earlier, check = whole
        asked = self.supposed.asked_of(check, before.asked)
        if not asked or self._waits_in_the_middle(earlier, check):
            return None
        spent = self._spent(before, whole)
        asked |= before.asked
        pointers = self._pointers(before, check, asked)
        weights = list(before.weights)
        for place, left in _unshown(pointers).items():
            weights[place] *= left
        settled = set(self._settled(check, asked))
        covered = {under for sign in settled for under in self.rulebook.signs[sign].supersedes}
        return Stand(
            before.minutes + spent * sum(before.weights),
            tuple(weights),
            asked,
            before.looked | settled | covered,
            opened_after(self.rulebook, check, before.opened),
            pointers,
            spent,
        )

    def _waits_in_the_middle(self, earlier: Sequence[str], check: str) -> bool:
        checks, most = self.rulebook.checks, self.rulebook.scales.settings.longest_wait_minutes
        return checks[check].waits <= most and any(checks[one].waits > most for one in earlier)

    def _spent(self, before: Stand, whole: Order) -> float:
        """Return the minutes of a step where it stands: a run shared with the one before is paid,
        and what is open or ready is."""
        *earlier, name = whole
        check, costs = self.rulebook.checks[name], setup_costs(self.rulebook)
        new = keys_of(self.rulebook, check) - before.opened
        shared = bool(check.run and earlier and self.rulebook.checks[earlier[-1]].run == check.run)
        extra = extra_minutes(self.rulebook, self.unit, earlier)
        if shared:
            own = replace(check, minutes=check.minutes - self.rulebook.runs[check.run].minutes)
            extra = {**extra, check.run: 0.0}
            return cost_of(self.rulebook, own, extra) + sum(costs[key] for key in sorted(new))
        return cost_of(self.rulebook, check, extra) + sum(costs[key] for key in sorted(new))

    def _settled(self, check: str, asked: frozenset[str]) -> list[str]:
        return [
            sign
            for sign in self._touched.get(check, ())
            if any(need <= asked for need in self.bench.needs(sign))
        ]

    @cached_property
    def _touched(self) -> Mapping[str, tuple[str, ...]]:
        """Return, for each check, the signs that rest on what it yields."""
        under: dict[str, set[str]] = {}
        for sign in self.rulebook.signs:
            for need in self.bench.needs(sign):
                for name in need:
                    under.setdefault(name, set()).add(sign)
        return {
            name: tuple(sorted({sign for one in check.yields for sign in under.get(one, ())}))
            for name, check in self.rulebook.checks.items()
        }

    @property
    def candidates(self) -> Order:
        """Return the checks that a list may hold: none that is for dangers alone, or done first."""
        checks = self.rulebook.checks.values()
        return tuple(one.id for one in checks if not one.held_back and one.id not in self.first)

    @cached_property
    def companions(self) -> Mapping[str, Order]:
        """Return, for each check, the others that bring what it waits for."""
        findings, below = self.rulebook.findings, self.bench.compiled.below
        found = {}
        for name in self.candidates:
            check = self.rulebook.checks[name]
            whens = [check.possible_when, *(findings[one].asked_when for one in check.yields)]
            waits = {
                one
                for when in whens
                if when is not None
                for one in findings_under(when, findings, below)
            }
            needs = [n for sign in self._touched[name] for n in self.bench.needs(sign)]
            own = frozenset(check.yields)
            wanted = [*({one} for one in waits - own), *(n - own for n in needs if n & own)]
            found[name] = tuple(
                one
                for one in self.candidates
                if one != name
                and any(w and w <= set(self.rulebook.checks[one].yields) for w in wanted)
            )
        return found

    def _pointers(self, before: Stand, check: str, asked: frozenset[str]) -> tuple[Pointer, ...]:
        signs = [sign for sign in self._settled(check, asked) if sign not in before.looked]
        covered = {under for sign in signs for under in self.rulebook.signs[sign].supersedes}
        found = [
            one
            for sign in signs
            if sign not in covered
            for one in pointed(sign, self._of(sign), before.weights)
        ]
        found.sort(key=lambda one: (-one.share, one.sign, one.states))
        return tuple(found[:MOST_POINTERS])

    def _of(self, sign: str) -> tuple[StateChances, ...]:
        if sign not in self._chances:
            links = self.bench.compiled.links
            self._chances[sign] = state_chances(links, self.causes, sign)
        return self._chances[sign]


def _tells_so(links: Links, cause: int, told: Mapping[str, str]) -> float:
    """Return the chance under a cause of what the complaint itself tells, as belief has it."""
    tables = [links.table(name) for name in told if name in links.sign_index]
    return prod(one.chances([cause])[one.states.index(told[one.sign])] for one in tables)


def _unshown(pointers: Iterable[Pointer]) -> Mapping[int, float]:
    """Return, by place of cause, the chance that none of these shows it.

    States of one sign exclude each other; signs are independent given the cause.
    """
    by_sign: dict[tuple[str, int], float] = {}
    for one in pointers:
        for place, chance in one.causes:
            by_sign[one.sign, place] = by_sign.get((one.sign, place), 0.0) + chance
    left: dict[int, float] = {}
    for (_, place), chance in by_sign.items():
        left[place] = left.get(place, 1.0) * (1 - chance)
    return left


def without(order: Iterable[str], *checks: str) -> Order:
    """Return a list without these checks."""
    return tuple(one for one in order if one not in checks)
