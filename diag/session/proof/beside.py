"""What is read beside a proof, in the acts that it makes anyway, and what that leaves in question.

A repair may cure a complaint with a second fault asleep. What was bad before it, and is to be had
in the same run or look, shows whether it was all of one cause. An idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.reason.chain.engine import Chain
from diag.session.candidates import check_of
from diag.session.state import SessionState

AS_LIKELY_AS_NOT = 0.5
BRINGS = 0.5
"""Strength from which a fault is said to bring a state: what only the weather brings is no news."""


def bad_before(state: SessionState) -> Iterator[str]:
    """Yield the findings by which a sign of the repaired cause stood bad before the repair, and
    that were not read since; none of a sign for which another that was read now stands.

    What raises a danger has its own releasing looks: what nobody wiped off is no new danger.
    """
    cause, signs = state.rulebook.causes[state.in_proof], state.rulebook.signs
    told = [one for one in cause.shows if state.now.states(one)]
    stands = {other for one in told for other in signs[one].supersedes}
    for sign in cause.shows.keys() - stands:
        for shown in state.chain.states(sign) - {state.rulebook.signs[sign].states[0]}:
            for name in sorted(frozenset().union(*state.grounds_of(sign, shown))):
                reading = state.readings.get(name)
                old = reading and reading.stage < state.stage and reading.how != "told"
                if old and name not in state.compiled.watched.raised_by:
                    yield name


def in_question(state: SessionState) -> bool:
    """Tell whether, with the complaint gone, what was read since speaks for a fault all the same.

    It is so where that more likely than not is so, and a fault explains it best.
    """
    if state.posterior.nothing >= AS_LIKELY_AS_NOT:
        return False
    causes, out = state.rulebook.causes, state.declined
    likeliest = next((name for name, _ in state.posterior.ranking if name not in out), "")
    return likeliest in causes and not causes[likeliest].no_fault and any(_bad(state, state.now))


def also_seen(state: SessionState) -> tuple[str, ...]:
    """Return the findings that stand bad at the end with no repair that explains them.

    Those are what was seen or measured since the last repair, and what was before it at rest:
    another repair leaves that as it was, and what a run showed it may have changed.
    """
    causes = state.rulebook.causes.values()
    return tuple(
        dict.fromkeys(
            name
            for sign, shown, names in _bad(state, state.chain)
            if any(one.shows.get(sign, {}).get(shown, 0.0) >= BRINGS for one in causes)
            if all(_since(state, one) for one in names) or _stays(state, sign, shown, names)
            for name in sorted(names)
        )
    )


def _since(state: SessionState, finding: str) -> bool:
    """Tell whether a finding was read since the last repair, or is one that no repair changes."""
    return state.readings[finding].stage == state.stage or state.rulebook.findings[finding].fixed


def _stays(state: SessionState, sign: str, shown: str, names: frozenset[str]) -> bool:
    """Tell whether a state that was read at rest is as it was: no repaired cause shows it."""
    done = (state.rulebook.causes[one.cause] for one in state.repairs)
    checks = (check_of(state, one) for one in names)
    at_rest = all(not (one.run or one.uses) for one in checks if one)
    return at_rest and not any(shown in one.shows.get(sign, {}) for one in done)


def _bad(state: SessionState, chain: Chain) -> Iterator[tuple[str, str, frozenset[str]]]:
    """Yield each sign that stands bad, its state, and each set of readings that shows it, of which
    some were seen or measured."""
    readings = state.readings
    for sign, about in state.rulebook.signs.items():
        for shown in sorted(chain.states(sign) - {about.states[0]}):
            for support in state.grounds_of(sign, shown):
                names = support & readings.keys()
                if any(readings[one].how != "told" for one in names):
                    yield sign, shown, names
