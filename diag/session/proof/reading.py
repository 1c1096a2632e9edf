"""The readings of a proof as questions: those of one run in that run, in the order they come."""

from __future__ import annotations

from collections.abc import Iterator

from diag.model.rulebook import Check
from diag.session.candidates import check_of, readable
from diag.session.offer.rounds import in_run, is_past
from diag.session.prompt import AskFinding
from diag.session.proof.run import ProofLook
from diag.session.state import SessionState


def proof_readings(state: SessionState, why: str) -> Iterator[AskFinding]:
    """Yield what a proof still wants that can be read here: the rest of the act under way first."""
    for look in _in_order(state):
        check = check_of(state, look.finding)
        if readable(state, check, look.finding):
            opening = not look.again and not _goes_on(state, check, look)
            finding = state.rulebook.findings[look.finding]
            yield AskFinding(finding, check, opening, why, proves=look.condition, fails=look.again)


def _in_order(state: SessionState) -> list[ProofLook]:
    """Return looks by act: what waits for another answer last, what belongs to one act together."""
    looks = state.proving.open
    wanted = frozenset(look.finding for look in looks)
    acts = [_act(check_of(state, look.finding)) for look in looks]
    now = _act(state.rulebook.checks.get(state.check))

    def place(numbered: tuple[int, ProofLook]) -> tuple[bool, bool, int, int]:
        number, look = numbered
        act = acts[number]
        return (
            bool(_deciding(state, look) & wanted),
            act != now,
            acts.index(act),
            in_run(state, act, look.finding),
        )

    return [look for _, look in sorted(enumerate(looks), key=place)]


def _deciding(state: SessionState, look: ProofLook) -> frozenset[str]:
    """Return what decides, in this run, whether a reading makes sense."""
    when = state.rulebook.findings[look.finding].asked_when
    return frozenset() if when is None else state.now.missing_for(when)


def _act(check: Check | None) -> str:
    return (check.run or check.id) if check else ""


def _goes_on(state: SessionState, check: Check | None, look: ProofLook) -> bool:
    """Tell whether a reading still comes in the act under way."""
    if check is None or check.id == state.check:
        return True
    under_way = state.rulebook.checks.get(state.check)
    same = bool(check.run) and under_way is not None and check.run == under_way.run
    return same and not is_past(state, check.run, look.finding)
