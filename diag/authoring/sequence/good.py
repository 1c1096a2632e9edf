"""What is good at a look, in words: what its readings should be, or the figure made of them."""

from __future__ import annotations

from collections.abc import Iterator

from diag.logic.figure import value_of
from diag.model.expression import Compare, Ref, walk
from diag.model.quantity import Quantity, Unit
from diag.model.rulebook import Rulebook, UnitData
from diag.reason.chain.engine import Chain
from diag.reason.chain.sufficiency import Needs
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.proof.good import SHOWN_DIGITS, what_is_good
from diag.session.proof.wanted import Wanted

GoodReadings = tuple[tuple[str, str], ...]
"""What is looked at, and what of it is good."""


class Good:
    """What is good at each sign on one unit."""

    def __init__(self, rulebook: Rulebook, unit: UnitData, compiled: CompiledRulebook) -> None:
        self._rulebook, self._unit = rulebook, unit
        self._chain = Chain(compiled.network, unit)
        self._known: dict[str, str | None] = {}

    def of(self, sign: str, needs: Needs, new: frozenset[str], before: frozenset[str]) -> GoodReadings:
        """Return what is good at a sign that is settled, by one of its `needs`, by what is read
        new and what was read before: of that only where nothing else tells."""
        figures = tuple(self._figures(sign))
        if figures:
            return figures
        able = sorted((need for need in needs if need <= new | before), key=sorted)
        told = [tuple(self._readings(need & new)) for need in able]
        told += [tuple(self._readings(need)) for need in able]
        best = min((one for one in told if one), key=len, default=())
        one = self._rulebook.signs[sign]
        return best or ((one.title or one.id, one.states[0]),)

    def _readings(self, need: frozenset[str]) -> Iterator[tuple[str, str]]:
        for name in sorted(need & self._rulebook.findings.keys()):
            if name not in self._known:
                self._known[name] = what_is_good(self._rulebook, self._unit, name)
            good = self._known[name]
            if good is not None:
                yield name, good

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
            yield name, str(Wanted(low=at.get(">"), high=at.get("<")))


def _rounded(end: Quantity, unit: Unit) -> Quantity:
    """Return a limit in a unit, as many digits of it as a meter shows."""
    return Quantity(unit.to_si(float(f"{unit.from_si(end.si):.{SHOWN_DIGITS}g}")), unit)
