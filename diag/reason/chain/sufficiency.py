"""Which signs a set of answers would settle, given what is known already.

Each name is given its least sufficient sets of answers, as an assumption-based truth maintenance
system labels its nodes (de Kleer, "An assumption-based TMS", Artificial Intelligence 28, 1986).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import chain

from diag.logic.graph import parts_of
from diag.model.expression import And, Compare, Condition, Is, Not, Or, names_in
from diag.model.rulebook import Rule, Sign
from diag.reason.chain.engine import Chain

Needs = tuple[frozenset[str], ...]
"""Alternatives: each is a set of findings that would do. An empty set needs nothing more."""

NO_MORE: Needs = (frozenset(),)
NEVER: Needs = ()
MOST_FINDINGS = 8
MOST_ALTERNATIVES = 40


class SufficientSets:
    """Tells, for one state of a chain, which findings would settle a sign.

    A sign counts as settled once one of its open rules could be worked out: every name that
    the rule still lacks is among the findings, or follows from them in the same way. What is
    said of one name does not hang on which was asked for first.
    """

    def __init__(self, chain: Chain, rules: Iterable[Rule], signs: Mapping[str, Sign]) -> None:
        self._chain = chain
        self._signs = signs
        self._open: dict[str, list[Condition]] = {}
        for rule in rules:
            if rule.then.kind == "sign" and chain.truth(rule.when) is None:
                self._open.setdefault(rule.then.name, []).append(rule.when)
        self._known: dict[str, Needs] = {}
        self._cut: set[str] = set()

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

    @cached_property
    def cut(self) -> frozenset[str]:
        """Return the names of which not all sets are kept: more than `MOST_ALTERNATIVES`, or one
        of more than `MOST_FINDINGS` findings. Such answers may settle more than is told here."""
        self._work_out_all(self.undecided)
        return frozenset(self._cut)

    def settles(self, sign: str, findings: frozenset[str]) -> bool:
        """Return whether these findings would give the sign a state."""
        return any(need <= findings for need in self.needs(sign))

    def settled_by(self, findings: frozenset[str]) -> dict[str, frozenset[str]]:
        """Return the undecided signs that these findings would give a state, in order, and the
        least of these findings that do."""
        waiting = (each for name in ("", *findings) for each in self._waiting.get(name, ()))
        found: dict[str, frozenset[str]] = {}
        for _, need, sign in sorted(waiting, key=lambda each: each[0]):
            if need <= findings:
                found.setdefault(sign, need)
        return {sign: found[sign] for sign in sorted(found, key=self._place.__getitem__)}

    @cached_property
    def _place(self) -> dict[str, int]:
        return {sign: place for place, sign in enumerate(self.undecided)}

    @cached_property
    def _waiting(self) -> dict[str, list[tuple[int, frozenset[str], str]]]:
        """What the undecided signs need, each under one name of it, so that few are looked at."""
        found: dict[str, list[tuple[int, frozenset[str], str]]] = {}
        self._work_out_all(self.undecided)
        for sign in self.undecided:
            for rank, need in enumerate(self.needs(sign)):
                found.setdefault(min(need, default=""), []).append((rank, need, sign))
        return found

    def needs(self, name: str) -> Needs:
        """Return the sets of findings of which any one would make a name known, the least first."""
        if name not in self._known:
            self._work_out_all([name])
        return self._known[name]

    def _work_out_all(self, names: Iterable[str]) -> None:
        """Find what these names need, and all that they rest on before them."""
        graph: dict[str, tuple[str, ...]] = {}
        waiting = list(names)
        for one in waiting:
            if one in graph or one in self._known:
                continue
            if self._rests_on_more(one):
                graph[one] = self._below(one)
                waiting += graph[one]
            else:
                self._known[one] = self._worked_out(one)
        for part in parts_of(graph).order:
            self._work_out(part)

    def _rests_on_more(self, name: str) -> bool:
        concluded = name in self._open or self._chain.figure(name) is not None
        return concluded and self._chain.value(name) is None

    def _below(self, name: str) -> tuple[str, ...]:
        figure = self._chain.figure(name)
        if figure is not None:
            return names_in(*figure.terms)
        told = map(self._chain.names_in, self._open[name])
        return tuple(dict.fromkeys(chain.from_iterable(told)))

    def _work_out(self, part: tuple[str, ...]) -> None:
        """Find what the names of one part need, going round as often as one may rest on another.

        What a name needs never rests on the name itself, so that no chain of grounds is longer
        than the part.
        """
        self._known.update(dict.fromkeys(part, NEVER))
        for _ in part:
            fresh = {name: self._worked_out(name) for name in part}
            same = all(fresh[name] == self._known[name] for name in part)
            self._known.update(fresh)
            if same:
                return

    def _worked_out(self, name: str) -> Needs:
        if self._chain.value(name) is not None:
            return NO_MORE
        figure = self._chain.figure(name)
        if figure is not None:
            return self._all(name, (self._known[part] for part in names_in(*figure.terms)))
        if name in self._open:
            conditions = self._open[name]
            return self._any(name, (self._condition(name, one) for one in conditions))
        concluded = name in self._signs and not self._signs[name].is_finding
        return NEVER if concluded else (frozenset({name}),)

    def _condition(self, name: str, condition: Condition) -> Needs:
        if self._chain.truth(condition) is not None:
            return NO_MORE
        if isinstance(condition, And):
            return self._all(name, (self._condition(name, part) for part in condition.items))
        if isinstance(condition, Or):
            # What is false already settles nothing: another part must come true or fail.
            open_parts = (part for part in condition.items if self._chain.truth(part) is None)
            return self._any(name, (self._condition(name, part) for part in open_parts))
        if isinstance(condition, Not):
            return self._condition(name, condition.item)
        if isinstance(condition, Compare):
            needs = self._all(name, (self._known[part] for part in self._chain.names_in(condition)))
            # All is known and the meters' errors leave it open: no further answer decides it.
            return NEVER if needs == NO_MORE else needs
        return self._known[condition.name] if isinstance(condition, Is) else NO_MORE

    def _any(self, name: str, parts: Iterable[Needs]) -> Needs:
        return self._least(name, {need for part in parts for need in part})

    def _all(self, name: str, parts: Iterable[Needs]) -> Needs:
        joined: Needs = NO_MORE
        for part in parts:
            joined = self._least(name, {one | other for one in joined for other in part})
        return joined

    def _least(self, name: str, needs: set[frozenset[str]]) -> Needs:
        """Return the alternatives without those that contain another, the smallest first."""
        if len(needs) < 2:
            kept = list(needs)
        else:
            kept = []
            for need in sorted(needs, key=lambda one: (len(one), sorted(one))):
                if not any(other <= need for other in kept):
                    kept.append(need)
        small = [need for need in kept if len(need) <= MOST_FINDINGS][:MOST_ALTERNATIVES]
        if len(small) < len(kept):
            self._cut.add(name)
        return tuple(small)
