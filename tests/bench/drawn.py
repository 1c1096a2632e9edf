"""Units drawn from a rulebook's own model, answering a session reading by reading.

A unit has its causes; each sign has a state drawn by the competing clocks of those causes that
are still there. How far a start gets is masked: each cause stops it somewhere, and the earliest
stop is what shows. Where no worked case of the complaint burns as it should, the unit does not
either: an owner who says that it will not start has one that stops somewhere. The readings of a
check are those of a worked case, changed here and there until the signs that they decide are the
ones drawn. What cannot be read is never asked, since the session itself holds it back.
`python -m tests.bench.drawn [units]` tells how well the readings keep to the signs drawn.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.case import Case
from diag.model.knowledge import Rulebook, Value
from diag.reason.links import Links, compile_links
from diag.rulebook import load_cases, with_error
from diag.session.replay import run_case
from diag.session.state import State

UNITS = ("small 12 V", "medium 12 V")
START = "start gets to"
MOST_DRAWS = 500
MOST_SWEEPS = 2


@dataclass(frozen=True)
class Stock:
    """A rulebook, its links, and what each finding reads in its worked cases, by unit."""

    rulebook: Rulebook
    links: Links
    cases: tuple[Case, ...]
    values: Mapping[str, tuple[Value, ...]]
    """Finding to the values met, the commonest first."""
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
        values = {
            name: tuple(dict.fromkeys([value for value, _ in counts.most_common()]
                                      + list(rulebook.findings[name].states)))
            for name, counts in met.items()
        }
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


def _start_of(rulebook: Rulebook, case: Case) -> frozenset[str]:
    state = State(rulebook, rulebook.units[case.unit], case.complaint)
    state.chain.tell_all(case.readings)
    return state.chain.states(START)


@dataclass
class DrawnUnit:
    """One unit with its causes; answers what a session asks of it."""

    stock: Stock
    case: Case
    chance: random.Random
    proves: bool = True
    drawn: dict[tuple[int, str], str] = field(default_factory=dict)
    """Number of repairs done and sign to the state that it shows."""
    decided: Counter[str] = field(default_factory=Counter)
    """How many signs came out as drawn, and how many could not."""
    planned: dict[str, Value] = field(default_factory=dict)
    """Readings of the check under way."""
    under_way: tuple[int, str] = (0, "")

    def sign(self, name: str, mended: Iterable[str]) -> str:
        """Return the state that a sign shows while these causes are mended."""
        gone = [cause for cause in mended if cause in self.case.truth]
        key = (len(gone), name)
        if key not in self.drawn:
            left = [one for one in self.case.truth if one not in gone]
            self.drawn[key] = self._start(left) if name == START else self._draw(name, left)
        return self.drawn[key]

    def _draw(self, name: str, causes: Iterable[str]) -> str:
        links = self.stock.links
        table = links.table(name)
        indices = [links.cause_index[one] for one in causes]
        return self.chance.choices(table.states, table.chances(indices))[0]

    def _start(self, causes: list[str]) -> str:
        """Draw where each cause alone would stop the start; the earliest stop masks the rest."""
        order = self.stock.links.table(START).states
        seen = self.stock.starts.get(self.case.complaint, frozenset(order))
        able = order if order[0] in seen else order[1:]
        for _ in range(MOST_DRAWS):
            stops = [self._draw(START, [one]) for one in causes]
            shown = max(stops, key=order.index, default=order[0])
            if shown in able:
                break
        return shown

    def answer(self, state: State, finding: str, check: str) -> Value | None:
        """Return what the unit shows; the readings of one check are drawn together."""
        under_way = (state.stage, check)
        if self.under_way != under_way or finding not in self.planned:
            self.under_way = under_way
            yields = state.rulebook.checks[check].yields if check else (finding,)
            old = state.readings.keys() - state.renewable
            asked = (finding, *(one for one in yields if one not in old and one != finding))
            self.planned = self._plan(state, asked)
        value = self.planned.pop(finding, None)
        if value is not None:
            self._count(state, {finding: value})
        return value

    def _plan(self, state: State, asked: tuple[str, ...]) -> dict[str, Value]:
        """Return the readings of a check that miss the fewest signs, close to those of one case."""
        sets = self.stock.together(state.unit.id, asked) or [{}]
        best = min(sets, key=lambda readings: self._misses(state, readings))
        missed = self._misses(state, best)
        for finding in list(best) * MOST_SWEEPS:
            for value in self.stock.values[finding] if missed else ():
                tried = {**best, finding: value}
                if self._misses(state, tried) < missed:
                    best, missed = tried, self._misses(state, tried)
        return best

    def _misses(self, state: State, readings: Mapping[str, Value]) -> int:
        """Return how many signs come out otherwise than drawn; how far a start gets tells most."""
        decided = newly_decided(state, readings)
        wrong = [one for one, shown in decided.items() if shown != {self._now(state, one)}]
        return len(wrong) + (10 if START in wrong else 0)

    def _now(self, state: State, sign: str) -> str:
        return self.sign(sign, [*(repair.cause for repair in state.repairs), state.in_proof])

    def _count(self, state: State, readings: Mapping[str, Value]) -> None:
        for sign, shown in newly_decided(state, readings).items():
            self.decided["kept" if shown == {self._now(state, sign)} else "missed"] += 1


def newly_decided(state: State, readings: Mapping[str, Value]) -> dict[str, frozenset[str]]:
    """Return the signs, with their states, that readings would decide or change now.

    What was read before a repair decides nothing of the unit as it is after it.
    """
    trial = state.chain.copy()
    for name, reading in state.readings.items():
        if reading.stage < state.stage:
            trial.withdraw(name)
    changes = trial.tell_all(
        {name: with_error(value, name, state.unit) for name, value in readings.items()}
    )
    touched = {fact.name for fact in (*changes.added, *changes.removed) if fact.kind == "sign"}
    touched |= {name for name in readings if name in state.rulebook.signs}
    return {sign: trial.states(sign) for sign in sorted(touched)}


def draw_case(
    stock: Stock, chance: random.Random, truth: tuple[str, ...], complaint: str
) -> Case:
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
