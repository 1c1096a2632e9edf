"""Which signs a set of answers would settle, given what is known already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diag.model.expression import And, Compare, Condition, Is, Known, Not, Or
from diag.model.knowledge import Rule, Sign
from diag.reason.chain import Chain
from diag.reason.figure import names_of


class Settler:
    """Answers, for one state of a chain, whether some findings would settle a sign.

    A sign counts as settled once one of its open rules could be worked out: every name that
    the rule still lacks is among the findings, or follows from them in the same way.
    """

    def __init__(self, chain: Chain, rules: Iterable[Rule], signs: Mapping[str, Sign]) -> None:
        self._chain = chain
        self._signs = signs
        self._open: dict[str, list[Condition]] = {}
        for rule in rules:
            if rule.then.kind == "sign" and chain.truth(rule.when) is None:
                self._open.setdefault(rule.then.name, []).append(rule.when)

    def undecided(self) -> tuple[str, ...]:
        """Return the signs that have no state and are not made redundant by one that has."""
        covered: set[str] = set()
        bare = []
        for name, sign in self._signs.items():
            if self._chain.states(name):
                covered.update(sign.supersedes)
            elif sign.is_finding or name in self._open:
                bare.append(name)
        return tuple(name for name in bare if name not in covered)

    def settles(self, sign: str, findings: frozenset[str]) -> bool:
        """Return whether these findings would give the sign a state."""
        if self._signs[sign].is_finding:
            return sign in findings
        return self._name(sign, findings, frozenset())

    def _name(self, name: str, findings: frozenset[str], path: frozenset[str]) -> bool:
        if name in findings or self._chain.value(name) is not None:
            return True
        if name in path:
            return False
        figure = self._chain.figure(name)
        if figure is not None:
            parts = [part for term in figure.terms for part in names_of(term)]
            return all(self._name(part, findings, path | {name}) for part in parts)
        return any(
            self._condition(condition, findings, path | {name})
            for condition in self._open.get(name, ())
        )

    def _condition(
        self, condition: Condition, findings: frozenset[str], path: frozenset[str]
    ) -> bool:
        if self._chain.truth(condition) is not None:
            return True
        if isinstance(condition, And):
            return all(self._condition(part, findings, path) for part in condition.items)
        if isinstance(condition, Or):
            return any(self._condition(part, findings, path) for part in condition.items)
        if isinstance(condition, Not):
            return self._condition(condition.item, findings, path)
        if isinstance(condition, Compare):
            names = (*names_of(condition.left), *names_of(condition.right))
            return all(self._name(name, findings, path) for name in names)
        if isinstance(condition, Is):
            return self._name(condition.name, findings, path)
        return isinstance(condition, Known)
