"""What comes next: dangers first, then the intake, then the best check, repair and proof."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from diag.logic.evaluate import evaluate
from diag.model.expression import names_in
from diag.model.rulebook import Check, Finding, Proof
from diag.reason.belief.belief import Belief
from diag.reason.belief.evidence import together
from diag.reason.chain.sufficiency import SufficientSets
from diag.reason.plan.choose import Choice, choose
from diag.reason.plan.costs import opened_by
from diag.reason.plan.decision_problem import NOTHING, CandidateCheck
from diag.reason.plan.verdict import verdict
from diag.session.dependencies import findings_of
from diag.session.events import Judged
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    RunAgain,
    StopWork,
)
from diag.session.reread import check_of, due_reread
from diag.session.state import SessionState


def next_prompt(state: SessionState, deadline: Callable[[], bool] | None = None) -> Prompt:
    """Return what to put to the user now; a proof that is complete must have been judged."""
    dangers = state.open_dangers()
    if dangers:
        return StopWork(state.rulebook.dangers[dangers[0]])
    if state.proved:
        return Closing("repaired", state.rulebook.causes[state.proved])
    if state.in_proof:
        asked = _proof_prompt(state)
        if asked is not None:
            return asked
    for prompt in _standing_prompts(state):
        return prompt
    offered = offers(state)
    choice = choice_of(state, offered, deadline)
    return _asked_again(state, choice, offered, deadline) or act_on(state, choice)


def due_judgement(state: SessionState) -> Judged | None:
    """Return whether the proof of the last repair held, once all its readings are in; else None.

    What could not be taken does not fail the proof, but a proof of which nothing could be
    taken does not hold.
    """
    if not state.in_proof or state.open_dangers() or _proof_prompt(state) is not None:
        return None
    cause = state.in_proof
    truths = [evaluate(proof.condition, state.chain).truth for proof in proofs(state, cause)]
    return Judged(cause, held=False not in truths and True in truths)


def proofs(state: SessionState, cause: str) -> tuple[Proof, ...]:
    """Return what must hold after a repair: the cause's own proof, then the complaint's."""
    own = state.rulebook.causes[cause].proof
    complaint = state.rulebook.complaints.get(state.complaint)
    return own + (complaint.proof if complaint else ())


def _proof_prompt(state: SessionState) -> Prompt | None:
    for proof in proofs(state, state.in_proof):
        for name in names_in(proof.condition):
            for finding in sorted(findings_of(state, name)):
                reading = state.readings.get(finding)
                taken = reading is not None and reading.stage == state.stage
                if not taken and finding not in state.passed:
                    known = state.rulebook.findings[finding]
                    why = "this must hold in the run after the repair"
                    return AskFinding(known, check_of(state, finding), False, why)
    return None


def _standing_prompts(state: SessionState) -> Iterator[Prompt]:
    """Yield the rest of the check under way, then what is asked first."""
    if state.check:
        check = state.rulebook.checks[state.check]
        yield from _rest_of(state, check, "it belongs to the check under way")
    if not state.repairs:
        yield from first_looks(state)


def first_looks(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    """Yield what every session asks first: safety, then the cheap looks of the complaint."""
    book = state.rulebook
    first = book.asked_first
    for check in book.checks.values():
        if first.intersection(check.yields):
            yield from _rest_of(state, check, "safety comes before everything else")
    complaint = book.complaints.get(state.complaint)
    for name in complaint.intake if complaint else ():
        yield from _rest_of(state, book.checks[name], "a cheap look that narrows it down")


def _rest_of(
    state: SessionState, check: Check, reason: str, choice: Choice | None = None
) -> Iterator[AskFinding | AskTogether]:
    findings = open_findings(state, check)
    if findings and _possible(state, check):
        yield _ask(state, check, findings, reason, choice)


def _ask(
    state: SessionState,
    check: Check,
    findings: tuple[Finding, ...],
    reason: str,
    choice: Choice | None = None,
) -> AskFinding | AskTogether:
    if check.together and check.id not in state.done_checks:
        return AskTogether(check, findings, reason, choice)
    return AskFinding(findings[0], check, check.id != state.check, reason, choice)


def open_findings(state: SessionState, check: Check) -> tuple[Finding, ...]:
    """Return the findings of a check that can still be asked, or asked anew, in order."""
    renewable = state.renewable
    return tuple(
        finding
        for finding in (state.rulebook.findings[name] for name in check.yields)
        if (finding.id not in state.readings or finding.id in renewable)
        and finding.id not in state.passed
        and _wanted(state, finding)
    )


def _wanted(state: SessionState, finding: Finding, above: frozenset[str] = frozenset()) -> bool:
    """Return whether a finding makes sense now.

    Where that hangs on what was passed over, or on what makes no sense itself, it does not.
    """
    if finding.asked_when is None:
        return True
    truth = state.chain.truth(finding.asked_when)
    if truth is not None:
        return truth
    missing = state.chain.missing_for(finding.asked_when)
    findings, above = state.rulebook.findings, above | {finding.id}
    return any(
        name not in findings or name in above or _wanted(state, findings[name], above)
        for name in missing - state.passed.keys()
    )


def _possible(state: SessionState, check: Check) -> bool:
    if check.possible_when is None:
        return True
    return state.chain.truth(check.possible_when) is not False


def offers(state: SessionState) -> tuple[CandidateCheck, ...]:
    """Return the checks that can be done now and would decide at least one sign."""
    found = []
    chain = state.chain.copy()
    for finding in state.renewable:
        chain.withdraw(finding)
    sufficient = SufficientSets(chain, state.compiled.rules, state.rulebook.signs)
    scale = state.rulebook.scales.reliability
    for check in state.rulebook.checks.values():
        findings = open_findings(state, check)
        if not findings or not _possible(state, check):
            continue
        brought = frozenset(finding.id for finding in findings)
        signs = {
            sign: together(scale[state.rulebook.findings[name].how] for name in need or brought)
            for sign, need in sufficient.settled_by(brought).items()
        }
        if signs:
            found.append(CandidateCheck(check, tuple(sorted(brought)), signs))
    return tuple(found)


def choice_of(
    state: SessionState,
    offered: Sequence[CandidateCheck],
    deadline: Callable[[], bool] | None = None,
    belief: Belief | None = None,
) -> Choice:
    """Return the best next act and its runners-up, on what is believed unless told otherwise.

    `offered` are the `offers` of this state. To turn down another run after a failed proof, whose
    cause is mended already, is to turn down that nothing is wrong.
    """
    repaired = frozenset(repair.cause for repair in state.repairs)
    once_more = {NOTHING} if repaired & state.declined else frozenset[str]()
    return choose(
        state.rulebook,
        belief or state.belief,
        offered,
        opened_by(state.rulebook, state.done_checks),
        repaired | state.declined | once_more,
        deadline,
        state.proof_failed,
    )


def _asked_again(
    state: SessionState,
    choice: Choice,
    offered: Sequence[CandidateCheck],
    deadline: Callable[[], bool] | None,
) -> AskFinding | None:
    def expect(belief: Belief) -> float:
        return choice_of(state, offered, deadline, belief).best.expected

    again = due_reread(state, choice, expect)
    if again is None:
        return None
    finding = state.rulebook.findings[again.finding]
    return AskFinding(finding, again.check, False, again.inconsistency.say, None, again)


def best_act(state: SessionState, deadline: Callable[[], bool] | None = None) -> Prompt:
    """Return the check or repair of least expected minutes, whatever is still asked first."""
    return act_on(state, choice_of(state, offers(state), deadline))


def act_on(state: SessionState, choice: Choice) -> Prompt:
    """Return the prompt for what was chosen."""
    settings = state.rulebook.scales.settings
    now = verdict(state.posterior, choice, settings, state.declined, state.proof_failed)
    if now.kind == "check":
        check = state.rulebook.checks[now.name]
        return _ask(state, check, open_findings(state, check), _reason(choice), choice)
    if now.kind == "repair":
        return ProposeRepair(state.rulebook.causes[now.name], now.share, now.found)
    if now.kind == "run again":
        return RunAgain(state.rulebook.causes[state.repairs[-1].cause], now.share)
    return Closing(now.kind)


def _reason(choice: Choice) -> str:
    best = choice.best
    if best.kind == "check":
        return (
            f"about {best.expected:.0f} min from here to a proved repair, the least expected; "
            "parts and failed repairs count as minutes"
        )
    return "the likeliest cause is not sure enough yet to change anything"
