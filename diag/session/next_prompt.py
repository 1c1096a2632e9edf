"""What comes next: dangers first, then the proof, the first looks, and the best check or repair.

Nothing but the journal decides: no clock and no chance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.reason.plan.choose import Choice
from diag.reason.plan.decision_problem import CandidateCheck
from diag.reason.plan.verdict import LIKELY_ENOUGH, Verdict, verdict
from diag.session.candidates import candidate_checks, open_findings, readable
from diag.session.dangers.work import explaining, no_deeper, releasing
from diag.session.offer.choosing import choice_of
from diag.session.offer.elsewhere import bring, for_the_proof
from diag.session.offer.looks import ask, chosen, intake, rest_under_way, safety_looks
from diag.session.offer.reach import AtHand
from diag.session.prompt import (
    AskFinding,
    Closing,
    Prompt,
    ProposeRepair,
    Reread,
    RunAgain,
    StopWork,
    acts_of,
)
from diag.session.proof.beside import in_question
from diag.session.proof.ending import EndingKind, ending
from diag.session.proof.reading import proof_readings
from diag.session.proof.run import shown_unsound
from diag.session.repairing import evidence as repairing
from diag.session.reread import Expect, due_reread, reread
from diag.session.state import SessionState

ALSO_SEEN = "the complaint is gone, yet what was read since speaks for another fault"
STRANGE_AT = 0.5
"""Share of the unknown from which the readings are said to fit no known cause."""


def next_prompt(state: SessionState) -> Prompt:
    """Return what to put to the user now."""
    for name in state.dangers.unheeded:
        return StopWork(state.rulebook.dangers[name], state.dangers.held[name].by)
    prompt = next(_in_order(state))
    return _look_before(state, prompt) or prompt


def _in_order(state: SessionState) -> Iterator[Prompt]:
    """Yield what comes next, as soon as it is allowed; it never runs out."""
    if state.proved:
        yield from releasing(state, held_back=True)
        for name, share in repairing.left_in_sight(state):
            yield ProposeRepair(state.rulebook.causes[name], share, True)
        if in_question(state):
            yield from _followed_up(state)
        yield _closing(state, "proved")
    if state.in_proof:
        yield from chosen(state)
        yield from proof_readings(state, "this must hold in the run after the repair")
        yield from releasing(state, held_back=True)
        yield _closing(state, "handed over" if state.dangers.held else "not proved")
    yield from _standing_prompts(state)
    if state.dangers.held:
        yield from _in_danger(state)
    else:
        yield from _at_work(state)


def _followed_up(state: SessionState) -> Iterator[Prompt]:
    """Yield what finds out a fault that is likely still, although the complaint is gone."""
    yield from rest_under_way(state)
    offered = candidate_checks(state)
    yield from _act(state, offered, choice_of(state, offered), ALSO_SEEN, only_found=True)


def _closing(state: SessionState, kind: EndingKind) -> Closing:
    if kind in ("not found out", "nothing wrong") and state.reach.here.by_word:
        kind = "goes on elsewhere"
    asked = kind in ("not found out", "goes on elsewhere")
    would = what_would_decide(state) if asked else ()
    wanted = bring(state, would) if asked or kind == "handed over" else None
    if kind == "not proved":
        wanted = for_the_proof(state)
    return Closing(ending(state, kind, would, wanted))


def _makes(state: SessionState, cause: str) -> bool:
    return state.reach.makes(state.rulebook.causes[cause].repair)


def _look_before(state: SessionState, prompt: Prompt) -> AskFinding | None:
    """Return a question of danger left open that is asked once more before an act it may forbid."""
    acts = acts_of(prompt)
    for danger in state.rulebook.dangers.values():
        if acts.isdisjoint(danger.forbids):
            continue
        for name in danger.ask_first:
            if name in state.passed and len(state.passes[name]) == 1:
                why = f"{danger.title.lower()} was left open, and this comes before what is next"
                return AskFinding(state.rulebook.findings[name], None, False, why)
    return None


def _standing_prompts(state: SessionState) -> Iterator[Prompt]:
    """Yield the rest of the check under way, then what is asked first."""
    yield from rest_under_way(state)
    if not state.repairs:
        yield from safety_looks(state)
    yield from chosen(state)
    if not state.repairs and not state.dangers.held:
        yield from intake(state)


def _in_danger(state: SessionState) -> Iterator[Prompt]:
    """Yield what is allowed while dangers hold: what explains them first, then what releases them.

    Last comes what only a run shows, then the hand-over.
    """
    offered = candidate_checks(state)
    choice = choice_of(state, offered)
    yield from _asked_again(state, choice, offered)
    release = tuple(releasing(state))
    near = no_deeper(state, explaining(state, offered), release)
    if near:
        explains = "it may explain the danger"
        yield from _act(state, near, choice_of(state, near), explains, only_found=True)
    yield from release
    if not state.repairs:
        yield from intake(state)
    yield from _act(state, offered, choice)
    yield from releasing(state, held_back=True)
    offered = candidate_checks(state, held_back=True)
    yield from _act(state, offered, choice_of(state, offered))
    yield _closing(state, "handed over")


def _act(
    state: SessionState,
    offered: Sequence[CandidateCheck],
    choice: Choice,
    reason: str = "",
    only_found: bool = False,
) -> Iterator[Prompt]:
    """Yield the best check among those offered, or the repair that is likely enough.

    Where not all that can be done is offered, a repair is one that is found: others may tell. The
    check that may make it so comes first, if it wants no waiting.
    """
    now = _verdict(state, choice)
    tells = state.rulebook.checks.get(choice.telling)
    if only_found and now.kind == "repair" and not now.found and tells and not tells.waits:
        now = Verdict("check", tells.id, now.share, False)
    makes = now.kind == "repair" and _makes(state, now.name)
    repair = makes and now.name not in repairing.unmade(state)
    if now.kind == "check" or (repair and (now.found or not only_found)):
        yield _prompt_of(state, choice, now, offered, reason)


def _at_work(state: SessionState) -> Iterator[Prompt]:
    """Yield what is best where no danger holds."""
    offered = candidate_checks(state)
    choice = choice_of(state, offered)
    yield from _asked_again(state, choice, offered)
    now = _verdict(state, choice)
    if now.kind == "nothing-wrong":
        yield from _soundness(state)
    if now.kind == "repair" and _not_worth_it(state, now):
        yield _closing(state, "not found out")
    yield _prompt_of(state, choice, now, offered)


def _not_worth_it(state: SessionState, now: Verdict) -> bool:
    """Tell whether to stop with what is known rather than to repair on a guess.

    Where nothing seemed wrong and the complaint went on, nothing is; after a repair in vain,
    nothing that buys parts or takes much apart.
    """
    guessed = now.share < LIKELY_ENOUGH * state.rulebook.scales.settings.found_at
    dear = repairing.is_dear(state.rulebook, state.rulebook.causes[now.name].repair)
    return guessed and (shown_unsound(state) or (dear and state.proof_failed))


def _soundness(state: SessionState) -> Iterator[Prompt]:
    """Yield the readings that show that nothing is wrong, then the end that they allow."""
    yield from proof_readings(state, "nothing seems wrong; this shows whether it is so")
    sound = state.proving.result.complaint == "held" and not state.results
    yield _closing(state, "nothing wrong" if sound else "not found out")


def _asked_again(
    state: SessionState, choice: Choice, offered: Sequence[CandidateCheck]
) -> Iterator[AskFinding]:
    again = due_reread(state, choice, _expecting(state, offered))
    if again and readable(state, again.check, again.finding):
        yield _again(state, again)


def _expecting(state: SessionState, offered: Sequence[CandidateCheck]) -> Expect:
    return lambda belief: choice_of(state, offered, belief).best.expected


def _again(state: SessionState, again: Reread) -> AskFinding:
    finding = state.rulebook.findings[again.finding]
    return AskFinding(finding, again.check, False, again.inconsistency.say, None, again)


def best_act(state: SessionState) -> Prompt:
    """Return the check or repair of least expected minutes, whatever is still asked first."""
    choice = choice_of(state, offered := candidate_checks(state))
    now = _verdict(state, choice)
    sound = now.kind == "nothing-wrong"
    return next(_soundness(state)) if sound else _prompt_of(state, choice, now, offered)


def what_would_decide(state: SessionState) -> tuple[str, ...]:
    """Return the checks passed over, or out of reach here, that would tell most, best first.

    From afar these are the ones that only somebody at the unit can make.
    """
    anew = SessionState(state.rulebook, state.unit, state.opened_with, state.compiled)
    anew.replay(state.journal)
    anew.passed.clear()
    anew.reach = AtHand(state.rulebook)
    offered = candidate_checks(anew)
    if state.reach.here.by_word:
        offered = tuple(one for one in offered if state.reach.here.lacks(one.check)) or offered
    choice = choice_of(anew, offered)
    best = [one.name for one in (choice.best, *choice.runners_up) if one.kind == "check"]
    return tuple(dict.fromkeys([*best, *([choice.telling] if choice.telling else [])]))


def _verdict(state: SessionState, choice: Choice) -> Verdict:
    out, settings = state.declined | repairing.unmade(state), state.rulebook.scales.settings
    return verdict(state.posterior, choice, settings, out, state.proof_failed)


def _prompt_of(
    state: SessionState,
    choice: Choice,
    now: Verdict,
    offered: Sequence[CandidateCheck],
    reason: str = "",
) -> Prompt:
    """Return the prompt for what was chosen, or for the look that comes before a dear repair."""
    if now.kind == "repair":
        first = repairing.look_first(state, now.name, offered)
        if first is not None:
            return ask(state, first, open_findings(state, first), repairing.BEFORE_PARTS, choice)
        doubt = repairing.spoken_against(state, now.name)
        if doubt is not None:
            again = reread(state, doubt, choice, _expecting(state, offered))
            if readable(state, again.check, again.finding):
                return _again(state, again)
    if now.kind == "check":
        check = state.rulebook.checks[now.name]
        return ask(state, check, open_findings(state, check), reason or _reason(choice), choice)
    if now.kind == "repair" and not _makes(state, now.name):
        return _closing(state, "goes on elsewhere")
    if now.kind == "repair" and not repairing.on_hearsay(state, now.name):
        return ProposeRepair(state.rulebook.causes[now.name], now.share, now.found)
    if now.kind == "run again":
        return RunAgain(state.rulebook.causes[state.repairs[-1].cause], now.share)
    strange = state.posterior.unknown >= STRANGE_AT
    return _closing(state, "not in the rulebook" if strange else "not found out")


def _reason(choice: Choice) -> str:
    if choice.best.kind != "check":
        return "the likeliest cause is not sure enough yet to change anything"
    return "of all that can be done now it costs least on the way to a proved repair"
