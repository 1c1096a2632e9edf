"""Readings that do not fit: impossible together, at odds by themselves, or odd among the rest.

Readings of different stages are never held against each other: they speak of different units.
What cannot be outranks what is merely unlikely. Rules that contradict each other are told apart:
there the fault lies with the rulebook, and no reading is to be taken again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diag.model.frozen import frozen
from diag.model.rulebook import Fact, Rule
from diag.reason.belief.conflict import accused
from diag.session.evidence import contradictions, of_one_stage, raising
from diag.session.state import SessionState

CERTAIN = 1e9
"""Odds for what cannot be: one of the readings is wrong for certain."""


@frozen
class Inconsistency:
    """Readings of which at least one is likely wrong, and why."""

    say: str
    readings: tuple[str, ...]
    """Those to be taken again: none was so already."""
    odds: float
    """Odds of a slip against its being meant."""
    sign: str = ""
    state: str = ""
    measure: float = 0.0

    @property
    def certain(self) -> bool:
        """Tell whether they cannot be true together, rather than hardly."""
        return self.odds >= CERTAIN

    @property
    def slip(self) -> float:
        """Return the probability that one of them is a slip."""
        return self.odds / (1 + self.odds)


@frozen
class RuleFault:
    """Rules that contradict each other from the same readings: a sign in two states, or one that
    only causes ruled out bring about."""

    sign: str
    rules: tuple[Rule, ...]


def inconsistency_in(state: SessionState) -> Inconsistency | None:
    """Return what does not fit and should be taken again, if anything."""
    for found in (*_impossible(state), *_torn(state)):
        return found
    return _unlikely(state)


def _impossible(state: SessionState) -> Iterator[Inconsistency]:
    for rule, readings in state.impossible:
        open_ones = _open(state, readings)
        if open_ones:
            yield Inconsistency(rule.why, open_ones, CERTAIN)


def _torn(state: SessionState) -> Iterator[Inconsistency]:
    """Yield the signs in two states that rest on different readings."""
    for sign, states in state.chain.contradictions.items():
        grounds = [frozenset().union(*state.grounds_of(sign, one)) for one in sorted(states)]
        if not _nested(grounds):
            apart = frozenset().union(*grounds) - grounds[0].intersection(*grounds[1:])
            open_ones = _open(state, apart)
            if open_ones and of_one_stage(state, apart):
                both = " and ".join(f"`{one}`" for one in sorted(states))
                say = f"`{sign}` comes out as {both} at once"
                yield Inconsistency(say, open_ones, CERTAIN, sign)


def _unlikely(state: SessionState) -> Inconsistency | None:
    found, safety = state.conflict, _safety(state)
    for suspect in accused(found):
        sign, seen = suspect.evidence.sign, suspect.evidence.state
        grounds = frozenset().union(*state.grounds_of(sign, seen))
        readings = _open(state, grounds)
        # What may be a danger is not talked away, however odd it looks among the rest.
        if readings and safety.isdisjoint(grounds):
            say = f"`{sign}: {seen}` does not fit the rest"
            return Inconsistency(say, readings, suspect.slip_odds, sign, seen, found.measure)
    return None


def denied_by(state: SessionState, sign: str, seen: str, least_odds: float) -> Inconsistency | None:
    """Return a sign of this stage that speaks against what is about to be done, if it may be a slip
    and can be taken again."""
    for suspect in state.conflict.suspects:
        one = suspect.evidence
        readings = _open(state, frozenset().union(*state.grounds_of(sign, seen)))
        if (one.sign, one.state) == (sign, seen) and readings and suspect.slip_odds >= least_odds:
            say = f"`{sign}: {seen}` speaks against it"
            return Inconsistency(say, readings, suspect.slip_odds, sign, seen)
    return None


def _open(state: SessionState, readings: Iterable[str]) -> tuple[str, ...]:
    """Return the readings that were neither taken again yet nor can be, nor tell of a danger."""
    done = state.confirmed | state.passed.keys() | _safety(state)
    return tuple(sorted(name for name in readings if name in state.readings and name not in done))


def _safety(state: SessionState) -> frozenset[str]:
    """Return the readings that are never doubted: they may be a danger."""
    return state.rulebook.asked_first | raising(state)


def rule_faults(state: SessionState) -> tuple[RuleFault, ...]:
    """Return where rules contradict each other; neither side of any counts as evidence."""
    faults = []
    for sign, states in state.chain.contradictions.items():
        grounds = [frozenset().union(*state.grounds_of(sign, one)) for one in sorted(states)]
        if _nested(grounds):
            facts = (Fact("sign", sign, one) for one in sorted(states))
            supports = (support for fact in facts for support in state.chain.supports(fact)[:1])
            faults.append(RuleFault(sign, tuple(support.rule for support in supports)))
    for contradiction in contradictions(state):
        seen = state.chain.supports(Fact("sign", contradiction.sign, contradiction.state))[:1]
        barred = (Fact("excluded", cause, "ruled out") for cause in contradiction.causes)
        out = [one for fact in barred for one in state.chain.supports(fact)[:1]]
        faults.append(RuleFault(contradiction.sign, tuple(one.rule for one in (*seen, *out))))
    return tuple(faults)


def _nested(grounds: list[frozenset[str]]) -> bool:
    """Tell whether the readings of one conclusion hold all those of another."""
    least = min(grounds, key=len)
    return any(least <= other for other in grounds if other is not least)
