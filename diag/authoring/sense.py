"""Whether a look makes sense at a point of a policy, by what was seen on the way there."""

from __future__ import annotations

from collections.abc import Iterable

from diag.authoring.settling import Bench
from diag.model.expression import Condition
from diag.model.rulebook import Rulebook, UnitData
from diag.reason.belief.belief import Evidence
from diag.reason.chain.engine import Chain

SeenStates = frozenset[tuple[str, str]]
Deciding = frozenset[str] | None
"""Signs that decide whether a look makes sense, none where it does; None where it makes none."""


class Sense:
    """Tells of signs whether what they rest on would be asked, and what would decide that."""

    def __init__(self, rulebook: Rulebook, unit: UnitData, bench: Bench) -> None:
        self._rulebook = rulebook
        self._bench = bench
        self._bare = Chain(bench.compiled.network, unit)
        self._chains: dict[SeenStates, Chain] = {}
        self._known: dict[tuple[SeenStates, str], Deciding] = {}
        waits = {name for name, one in rulebook.findings.items() if one.asked_when is not None}
        signs = rulebook.signs
        self._settled_by: dict[str, list[str]] = {}
        for sign in signs:
            for need in bench.needs(sign):
                if len(need) == 1:
                    self._settled_by.setdefault(min(need), []).append(sign)
        self._waiting = {name for name in signs if any(waits & need for need in bench.needs(name))}

    def deciding(self, said: Iterable[Evidence], sign: str) -> Deciding:
        """Return what decides whether to look at a sign, where `said` was seen."""
        if sign not in self._waiting:
            return frozenset()
        seen = frozenset((one.sign, one.state) for one in said)
        if (seen, sign) not in self._known:
            ways = [self._of(seen, need) for need in self._bench.needs(sign)]
            able = [way for way in ways if way is not None]
            self._known[seen, sign] = min(able, key=len) if able else None
        return self._known[seen, sign]

    def may_be_looked_at(self, said: Iterable[Evidence], sign: str, left: Iterable[str]) -> bool:
        """Tell whether a sign makes sense, or what decides that is `left` to be looked at."""
        deciding = self.deciding(said, sign)
        return deciding is not None and (not deciding or not deciding.isdisjoint(left))

    def first(self, said: Iterable[Evidence], sign: str, waiting: Iterable[str]) -> str:
        """Return what is looked at to come to a sign: of those `waiting`, what decides on it."""
        passed = set[str]()
        while sign not in passed:
            passed.add(sign)
            deciding = self.deciding(said, sign) or frozenset()
            sign = next((one for one in waiting if one in deciding), sign)
        return sign

    def _of(self, seen: SeenStates, need: frozenset[str]) -> Deciding:
        """Return what decides whether the findings that would settle a sign are asked."""
        found, findings = set[str](), self._rulebook.findings
        for name in sorted(need & findings.keys()):
            when = findings[name].asked_when
            truths = {True} if when is None else self._truths(seen, when)
            if truths == {False}:
                return None
            if when is not None and truths != {True}:
                missing = self._chain(seen).missing_for(when)
                found |= {sign for one in missing for sign in self._settled_by.get(one, ())}
        return frozenset(found - need - {sign for sign, _ in seen})

    def _truths(self, seen: SeenStates, when: Condition) -> set[bool | None]:
        """Return what a condition may be, by all answers that agree with what was seen."""
        chain = self._chain(seen)
        if chain.truth(when) is not None:
            return {chain.truth(when)}
        truths = set[bool | None]()
        for name in chain.missing_for(when) & self._rulebook.findings.keys():
            for answer in self._rulebook.findings[name].choices:
                tried = chain.copy()
                tried.tell(name, answer)
                follows = [(tried.states(sign), state) for sign, state in seen]
                if all(not states or state in states for states, state in follows):
                    truths.add(tried.truth(when))
        return truths or {None}

    def _chain(self, seen: SeenStates) -> Chain:
        """Return what follows from the findings seen that are evidence as they stand."""
        signs = self._rulebook.signs
        known = frozenset(one for one in seen if signs[one[0]].is_finding)
        if known not in self._chains:
            chain = self._chains[known] = self._bare.copy()
            chain.tell_all(dict(known))
        return self._chains[known]
