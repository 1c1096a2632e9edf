"""Units drawn from a rulebook's own model, answering a session reading by reading.

A unit has its causes, and keeps what they do to it: for each sign each cause has a clock of its
own, drawn once, and so has the leak. The first to ring of those still there is what shows, so
that a repair takes away what the repaired cause showed, and nothing else. How far a start gets is
masked: each cause stops it somewhere, and the earliest stop is what shows. Where no worked case
of the complaint burns as it should, no cause that can stop a start lets it burn: each brings the
complaint by itself, and the repair of one leaves the unit as its owner brought it. The readings
of a check are those of a worked case, changed here and there until the signs that they decide are
the ones drawn. What a proof asks for fits how the unit is by then: a repair's own proof holds, and
the complaint's if nothing is left to repair. What cannot be read is never asked, since the session
itself holds it back.
`python -m tests.bench.drawn [units]` tells how well the readings keep to the signs drawn.
"""

from __future__ import annotations

import math
import random
import sys
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise

from diag.authoring.case_runner import run_case
from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.case import Case
from diag.model.quantity import Quantity
from diag.model.rulebook import Rulebook, Value
from diag.reason.belief.competing_risks import chances_of
from diag.reason.belief.links import Links, compile_links
from diag.reason.chain.engine import Chain, Changes
from diag.rulebook import load_cases, with_error
from diag.session.state import SessionState

UNITS = ("small 12 V", "medium 12 V")
START = "start gets to"
MOST_SWEEPS = 2
HEAVY = 10
LEAK = ""
"""What shows a state with no cause behind it, among the causes of a unit."""


@dataclass(frozen=True)
class Stock:
    """A rulebook, its links, and what each finding reads in its worked cases, by unit."""

    rulebook: Rulebook
    links: Links
    cases: tuple[Case, ...]
    values: Mapping[str, tuple[Value, ...]]
    """Finding to what it may read: the values met, the commonest first, then for a number those
    met of its unit and those half way between."""
    starts: Mapping[str, frozenset[str]]
    """Complaint to how far starts get in its worked cases with a fault."""

    @classmethod
    def open(cls) -> Stock:
        """Read the shipped rulebook and its cases."""
        rulebook = load_book()
        met: dict[str, Counter[Value]] = {}
        starts: dict[str, set[str]] = {}
        read = load_cases(shipped_rules() / "cases", rulebook)
        cases = tuple(case for case in read if case.unit in UNITS and not case.wrong)
        for case in cases:
            for finding, value in case.readings.items():
                met.setdefault(finding, Counter())[value] += 1
            if case.truth:
                starts.setdefault(case.complaint, set()).update(_start_of(rulebook, case))
        values = {name: _candidates(rulebook, name, met) for name in met}
        links = compile_links(rulebook.signs, rulebook.causes)
        seen = {complaint: frozenset(stops) for complaint, stops in starts.items()}
        return cls(rulebook, links, cases, values, seen)

    def together(self, unit: str, findings: tuple[str, ...]) -> list[dict[str, Value]]:
        """Return sets of readings of one check as cases hold them: the unit's own, the commonest
        first, then those of others."""
        counts = Counter(
            (case.unit == unit, tuple(case.readings.get(one) for one in findings))
            for case in self.cases
            if findings[0] in case.readings
        )
        order = sorted(counts, key=lambda one: (-one[0], -counts[one]))
        return [
            {name: value for name, value in zip(findings, values, strict=True) if value is not None}
            for _, values in order
        ]


def _candidates(
    rulebook: Rulebook, name: str, met: Mapping[str, Counter[Value]]
) -> tuple[Value, ...]:
    """Return the values that a finding may read, those of its own cases first."""
    finding = rulebook.findings[name]
    own = [value for value, _ in met[name].most_common()]
    if finding.kind != "quantity":
        return tuple(dict.fromkeys([*own, *finding.states]))
    alike = [one for one in met if rulebook.findings[one].unit == finding.unit]
    numbers = {one.si: one for other in alike for one in met[other] if isinstance(one, Quantity)}
    known = [numbers[si] for si in sorted(numbers)]
    between = [replace(one, si=(one.si + other.si) / 2) for one, other in pairwise(known)]
    low, high = finding.believable or (known[0], known[-1])
    more = [one for one in (*known, *between) if low.si <= one.si <= high.si]
    return tuple(dict.fromkeys([*own, *more]))


def _start_of(rulebook: Rulebook, case: Case) -> frozenset[str]:
    state = SessionState(rulebook, rulebook.units[case.unit], case.complaint)
    state.chain.tell_all(case.readings)
    return state.chain.states(START)


@dataclass
class DrawnUnit:
    """One unit with its causes; answers what a session asks of it."""

    stock: Stock
    case: Case
    chance: random.Random
    clocks: dict[str, dict[str, tuple[float, str]]] = field(default_factory=dict)
    """Sign to when each cause, and the leak, would show something, and what."""
    decided: Counter[str] = field(default_factory=Counter)
    """How many signs came out as drawn, and how many could not."""
    planned: dict[str, Value] = field(default_factory=dict)
    """Readings of the check under way."""
    under_way: tuple[int, str] = (0, "")
    seed: float = field(init=False)

    def __post_init__(self) -> None:
        self.seed = self.chance.random()

    def sign(self, name: str, mended: Iterable[str]) -> str:
        """Return the state that a sign shows while these causes are mended."""
        if name not in self.clocks:
            able = self._able() if name == START else frozenset()
            # One seed for each sign: what shows does not hang on the order of the questions.
            chance = random.Random(f"{self.seed} {name}")
            self.clocks[name] = {
                cause: self._clock(name, cause, able, chance) for cause in (LEAK, *self.case.truth)
            }
        left = [cause for cause in (LEAK, *self.case.truth) if cause not in mended]
        shown = [self.clocks[name][cause] for cause in left]
        if name == START:
            order = self.stock.links.table(START).states
            return max((state for _, state in shown), key=order.index)
        return min(shown)[1]

    def _able(self) -> frozenset[str]:
        """Return where a cause can stop the start and bring the complaint by itself."""
        order = self.stock.links.table(START).states
        seen = self.stock.starts.get(self.case.complaint, frozenset(order))
        return frozenset(order if order[0] in seen else order[1:])

    def _clock(
        self, sign: str, cause: str, able: frozenset[str], chance: random.Random
    ) -> tuple[float, str]:
        """Draw what a cause, or the leak, shows by itself, and when: never for the first state.

        Of a cause only a state among those `able` is drawn, where any are named.
        """
        table, index = self.stock.links.table(sign), self.stock.links.cause_index
        rates = table.leak if cause == LEAK else table.rates.get(index[cause])
        if not rates or not any(rates):
            return math.inf, table.states[0]
        weights = list(chances_of(rates))
        if cause != LEAK and able:
            weights = [
                weight if state in able else 0.0
                for state, weight in zip(table.states, weights, strict=True)
            ]
        state = chance.choices(table.states, weights)[0]
        if state == table.states[0]:
            return math.inf, state
        # The time of a clock that rang before the end, drawn from what is left of its curve.
        total = sum(rates)
        share = chance.random() * -math.expm1(-total)
        return -math.log1p(-share) / total, state

    def answer(self, state: SessionState, finding: str, check: str) -> Value | None:
        """Return what the unit shows; the readings of one check are drawn together."""
        under_way = (state.stage, check)
        if self.under_way != under_way or finding not in self.planned:
            self.under_way = under_way
            yields = state.rulebook.checks[check].yields if check else (finding,)
            fresh = (one for one in yields if one != finding and not _stands(state, one))
            self.planned = self._plan(state, (finding, *fresh))
        value = self._proving(state, finding, self.planned.pop(finding, None))
        if value is not None:
            self._count(state, {finding: value})
        return value

    def _proving(self, state: SessionState, finding: str, value: Value | None) -> Value | None:
        """Return the reading, or where a proof wants it the nearest one that fits how all is."""
        if finding not in {look.finding for look in state.proving.open}:
            return value
        able = self.stock.values.get(finding, state.rulebook.findings[finding].states)
        known = [one for one in (value, *able) if one is not None]
        fits = [one for one in known if self._bears_out(state, finding, one)]
        return min(fits, key=lambda one: self._strangeness(state, {finding: one}), default=value)

    def _bears_out(self, state: SessionState, finding: str, value: Value) -> bool:
        """Tell whether a reading leaves the proofs open, or as they are on this unit."""
        mended = {*(one.cause for one in state.repairs), state.in_proof}
        now = state.now.copy()
        now.tell(finding, with_error(value, finding, state.unit))
        cause = state.rulebook.causes.get(state.in_proof)
        own = [now.truth(one.condition) for one in cause.proof] if cause else []
        complaint = state.rulebook.complaints[self.case.complaint]
        whole = [now.truth(one.condition) for one in complaint.proof]
        if set(self.case.truth) <= mended:
            return False not in (*own, *whole)
        return False not in own and not all(whole)

    def _plan(self, state: SessionState, asked: tuple[str, ...]) -> dict[str, Value]:
        """Return the readings of a check that fit best what was drawn, close to those of a case."""
        sets = self.stock.together(state.unit.id, asked) or [{}]
        best = min(sets, key=lambda readings: self._strangeness(state, readings))
        least = self._strangeness(state, best)
        for finding in list(best) * MOST_SWEEPS:
            for value in self.stock.values[finding] if self._misses(state, best) else ():
                strange = self._strangeness(state, {**best, finding: value})
                if strange < least:
                    best, least = {**best, finding: value}, strange
        return best

    def _misses(self, state: SessionState, readings: Mapping[str, Value]) -> int:
        """Return how many signs come out otherwise than drawn."""
        decided = newly_decided(state, readings)
        return sum(shown != {self._now(state, one)} for one, shown in decided.items())

    def _strangeness(self, state: SessionState, readings: Mapping[str, Value]) -> float:
        """Return how far readings are from what was drawn: what tells little is no way out.

        How far a start gets counts most, and as much that no readings are impossible together.
        """
        trial, changes = told(state, readings)
        impossible = sum(fact.kind == "impossible" for fact in changes.added)
        return HEAVY * impossible + sum(
            (HEAVY if one == START else 1)
            * (-0.5 if trial.states(one) == {self._now(state, one)} else 1)
            for one in _touched(state, changes, readings)
        )

    def _now(self, state: SessionState, sign: str) -> str:
        # No proof under way has an empty name, as the leak has, which no repair takes away.
        mended = [*(repair.cause for repair in state.repairs), state.in_proof]
        return self.sign(sign, [cause for cause in mended if cause != LEAK])

    def _count(self, state: SessionState, readings: Mapping[str, Value]) -> None:
        for sign, shown in newly_decided(state, readings).items():
            self.decided["kept" if shown == {self._now(state, sign)} else "missed"] += 1


def _stands(state: SessionState, finding: str) -> bool:
    """Tell whether a finding was read since the last repair."""
    reading = state.readings.get(finding)
    return reading is not None and reading.stage == state.stage


def newly_decided(state: SessionState, readings: Mapping[str, Value]) -> dict[str, frozenset[str]]:
    """Return the signs, with their states, that readings would decide or change now."""
    trial, changes = told(state, readings)
    return {sign: trial.states(sign) for sign in _touched(state, changes, readings)}


def told(state: SessionState, readings: Mapping[str, Value]) -> tuple[Chain, Changes]:
    """Return what follows from readings now, and what they change.

    What was read before a repair decides nothing of the unit as it is after it, but for facts
    that no repair changes.
    """
    trial = state.chain.copy()
    for name, reading in state.readings.items():
        if reading.stage < state.stage and not state.rulebook.findings[name].fixed:
            trial.withdraw(name)
    changes = trial.tell_all(
        {name: with_error(value, name, state.unit) for name, value in readings.items()}
    )
    return trial, changes


def _touched(state: SessionState, changes: Changes, readings: Iterable[str]) -> list[str]:
    """Return the signs that changed, and those that are readings themselves."""
    signs = {fact.name for fact in (*changes.added, *changes.removed) if fact.kind == "sign"}
    return sorted(signs | {name for name in readings if name in state.rulebook.signs})


def draw_case(stock: Stock, chance: random.Random, truth: tuple[str, ...], complaint: str) -> Case:
    """Return a case without readings: they are drawn as they are asked."""
    unit = chance.choice(UNITS)
    return Case("drawn", unit, complaint, truth, {})


def main(units: int) -> None:
    """Print how many decided signs came out as drawn."""
    stock, chance, total = Stock.open(), random.Random(1), Counter[str]()
    causes = [cause for cause in stock.rulebook.causes.values() if cause.complaints]
    for _ in range(units):
        cause = chance.choices(causes, [one.odds for one in causes])[0]
        complaint = chance.choices(list(cause.complaints), list(cause.complaints.values()))[0]
        unit = DrawnUnit(stock, draw_case(stock, chance, (cause.id,), complaint), chance)
        run_case(stock.rulebook, unit.case, unit)
        total += unit.decided
    print(f"{units} units: {total['kept']} signs as drawn, {total['missed']} not")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50)
