"""What is good at a look, in words: what its readings should be, or the figure made of them."""

from __future__ import annotations

from collections.abc import Container, Iterator
from itertools import product

from diag.authoring.settling import Bench
from diag.logic.figure import value_of
from diag.model.expression import Compare, Ref, walk
from diag.model.quantity import Quantity, Unit
from diag.model.rulebook import Rulebook, UnitData
from diag.reason.chain.engine import Chain
from diag.session.proof.good import what_is_good
from diag.session.proof.wanted import SHOWN_DIGITS, Wanted

FindingNames = frozenset[str]
GoodReadings = tuple[tuple[str, str], ...]
"""What is looked at, and what of it is good."""


class Good:
    """What is good at each sign on one unit."""

    def __init__(self, rulebook: Rulebook, unit: UnitData, bench: Bench) -> None:
        self._rulebook, self._unit = rulebook, unit
        self._chain, self._needs = Chain(bench.compiled.network, unit), bench.needs
        self._known: dict[str, str | None] = {}

    def of(
        self, sign: str, states: Container[str], new: FindingNames, before: FindingNames
    ) -> GoodReadings:
        """Return what is good at a sign that is settled, where these states are told if it is not.

        By what is read `new`, with the numbers read before; by all else only where those do not
        tell.
        """
        figures, one = tuple(self._figures(sign)), self._rulebook.signs[sign]
        if figures:
            return figures
        known = self._rulebook.findings.keys() & (new | before)
        able = sorted(
            (n for n in self._needs(sign) if n <= known), key=lambda n: (len(n), sorted(n))
        )
        able = [need for need in able if self._tells(sign, states, need)]
        numbers = {name for name in before if not self._rulebook.findings[name].choices}
        told = [tuple(self.readings(need & (new | numbers))) for need in able]
        told += [tuple(self.readings(need)) for need in able]
        return next(filter(None, told), ((one.title or one.id, one.states[0]),))

    def _tells(self, sign: str, states: Container[str], need: FindingNames) -> bool:
        """Tell whether a sign follows from these readings alone, the good state as well as others:
        taken for true of numbers, tried out of choices."""
        findings, good = self._rulebook.findings, self._rulebook.signs[sign].states[0]
        asked = [findings[name] for name in sorted(need)]
        if not all(one.choices for one in asked):
            return True
        found, chain = set[str](), self._chain.copy()
        for answers in product(*(one.states for one in asked)):
            chain.tell_all(dict(zip(sorted(need), answers, strict=True)))
            if not found and chain.states(sign) != {good}:
                return False
            found |= chain.states(sign)
        return all(state in found for state in self._rulebook.signs[sign].states if state in states)

    def readings(self, need: FindingNames) -> Iterator[tuple[str, str]]:
        """Yield findings and what of each is good, where the rules say."""
        for name in sorted(need & self._rulebook.findings.keys()):
            if name not in self._known:
                self._known[name] = what_is_good(self._rulebook, self._unit, name)
            good = self._known[name]
            if good is not None:
                yield name, good

    def side(self, sign: str, state: str, good: GoodReadings) -> str:
        """Return on which side of a range a state lies, `above` or `below`; empty if it is plain.

        It is plain of a limit that leaves one way out, and not to be told of several readings.
        """
        names = [name for name, text in good if _has_two_ends(text)]
        if len(good) != 1 or not names:
            return ""
        own = self._rulebook.signs[sign].states[0]
        good_ends, ends = (tuple(self._ends(sign, one, names[0])) for one in (own, state))
        if not good_ends or not ends:
            return ""
        above, below = min(ends) >= max(good_ends), max(ends) <= min(good_ends)
        return "above" if above else "below" if below else ""

    def _ends(self, sign: str, state: str, name: str) -> Iterator[float]:
        """Yield the numbers (SI) that the rules of a state hold a reading or figure against."""
        for rule in self._rulebook.rules:
            if rule.then.kind != "sign" or (rule.then.name, rule.then.state) != (sign, state):
                continue
            for part in walk(rule.when):
                if isinstance(part, Compare) and part.left == Ref(name):
                    limit = value_of(part.right, self._chain)
                    if limit is not None:
                        yield limit.si

    def _figures(self, sign: str) -> Iterator[tuple[str, str]]:
        """Yield the limits that the rules of a sign set to figures."""
        book = self._rulebook
        good = book.signs[sign].states[0]
        ends: dict[str, dict[str, Quantity]] = {}
        for rule in book.rules:
            if rule.then.kind != "sign" or (rule.then.name, rule.then.state) != (sign, good):
                continue
            for part in walk(rule.when):
                if isinstance(part, Compare) and isinstance(part.left, Ref):
                    limit = value_of(part.right, self._chain)
                    if part.left.name in book.figures and limit is not None:
                        ends.setdefault(part.left.name, {})[part.op[0]] = limit
        for name, found in ends.items():
            at = {side: _rounded(end, book.figures[name].unit) for side, end in found.items()}
            if book.figures[name].unit.symbol != "1":
                yield name, str(Wanted(low=at.get(">"), high=at.get("<")))


def _rounded(end: Quantity, unit: Unit) -> Quantity:
    """Return a limit in a unit, as many digits of it as a meter shows."""
    return Quantity(unit.to_si(float(f"{unit.from_si(end.si):.{SHOWN_DIGITS}g}")), unit)


def _has_two_ends(text: str) -> bool:
    """Say whether what is good is a range of numbers from one end to another."""
    return text.removeprefix("-")[:1].isdigit() and " to " in text
