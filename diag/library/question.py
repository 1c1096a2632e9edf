"""What a session puts to its user, as one plain value whatever kind of prompt it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal as OneOf

from diag.model.rulebook import Check, Finding, Rulebook
from diag.rulebook.kinds import KINDS
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    RunAgain,
    StopWork,
)
from diag.session.proof.measuring import measuring_here
from diag.session.state import SessionState

QuestionKind = OneOf[
    "yes/no", "choice", "count", "code", "quantity", "several", "stop", "repair", "run again", "end"
]


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked now. Two questions are equal when they ask the same in the same way."""

    kind: QuestionKind
    """Four kinds of finding; `several` yes/no at once; `stop`, `repair` and `run again` want an
    act to be confirmed; `end` wants nothing more."""
    text: str
    choices: Mapping[str, str] = field(default_factory=dict)
    """What may be answered, to what it means; empty for a number. Of `several`, any of them with
    commas between, or `none`."""
    unit: str = ""
    """The unit of measure in which a bare number is taken."""
    finding: str = ""
    check: str = ""
    """The act at the bench of which this is a part."""
    steps: tuple[str, ...] = ()
    """What to do, in order."""
    cautions: tuple[str, ...] = ()
    """What to mind meanwhile; to be shown before the steps are taken."""
    measure: tuple[tuple[str, str], ...] = ()
    """How it is measured, label and text: with what, where, when, what is good, mistakes."""
    drawing: tuple[str, ...] = ()
    """The same as lines of characters, to be shown in letters of one width."""
    reason: str = ""


def question_of(state: SessionState, prompt: Prompt) -> Question:
    """Return a prompt of a session as a question."""
    rulebook = state.rulebook
    if isinstance(prompt, AskFinding):
        return _one(state, prompt)
    if isinstance(prompt, AskTogether):
        return _several(rulebook, prompt)
    if isinstance(prompt, ProposeRepair):
        return _repair(rulebook, prompt)
    if isinstance(prompt, RunAgain):
        return _run_again(rulebook, prompt)
    if isinstance(prompt, StopWork):
        return _stop(prompt)
    return Question("end", _ending(prompt))


def _one(state: SessionState, prompt: AskFinding) -> Question:
    finding, check = prompt.finding, prompt.check
    return Question(
        finding.kind,
        finding.ask,
        _choices(finding),
        unit=finding.unit.symbol if finding.unit else "",
        finding=finding.id,
        check=check.id if check else "",
        steps=_steps(check, finding),
        cautions=_cautions(state.rulebook, check.cautions if check else ()),
        measure=tuple(measuring_here(state, finding, drawn=False)),
        drawing=finding.measure.drawing if finding.measure else (),
        reason=prompt.reason,
    )


def _choices(finding: Finding) -> dict[str, str]:
    if KINDS[finding.kind].is_denied_by_no:
        return {"yes": "it is so", "no": "it is not so"}
    return dict(finding.choices)


def _steps(check: Check | None, finding: Finding) -> tuple[str, ...]:
    return tuple(step for step in (check.do if check else "", finding.help) if step)


def _cautions(rulebook: Rulebook, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(rulebook.cautions[name] for name in names)


def _several(rulebook: Rulebook, prompt: AskTogether) -> Question:
    check = prompt.check
    return Question(
        "several",
        check.together,
        {finding.id: finding.ask for finding in prompt.findings},
        check=check.id,
        steps=(check.do,),
        cautions=_cautions(rulebook, check.cautions),
        reason=prompt.reason,
    )


def _repair(rulebook: Rulebook, prompt: ProposeRepair) -> Question:
    cause = prompt.cause
    found = "found" if prompt.sure else "the likeliest, though not sure"
    return Question(
        "repair",
        f"{cause.title}. Is the repair made?",
        {"done": "the repair is made", "other": "look for something else"},
        steps=cause.repair.do,
        cautions=_cautions(rulebook, cause.cautions),
        reason=f"`{cause.id}` is {found}, at {prompt.probability:.0%}",
    )


def _run_again(rulebook: Rulebook, prompt: RunAgain) -> Question:
    cause = prompt.cause
    return Question(
        "run again",
        f"{cause.title}. Have you looked over the work and run it once more?",
        {"done": "it is running again", "other": "look for something else"},
        cautions=_cautions(rulebook, cause.cautions),
        reason=f"nothing may be left to repair, at {prompt.probability:.0%}",
    )


def _stop(prompt: StopWork) -> Question:
    danger = prompt.danger
    return Question(
        "stop",
        danger.title,
        {"done": "what is to be done now is done"},
        steps=danger.do_now,
        cautions=(danger.licensed,) if danger.licensed else (),
        reason=f"work may go on when: {danger.resume_when}",
    )


def _ending(prompt: Closing) -> str:
    return f"It ends here: {prompt.ending.kind}."
