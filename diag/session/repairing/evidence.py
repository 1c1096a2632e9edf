"""Which repairs may be put forward: none that a danger forbids, and none dear on thin evidence.

Before parts are bought, or much is taken apart, the look that parts the cause from what it is
confused with has been made, or the one that shows it for itself. What one was told buys nothing.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence

from diag.model.rulebook import Cause, Check, Repair, Rulebook
from diag.reason.belief.defects import is_sight
from diag.reason.belief.evidence import Evidence
from diag.reason.plan.costs import minutes_of, opened_by
from diag.reason.plan.decision_problem import CandidateCheck
from diag.session.inconsistent import Inconsistency, denied_by
from diag.session.state import SessionState

BEFORE_PARTS = "it is looked at before parts are bought or much is taken apart"
DEFINES = 0.95
"""Strength from which a link is to the sign that defines the cause."""
RIVAL_FROM = 0.01
"""Share of belief from which what a cause is confused with has to be parted from it."""
MAY_BE_SLIP = 0.5
"""Odds of a slip from which a reading that stands against a dear repair is taken again."""
DEEP = 10.0
"""Minutes to get at a thing from which it counts as taken apart."""


def unmade(state: SessionState) -> frozenset[str]:
    """Return the causes whose repair a danger forbids."""
    forbidden = state.dangers.forbidden
    if not forbidden:
        return frozenset()
    causes = state.rulebook.causes.items()
    return frozenset(name for name, one in causes if forbidden.intersection(one.repair.acts))


def left_in_sight(state: SessionState) -> Iterator[tuple[str, float]]:
    """Yield the causes in plain sight that may be put right still, and how far they are seen."""
    for name, share in state.posterior.in_sight.items():
        if name not in state.declined | unmade(state):
            yield name, share


def is_dear(rulebook: Rulebook, repair: Repair) -> bool:
    """Tell whether a repair buys parts or takes much apart."""
    deep = rulebook.scales.access.get(repair.access, 0.0) >= DEEP
    return sum(repair.parts.values()) > 0 or deep


def look_first(state: SessionState, name: str, offered: Sequence[CandidateCheck]) -> Check | None:
    """Return the check to make before the repair of a cause, None where enough was read.

    One that takes longer than the repair and its parts is not worth it, nor is any where the
    repair is cheap.
    """
    cause = state.rulebook.causes[name]
    if not is_dear(state.rulebook, cause.repair) or _shown(state, cause):
        return None
    wanted = set(_missing(state, cause))
    opened = opened_by(state.rulebook, state.done_checks)
    able = []
    for one in offered:
        minutes = minutes_of(state.rulebook, [one.check.id], opened)
        tells = wanted.intersection(one.signs.keys() | set(one.findings))
        if tells and minutes <= cause.repair.cost:
            able.append((minutes, one.check.id))
    return state.rulebook.checks[min(able)[1]] if able else None


def spoken_against(state: SessionState, name: str) -> Inconsistency | None:
    """Return the reading to take again before a dear repair: one by which a sign that defines the
    cause does not show it, and that may well be a slip."""
    cause = state.rulebook.causes[name]
    if not is_dear(state.rulebook, cause.repair) or _shown(state, cause):
        return None
    for one in sorted(state.belief.said):
        if max(cause.shows.get(one.sign, {"": 0.0}).values()) >= DEFINES:
            found = denied_by(state, one.sign, one.state, MAY_BE_SLIP)
            if found is not None:
                return found
    return None


def on_hearsay(state: SessionState, name: str) -> bool:
    """Tell whether a dear repair would be made on what was told alone."""
    cause, belief = state.rulebook.causes[name], state.belief
    index = belief.links.cause_index[name]
    speaking = [
        item.evidence
        for item in belief.used.values()
        if item.log_likelihood_ratio.get(index, 0.0) > 0 or index in belief.seen_causes
    ]
    told = bool(speaking) and all(one.hearsay for one in speaking)
    return told and is_dear(state.rulebook, cause.repair)


def _shown(state: SessionState, cause: Cause) -> bool:
    """Tell whether the cause is in plain sight, or a sign that defines it was seen to show it."""
    if cause.id in state.posterior.in_sight:
        return True
    return is_shown(cause, state.belief.said)


def is_shown(cause: Cause, evidence: Iterable[Evidence]) -> bool:
    """Tell whether a sign that defines a cause was seen or measured to show it."""
    said = {(one.sign, one.state) for one in evidence if is_sight(one)}
    return any(
        (sign, shown) in said
        for sign, links in cause.shows.items()
        for shown, strength in links.items()
        if strength >= DEFINES
    )


def _missing(state: SessionState, cause: Cause) -> Iterable[str]:
    """Yield what would part the cause from its rivals, or show it for itself, and was not read."""
    known = {one.sign for one in state.belief.said if is_sight(one)}
    known |= {name for name, reading in state.readings.items() if reading.how != "told"}
    return parting(cause, state.posterior.causes, known)


def parting(cause: Cause, shares: Mapping[str, float], known: Container[str]) -> Iterator[str]:
    """Yield what would part a cause from its likely rivals, or show it for itself, and is not
    `known`; `shares` are of belief, by cause."""
    for rival, name in cause.confused_with.items():
        if shares.get(rival, 0.0) >= RIVAL_FROM and name not in known:
            yield name
    for sign, links in cause.shows.items():
        if max(links.values()) >= DEFINES and sign not in known:
            yield sign
