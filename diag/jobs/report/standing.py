"""How a job stands: its outcome, what comes next where it is open, and the cautions due."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.jobs.history.told import DangerSeen, SessionHistory
from diag.jobs.report.document import Block, Boxed, Listed, Paragraph, ReportSection, section
from diag.jobs.report.material import JobMaterial
from diag.model.phrasing import capital
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    StopWork,
)

WATCHED = "watched"
"""How the acts begin that are done under watch, and of which the others say what is done."""
ALWAYS = ("exhaust gas", "exhaust end", "let it cool down", "fuel fire")
"""Cautions for whoever uses such a heater, where the rules have them."""
ENDINGS = {
    "proved": "The repair is proved: it holds, and the complaint is gone.",
    "not proved": "Not proved: not all that would prove it could be read.",
    "nothing wrong": "Nothing is wrong, as far as was read.",
    "not found out": "Not found out: what was read shows neither a fault nor that all is well.",
    "not in the rulebook": "No known fault fits what was read: it is a case for a specialist.",
    "handed over": "Handed over: a danger holds, and nothing that is allowed is left to do here.",
    "goes on elsewhere": "It goes on where more is at hand.",
}


def outcome_words(material: JobMaterial) -> Iterator[Block]:
    """Yield whether the job is open or closed, and how each session ended."""
    record = material.record
    if material.is_open:
        yield Paragraph("This job is OPEN: what stands here is not the last word.", strong=True)
    else:
        yield Paragraph(f"Closed on {material.local(record.ended)}: {record.outcome}.", strong=True)
    for one in material.sessions:
        if isinstance(one.comes_next, Closing):
            yield Paragraph(ENDINGS[one.comes_next.ending.kind])
    if not material.sessions:
        begun = "can be read" if material.history.left_out else "was begun yet"
        yield Paragraph(f"No session of it {begun}: nothing was looked at as far as is known.")


def next_steps(material: JobMaterial) -> Iterator[Block]:
    """Yield what comes next in the last session of an open job."""
    if not (material.is_open and material.sessions):
        return
    session = material.sessions[-1]
    told = list(_next(material, session, session.comes_next))
    if told:
        yield Paragraph("What comes next:")
        yield Listed(tuple(told))


def _next(material: JobMaterial, session: SessionHistory, prompt: Prompt) -> Iterator[str]:
    if isinstance(prompt, AskFinding | AskTogether):
        if prompt.check is not None:
            yield f"{capital(prompt.check.id)}: {prompt.check.do}"
        elif isinstance(prompt, AskFinding):
            yield prompt.finding.ask
        if isinstance(prompt, AskFinding) and prompt.proves is not None:
            yield "This is to prove a repair, or that a danger is over."
    elif isinstance(prompt, StopWork):
        yield f"STOP, {prompt.danger.title}: {' '.join(prompt.danger.do_now)}"
    elif isinstance(prompt, Closing):
        yield from _after_end(material, session, prompt)
    else:
        lead = "Repair" if isinstance(prompt, ProposeRepair) else "Look over the work on"
        yield f"{lead}: {prompt.cause.title}. {' '.join(prompt.cause.repair.do)}"
        yield "Then a test run that proves it."


def _after_end(
    material: JobMaterial, session: SessionHistory, prompt: Closing
) -> Iterator[str]:  # fmt: skip
    ending, checks = prompt.ending, material.book.checks
    for name in ending.would_decide:
        if name in checks:
            yield f"{capital(name)}: {checks[name].do}"
    if ending.bring is not None and ending.bring.wanted:
        yield f"Wanted for that: {', '.join(ending.bring.wanted)}."
    if ending.kind in ("proved", "nothing wrong"):
        yield "Nothing more to look at; the job is to be closed."


def cautions_due(material: JobMaterial) -> tuple[str, ...]:
    """Return the cautions due: for whoever uses the heater, and those of the causes repaired."""
    known = material.book.cautions
    names = dict.fromkeys(
        (*ALWAYS, *(name for one in material.repairs for name in _cautions(material, one.cause)))
    )
    return tuple(known[name] for name in names if name in known)


def _cautions(material: JobMaterial, cause: str) -> tuple[str, ...]:
    return material.book.causes[cause].cautions


def dangers_that_hold(material: JobMaterial) -> ReportSection | None:
    """Return the dangers that hold, before anything else."""
    held = {one.danger: one for each in material.sessions for one in each.dangers if one.holds}
    boxes = [_box(material, one) for one in held.values()]
    return section("Danger: do not use the heater", *boxes) if boxes else None


def _box(material: JobMaterial, one: DangerSeen) -> Boxed:
    danger = material.book.dangers[one.danger]
    return Boxed(
        danger.title,
        (
            *danger.do_now,
            f"It may be used again when: {danger.resume_when}",
            _forbidden(material, danger.forbids),
            danger.licensed,
        ),
    )


def _forbidden(material: JobMaterial, forbids: Sequence[str]) -> str:
    """Say in whole sentences what may not be done, and whether it may be under watch."""
    told = [material.book.acts[act] for act in forbids if not act.startswith(WATCHED)]
    if not told:
        return ""
    watched = " Not even under watch." if len(told) < len(forbids) else ""
    return f"Until then this must not be: {' '.join(told)}{watched}"
