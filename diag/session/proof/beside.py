"""What is read beside a proof, in the acts that it makes anyway, and what that leaves in question.

A repair may cure a complaint with a second fault asleep. What was bad before it, and is to be had
in the same run or look, shows whether it was all of one cause. An idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.session.state import SessionState

AS_LIKELY_AS_NOT = 0.5


def bad_before(state: SessionState) -> Iterator[str]:
    """Yield the findings by which a sign of the repaired cause stood bad before the repair, and
    that were not read since; none of a sign for which another that was read now stands."""
    cause, signs = state.rulebook.causes[state.in_proof], state.rulebook.signs
    told = [one for one in cause.shows if state.now.states(one)]
    stands = {other for one in told for other in signs[one].supersedes}
    for sign in cause.shows.keys() - stands:
        for shown in state.chain.states(sign) - {state.rulebook.signs[sign].states[0]}:
            for name in sorted(frozenset().union(*state.grounds_of(sign, shown))):
                reading = state.readings.get(name)
                if reading and reading.stage < state.stage and reading.how != "told":
                    yield name


def in_question(state: SessionState) -> bool:
    """Tell whether, with the complaint gone, what was read since speaks for a fault all the same.

    It is so where that more likely than not is so, and a fault explains it best.
    """
    if state.posterior.nothing >= AS_LIKELY_AS_NOT:
        return False
    causes, out = state.rulebook.causes, state.declined
    likeliest = next((name for name, _ in state.posterior.ranking if name not in out), "")
    return likeliest in causes and not causes[likeliest].no_fault and any(_bad_now(state))


def _bad_now(state: SessionState) -> Iterator[str]:
    """Yield the signs that stand bad by what was seen or measured since the repair."""
    readings = state.readings
    for sign, about in state.rulebook.signs.items():
        for shown in state.now.states(sign) - {about.states[0]}:
            for names in state.grounds_of(sign, shown):
                if any(readings[one].how != "told" for one in names if one in readings):
                    yield sign
