"""A fault sequence in words: the lines of a page, Markdown, and plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from diag.authoring.sequence.sheet import FaultSheet, SheetReading, SheetStep
from diag.authoring.tree_text import LOCAL_RULES
from diag.model.phrasing import capital, in_a_row, small
from diag.model.rulebook import Rulebook
from diag.session.proof.good import CLASS_VALUE

HOW_TO_READ = (
    "Go down the steps in this order. Where one is not good, look into what it points to, repair "
    "it, and prove it with a run. Where all are good, hold a session: diag ask."
)
IN_BRIEF = "Acts, cautions and what is good are in brief; --page and --markdown tell them in full."
FOOTNOTE = "* a class value: the heater's own data come first."
MOST_ON_A_LINE = 40
"""Letters of what is good that a sheet in brief tells, where they can be cut at a comma."""


def heading_of(sheet: FaultSheet) -> str:
    """Return the one line above the sheet."""
    return f"{sheet.title}: the usual fault sequence ({sheet.unit})"


def dangers_of(rulebook: Rulebook, sheet: FaultSheet, *, brief: bool = False) -> tuple[str, ...]:
    """Return the paragraphs of the box: the look for danger, what holds already, the cautions."""
    first = " ".join(step.check.do for step in sheet.first)
    asked = [one.title for one in rulebook.dangers.values() if one.ask_first]
    stop = "Stop, and start nothing, on any of these"
    found = [f"{first} {stop}: {', '.join(map(small, asked))}."] if asked else []
    for reading in (reading for step in sheet.first for reading in step.readings):
        for states, causes in reading.points:
            found.append(
                f"{capital(reading.sign)} is {in_a_row(states, 'or')}: {', '.join(causes)}."
            )
    for name in sheet.raised:
        danger = rulebook.dangers[name]
        found.append(f"The complaint tells of it: {small(danger.title)}. {' '.join(danger.do_now)}")
    cautions = cautions_of(rulebook, sheet)
    if brief:
        cautions = tuple(f"{text.partition('. ')[0].rstrip('.')}." for text in cautions)
    return (*found, " ".join((*cautions, LOCAL_RULES)))


def cautions_of(rulebook: Rulebook, sheet: FaultSheet) -> tuple[str, ...]:
    """Return the cautions of all steps, each once, the earliest first."""
    names = (name for step in (*sheet.first, *sheet.steps) for name in step.check.cautions)
    return tuple(rulebook.cautions[name] for name in dict.fromkeys(names))


def as_lines(sheet: FaultSheet, *, brief: bool) -> Iterator[str]:
    """Yield each step as a numbered paragraph, and what stands below them."""
    for number, step in enumerate(sheet.steps, 1):
        told = [f"{step.check.id.upper()} ({', '.join(what_it_takes(step))})."]
        told += [] if brief else [step.check.do]
        for reading in step.readings:
            told += [good_of(reading, brief=brief), *points_of(reading)]
        yield f"{number}. {' '.join(told)}"
    yield ""
    yield from ending_of(sheet)
    if brief:
        yield IN_BRIEF


def ending_of(sheet: FaultSheet) -> Iterator[str]:
    """Yield what stands below the steps."""
    yield HOW_TO_READ
    readings = (reading for step in sheet.steps for reading in step.readings)
    if any(CLASS_VALUE in good for reading in readings for _, good in reading.good):
        yield FOOTNOTE


def as_markdown_page(rulebook: Rulebook, sheet: FaultSheet) -> Iterator[str]:
    """Yield the lines of a Markdown page: a heading, the dangers as a quote, one numbered list."""
    yield f"# {heading_of(sheet)}"
    for text in dangers_of(rulebook, sheet):
        yield ""
        yield f"> {text}"
    yield ""
    for number, step in enumerate(sheet.steps, 1):
        head = f"{number}. "
        yield f"{head}**{name_of(step)}** ({', '.join(what_it_takes(step))}). {step.check.do}"
        for reading in step.readings:
            said = " ".join((good_of(reading), *points_of(reading)))
            yield f"{' ' * len(head)}- {said}"
    for text in ending_of(sheet):
        yield ""
        yield text.replace("*", r"\*")


def name_of(step: SheetStep) -> str:
    """Return what the step is called."""
    return capital(step.check.id)


def what_it_takes(step: SheetStep) -> Iterator[str]:
    """Yield the minutes of a step, where it is done, and what is needed for it."""
    check = step.check
    if step.same_run:
        yield f"in the same {check.run.removeprefix('one ')}"
    else:
        yield f"{step.minutes:.2g} min" if step.minutes < 10 else f"{step.minutes:.0f} min"
    if check.waits:
        yield f"and {check.waits:.0f} min of waiting"
    yield from step.made_ready
    yield from check.tools


def good_of(reading: SheetReading, *, brief: bool = False) -> str:
    """Return what is looked at and what of it is good, a class value marked by a star."""
    told = "; ".join(f"{name}: {_good(good, brief=brief)}" for name, good in reading.good)
    return f"{capital(told)}."


def _good(text: str, *, brief: bool) -> str:
    if brief and len(text) > MOST_ON_A_LINE:
        text = text.partition(",")[0]
    return text.replace(CLASS_VALUE, "*")


def points_of(reading: SheetReading) -> Iterator[str]:
    """Yield what each state that is not good points to."""
    for states, causes in reading.points:
        yield f"If {states_of(reading, states)}: {', '.join(causes)}."


def states_of(reading: SheetReading, states: Iterable[str]) -> str:
    """Return states that are not good, each with the side of a range on which it lies."""
    sides, found = dict(reading.sides), dict[str, list[str]]()
    for state in states:
        found.setdefault(sides.get(state, ""), []).append(state)
    told = (
        f"{side} ({in_a_row(some, 'or')})" if side else in_a_row(some, "or")
        for side, some in found.items()
    )
    return in_a_row(told, "or")


def as_plain_data(rulebook: Rulebook, sheet: FaultSheet) -> dict[str, Any]:
    """Return the whole sheet as plain data: minutes to a tenth, shares to four places."""
    return {
        "complaint": sheet.complaint,
        "unit": sheet.unit,
        "minutes": round(sheet.minutes, 1),
        "not_shown": round(sheet.unshown, 4),
        "dangers": list(dangers_of(rulebook, sheet)),
        "first": [_step_data(step) for step in sheet.first],
        "steps": [_step_data(step) for step in sheet.steps],
    }


def _step_data(step: SheetStep) -> dict[str, Any]:
    check = step.check
    return {
        "check": check.id,
        "do": check.do,
        "minutes": round(step.minutes, 1),
        "wait_minutes": check.waits,
        "access": check.access,
        "needs": list(check.needs),
        "tools": list(check.tools),
        "same_run": step.same_run,
        "come_to": round(step.come_to, 4),
        "readings": [
            {
                "sign": one.sign,
                "good": dict(one.good),
                "points_to": [
                    {"if": list(states), "causes": list(causes)} for states, causes in one.points
                ],
            }
            for one in step.readings
        ],
    }
