"""Which signs a set of answers would settle, given what is known already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

from diag.model.expression import And, Compare, Condition, Is, Not, Or, names_in
from diag.model.rulebook import Rule, Sign
from diag.reason.chain.engine import Chain

Needs = tuple[frozenset[str], ...]
"""Alternatives: each is a set of findings that would do. An empty set needs nothing more."""

NO_MORE: Needs = (frozenset(),)
NEVER: Needs = ()
MOST_FINDINGS = 8
MOST_ALTERNATIVES = 40


class Settler:
    """Answers, for one state of a chain, which findings would settle a sign.

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
        self._known: dict[str, Needs] = {}

    @cached_property
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
        return any(need <= findings for need in self.needs(sign))

    def settled_by(self, findings: frozenset[str]) -> tuple[str, ...]:
        """Return the undecided signs that these findings would give a state, in order."""
        waiting = (each for name in ("", *findings) for each in self._waiting.get(name, ()))
        found = {sign for need, sign in waiting if need <= findings}
        return tuple(sign for sign in self.undecided if sign in found)

    @cached_property
    def _waiting(self) -> dict[str, list[tuple[frozenset[str], str]]]:
        """What the undecided signs need, each under one name of it, so that few are looked at."""
        found: dict[str, list[tuple[frozenset[str], str]]] = {}
        for sign in self.undecided:
            for need in self.needs(sign):
                found.setdefault(min(need, default=""), []).append((need, sign))
        return found

    def needs(self, name: str) -> Needs:
        """Return the sets of findings of which any one would make a name known."""
        if name not in self._known:
            self._known[name] = NEVER  # what rests on itself is not settled by going round
            self._known[name] = self._worked_out(name)
        return self._known[name]

    def _worked_out(self, name: str) -> Needs:
        if self._chain.value(name) is not None:
            return NO_MORE
        figure = self._chain.figure(name)
        if figure is not None:
            return _all(self.needs(part) for part in names_in(*figure.terms))
        if name in self._open:
            return _any(self._condition(condition) for condition in self._open[name])
        concluded = name in self._signs and not self._signs[name].is_finding
        return NEVER if concluded else (frozenset({name}),)

    def _condition(self, condition: Condition) -> Needs:
        if self._chain.truth(condition) is not None:
            return NO_MORE
        if isinstance(condition, And):
            return _all(self._condition(part) for part in condition.items)
        if isinstance(condition, Or):
            # What is false already settles nothing: another part must come true or fail.
            open_parts = (part for part in condition.items if self._chain.truth(part) is None)
            return _any(self._condition(part) for part in open_parts)
        if isinstance(condition, Not):
            return self._condition(condition.item)
        if isinstance(condition, Compare):
            needs = _all(self.needs(name) for name in names_in(condition))
            # All is known and the meters' errors leave it open: no further answer decides it.
            return NEVER if needs == NO_MORE else needs
        return self.needs(condition.name) if isinstance(condition, Is) else NO_MORE


def _any(parts: Iterable[Needs]) -> Needs:
    return _least({need for part in parts for need in part})


def _all(parts: Iterable[Needs]) -> Needs:
    joined: Needs = NO_MORE
    for part in parts:
        joined = _least({one | other for one in joined for other in part})
    return joined


def _least(needs: set[frozenset[str]]) -> Needs:
    """Return the alternatives without those that contain another, the smallest first."""
    kept: list[frozenset[str]] = []
    for need in sorted(needs, key=lambda one: (len(one), sorted(one))):
        if len(need) <= MOST_FINDINGS and not any(other <= need for other in kept):
            kept.append(need)
    return tuple(kept[:MOST_ALTERNATIVES])
