"""Why a cause is put forward: what tells it from all else, what speaks against, what else it is."""

from __future__ import annotations

import math
from collections.abc import Iterator

from diag.logic.rests_on import resting_on
from diag.model.frozen import frozen
from diag.model.rulebook import Fact, Value
from diag.reason.belief.grades import STEPS
from diag.reason.belief.weigh import Weight, weigh, weigh_among
from diag.session.state import SessionState

MOST_RIVALS = 3
RIVAL_FROM = 0.01
"""Share of belief from which something else is named beside what is put forward."""
SPEAKS_FROM = 10 * math.log10(STEPS[0][0])
"""Decibans from which a sign is told against a cause: what is more than hardly worth a word."""


@frozen
class Reason:
    """A sign, how it stands, what it weighs in decibans for a cause, and the readings below it."""

    sign: str
    state: str
    decibans: float
    why: str
    rests_on: tuple[tuple[str, Value], ...]


@frozen
class Rival:
    """What it could be instead, how likely that is, and the finding or sign that would tell and
    that was not read; empty where there is none."""

    cause: str
    share: float
    told_by: str


@frozen
class Reasons:
    """Why a cause is put forward; the weightiest first in each."""

    speaks_for: tuple[Reason, ...]
    against: tuple[Reason, ...]
    rivals: tuple[Rival, ...]


def reasons(state: SessionState, cause: str) -> Reasons:
    """Return why a cause is put forward; `KeyError` for one that the rules do not know.

    What speaks for it is weighed against all that it competes with: a sign that shows all of them
    alike says nothing. What speaks against is weighed against nothing wrong as well.
    """
    if cause in state.belief.excluded:
        return Reasons((), (), tuple(_rivals(state, cause)))
    weights = telling(state, cause)
    speaks_for = tuple(_reason(state, one) for one in weights if one.decibans > 0)
    against = tuple(_reason(state, one) for one in weights if one.decibans <= -SPEAKS_FROM)
    return Reasons(speaks_for, against, tuple(_rivals(state, cause)))


def telling(state: SessionState, cause: str) -> tuple[Weight, ...]:
    """Return what each sign says for or against a cause, among all that it competes with.

    Where nothing competes, what it says against nothing wrong.
    """
    among = weigh_among(state.belief, state.posterior, cause)
    return among or tuple(one for one in weigh(state.belief, cause) if one.kind == "sign")


def _reason(state: SessionState, weight: Weight) -> Reason:
    supports = state.chain.supports(Fact("sign", weight.name, weight.state))
    used = dict.fromkeys(name for one in supports for name in one.used)
    below = resting_on(used, state.compiled.below.get)
    alike = (one.evidence for one in state.belief.used.values())
    stages = (one.stage for one in alike if (one.sign, one.state) == (weight.name, weight.state))
    last = max(stages, default=state.stage)  # what was read anew since is of another stage
    known = ((one, state.readings[one]) for one in below if one in state.readings)
    read = tuple((one, reading.value) for one, reading in known if reading.stage <= last)
    why = next((one.rule.why for one in supports if one.rule.why), "")
    return Reason(weight.name, weight.state, weight.decibans, why, read)


def _rivals(state: SessionState, cause: str) -> Iterator[Rival]:
    """Yield what it could be instead of a cause, without that beside it, the likeliest first."""
    posterior, causes = state.posterior, state.rulebook.causes
    together = dict[str, float]()
    for several, share in posterior.pairs.items():
        if cause in several:
            for one in several:
                together[one] = together.get(one, 0.0) + share
    alone = sorted(
        (together.get(name, 0.0) - share, name)
        for name, share in posterior.ranking
        if name != cause and name not in posterior.in_sight
    )
    for share, name in alone[:MOST_RIVALS]:
        if -share >= RIVAL_FROM:
            parts = (causes[cause].confused_with.get(name), causes[name].confused_with.get(cause))
            unread = (one for one in parts if one and not _is_read(state, one))
            yield Rival(name, -share, next(unread, ""))


def _is_read(state: SessionState, name: str) -> bool:
    return name in state.readings or bool(state.chain.states(name))
