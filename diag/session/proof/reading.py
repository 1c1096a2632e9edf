"""The readings of a proof as questions: those of one run in that run, in the order they come."""

from __future__ import annotations

from collections.abc import Iterator

from diag.model.rulebook import Check
from diag.session.candidates import allowed, check_of, readable
from diag.session.offer.rounds import in_run, is_past
from diag.session.prompt import AskFinding
from diag.session.proof.beside import bad_before
from diag.session.proof.run import ProofLook
from diag.session.state import SessionState

BAD_BEFORE = (
    "what it tells of was not as it should be before the repair, and this run shows it without "
    "more work"
)


def proof_readings(state: SessionState, why: str) -> Iterator[AskFinding]:
    """Yield what a proof still wants that can be read here: the rest of the act under way first."""
    for look in _in_order(state):
        check = check_of(state, look.finding)
        if readable(state, check, look.finding):
            opening = not look.again and not _goes_on(state, check, look)
            finding = state.rulebook.findings[look.finding]
            asked = AskFinding(
                finding, check, opening, why, proves=look.condition, fails=look.again
            )
            yield _beside(state, asked) or asked


def _beside(state: SessionState, asked: AskFinding) -> AskFinding | None:
    """Return what was bad before the repair and comes in the same act, ahead of what is asked.

    In a run that is what is measured: what is seen there, the proof itself tells.
    """
    if not state.in_proof or asked.fails or asked.check is None:
        return None
    act, now = _act(asked.check), _act(state.rulebook.checks.get(state.check))
    wanted = {asked.finding.id, *(look.finding for look in state.proving.open)}
    able = []
    for name in set(bad_before(state)) - wanted - state.passed.keys():
        check, finding = _yielding(state, asked.check, name), state.rulebook.findings[name]
        place, when = in_run(state, act, name), finding.asked_when
        past = act == now and is_past(state, act, name)
        early = not past and place <= in_run(state, act, asked.finding.id)
        sensible = when is None or (state.chain.truth(when) and state.now.truth(when) is not False)
        if not check or not early or not sensible:
            continue
        if finding.how == "measured" or not (check.run or check.held_back):
            able.append((place, name, check))
    if not able:
        return None
    _, name, check = min(able, key=lambda one: one[:2])
    opening = asked.opening and act != now
    return AskFinding(state.rulebook.findings[name], check, opening, BAD_BEFORE)


def _yielding(state: SessionState, check: Check, finding: str) -> Check | None:
    """Return what brings a finding in the act of a check: itself, or another in its run."""
    others = [one for one in state.rulebook.checks.values() if check.run and one.run == check.run]
    for one in (check, *others):
        if state.reach.reads(one, finding) and finding in one.yields and allowed(state, one):
            return one
    return None


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
