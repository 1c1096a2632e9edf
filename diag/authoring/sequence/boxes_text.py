"""A sheet to write on in words: the lines of a page to print as they are, or Markdown."""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.sequence.boxes import LABELS, BenchSheet, Box, BoxedStep
from diag.authoring.sequence.sheet_text import dangers_of, name_of, what_it_takes
from diag.model.rulebook import Finding, Rulebook
from diag.rulebook.kinds import KINDS, marks

ROOM = "_" * 10
HOW_TO_FILL_IN = (
    "Work from the top. Write each reading with its unit, or ring one; leave open what was not "
    "looked at. Stop at any danger. Type it in afterwards: diag enter."
)
TIMES = ("Fitter", "Date", "Begun", "Done")
REPAIR = ("Fault repaired", "What was done", "Parts", "Minutes", "Remarks")
SIGNS = ("Fitter", "Owner")
AFTER = "After the repair"
PROOF = "Only in the run after the repair"


def heading_of_boxes(sheet: BenchSheet) -> str:
    """Return the one line above the sheet."""
    return f"{sheet.sheet.title}: bench sheet ({sheet.sheet.unit})"


def mark_of(sheet: BenchSheet) -> str:
    """Return what the sheet says of the rules that it was made by."""
    return f"{len(sheet.boxes)} boxes, rules {sheet.mark}"


def ringed(finding: Finding) -> tuple[tuple[str, str], ...]:
    """Return the answers of which one is ringed, each as it is called and what it looks like.

    They come as they are put at a prompt, by number or letter; none where a number is written.
    """
    if not finding.choices:
        return ()
    if not KINDS[finding.kind].is_listed:
        return (("yes", ""), ("no", ""))
    listed = marks(finding).items()
    return tuple((f"{mark} {state}", _look(finding.choices[state])) for mark, state in listed)


def _look(look: str) -> str:
    return f"({look})" if look else ""


def written_in(finding: Finding) -> str:
    """Return in what an answer is written, as `[V]`; empty where nothing need be said."""
    hint = KINDS[finding.kind].hint(finding)
    return f"[{hint}]" if hint else ""


def step_of(one: BoxedStep) -> tuple[str, str]:
    """Return what a step is called, and what it takes and what to do."""
    if one.step is None:
        return PROOF, "Run the heater until it has shown these."
    return name_of(one.step), f"({', '.join(what_it_takes(one.step))}) {one.step.check.do}"


def as_boxes(rulebook: Rulebook, sheet: BenchSheet) -> Iterator[str]:
    """Yield the lines below the dangers: steps with their boxes, the repair, and who signs."""
    for one in (*sheet.steps, sheet.proof):
        if one is sheet.proof:
            yield from ("", *_blanks(REPAIR))
        if one.boxes:
            name, act = step_of(one)
            yield from ("", f"{name.upper()} {act}")
        for box in one.boxes:
            yield f"{box.number:>3}. {_line(box, one is sheet.proof)}"
    yield ""
    yield from _blanks(f"{who} signs" for who in SIGNS)
    yield f"({mark_of(sheet)})"


def labels_above() -> Iterator[str]:
    """Yield what stands above the dangers: how to fill it in, and whose heater it is."""
    yield HOW_TO_FILL_IN
    yield from _blanks((*LABELS.values(), *TIMES))


def _blanks(names: Iterator[str] | tuple[str, ...]) -> Iterator[str]:
    """Yield a line to write on for each name."""
    yield from (f"{name}: {ROOM * 4}" for name in names)


def _line(box: Box, proves: bool) -> str:
    finding = box.finding
    ring = " / ".join(f"{mark} {look}".rstrip() for mark, look in ringed(finding))
    parts = [finding.ask, f"{ring}." if ring else f"{written_in(finding)} {ROOM}".lstrip()]
    parts += [f"Good: {box.good}." if box.good else ""]
    parts += [f"{AFTER}: {ROOM}" if box.after and not proves else ""]
    return " ".join(part for part in parts if part)


def as_boxes_markdown(rulebook: Rulebook, sheet: BenchSheet) -> Iterator[str]:
    """Yield the lines of a Markdown page: what to fill in, the dangers, the steps as lists."""
    yield f"# {heading_of_boxes(sheet)}"
    yield ""
    how, *fields = labels_above()
    yield from (how, "", *(f"- {line}" for line in fields))
    for text in dangers_of(rulebook, sheet.sheet):
        yield ""
        yield f"> {text}"
    for one in (*sheet.steps, sheet.proof):
        if one is sheet.proof:
            yield from ("", "## Repair", "", *(f"- {line}" for line in _blanks(REPAIR)))
        if one.boxes:
            name, act = step_of(one)
            yield from ("", f"## {name}", "", act, "")
        for box in one.boxes:
            yield f"{box.number}. {_line(box, one is sheet.proof)}"
    yield ""
    yield from (f"- {line}" for line in _blanks(f"{who} signs" for who in SIGNS))
    yield ""
    yield f"({mark_of(sheet)})"
