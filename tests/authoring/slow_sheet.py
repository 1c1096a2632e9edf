"""What a list of checks costs, worked out slowly and plainly: all signs for every step."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf

from diag.authoring.sequence.supposed import Supposed, told_by
from diag.authoring.settling import Bench
from diag.model.rulebook import Rulebook, UnitData
from diag.reason.plan.costs import extra_minutes, minutes_of


class SlowSheet:
    """The expected minutes of any order of checks."""

    def __init__(
        self, book: Rulebook, unit: UnitData, complaint: str, first: Sequence[str] = ()
    ) -> None:
        self.book, self.unit, self.first = book, unit, tuple(first)
        self.bench = Bench(book, unit)
        self.known: dict[tuple[str, ...], tuple[dict[str, float], frozenset[str]]] = {}
        self.told = dict(told_by(book, complaint))
        self.tables = {table.sign: table for table in self.bench.compiled.links.tables}
        self.index = self.bench.compiled.links.cause_index
        self.chances = {
            sign: dict(zip(table.states, zip(*each, strict=True), strict=True))
            for sign, table in self.tables.items()
            for each in [[table.chances([at]) for at in range(len(self.index))]]
        }
        weights = {
            name: cause.odds * cause.complaints[complaint] * self.telling(name)
            for name, cause in book.causes.items()
            if complaint in cause.complaints
        }
        whole = sum(weights.values())
        self.shares = {name: weight / whole for name, weight in weights.items()}
        units = {self.index[name]: share for name, share in self.shares.items()}
        self.supposed = Supposed.of(book, unit, self.bench, units, self.told)

    def telling(self, cause: str) -> float:
        chance = 1.0
        for sign, state in self.told.items():
            if sign in self.tables:
                chance *= self.chance(cause, sign, state)
        return chance

    def chance(self, cause: str, sign: str, state: str) -> float:
        return self.chances[sign][state][self.index[cause]]

    def minutes(self, order: Sequence[str]) -> float:
        """Return the expected minutes of a list, endless where a step makes no sense in it."""
        done, spent = (), 0.0
        for step in (*self.first, *order):
            left, asked = self.after(done)
            makes_sense = self.supposed.asked_of(step, asked) and self.waits_last(done, step)
            if makes_sense:
                spent += sum(left.values()) * self.cost(done, step)
                done = (*done, step)
            elif step not in self.first:
                return inf
        left, _ = self.after(done)
        return spent + self.book.scales.settings.hand_over_minutes * sum(left.values())

    def waits_last(self, done: Sequence[str], step: str) -> bool:
        longest, checks = self.book.scales.settings.longest_wait_minutes, self.book.checks
        return checks[step].waits > longest or all(checks[one].waits <= longest for one in done)

    def cost(self, done: Sequence[str], step: str) -> float:
        """Return what a step adds to the minutes of all before it, each start dearer."""
        own = minutes_of(self.book, [*done, step]) - minutes_of(self.book, done)
        check = self.book.checks[step]
        extra = extra_minutes(self.book, self.unit, done)
        shared = done and check.run and self.book.checks[done[-1]].run == check.run
        runs = {check.run, *check.uses} - ({check.run} if shared else set())
        return own + sum(extra.get(run, 0.0) for run in runs)

    def after(self, done: Sequence[str]) -> tuple[dict[str, float], frozenset[str]]:
        """Return, by cause, the share of the units in which no step showed it, and what was asked.

        Lists that begin alike are worked out once to where they part.
        """
        key = tuple(done)
        if key not in self.known:
            self.known[key] = self.after_step(key) if key else (dict(self.shares), frozenset())
        return self.known[key]

    def after_step(self, done: tuple[str, ...]) -> tuple[dict[str, float], frozenset[str]]:
        *earlier, step = done
        weights, before = self.after(earlier)
        weights = dict(weights)
        asked = before | self.supposed.asked_of(step, before)
        seen = self.settled(before) | set(self.told)
        seen |= self.covered(seen)
        signs = sorted(self.settled(asked) - seen)
        points = [
            (share, sign, states, names)
            for sign in signs
            if sign not in self.covered(signs)
            for names, (share, states) in self.pointing(sign, weights).items()
        ]
        points.sort(key=lambda one: (-one[0], one[1], one[2]))
        for cause in weights:
            for sign in {one[1] for one in points[:2]}:
                shown = [one for one in points[:2] if one[1] == sign and cause in one[3]]
                states = [state for one in shown for state in one[2]]
                weights[cause] *= 1 - sum(self.chance(cause, sign, state) for state in states)
        return weights, asked

    def settled(self, asked: frozenset[str]) -> set[str]:
        return {
            sign
            for sign in self.book.signs
            if any(need <= asked for need in self.bench.needs(sign))
        }

    def covered(self, signs: Iterable[str]) -> set[str]:
        known = self.book.signs
        return {one for sign in signs if sign in known for one in known[sign].supersedes}

    def pointing(
        self, sign: str, weights: dict[str, float]
    ) -> dict[tuple[str, ...], tuple[float, tuple[str, ...]]]:
        """Return the few causes that states point to, the share that shows so, and the states."""
        found: dict[tuple[str, ...], tuple[float, tuple[str, ...]]] = {}
        good, *bad = self.book.signs[sign].states
        for state in bad:
            row = self.chances[sign][state]
            joint = {name: weight * row[self.index[name]] for name, weight in weights.items()}
            whole = sum(joint.values())
            able = [
                name
                for name in sorted(joint)
                if self.book.causes[name].shows.get(sign, {}).get(state, 0) > 0
                and 1 - self.chance(name, sign, good) >= 0.2
            ]
            able.sort(key=lambda name: -joint[name])
            named = tuple(name for name in able[:3] if joint[name] >= 0.05 * whole)
            share = sum(joint[name] for name in named)
            if named and share >= 0.6 * whole and share >= 0.005 * sum(weights.values()):
                before, states = found.get(named, (0.0, ()))
                found[named] = (before + share, (*states, state))
        return found
