"""How the bench sums are shown: figures with their sums, verdicts, notes, cautions."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from diag.bench.figures import rounded
from diag.bench.report import ADD, STOP, BenchReport, as_object, without_options
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.wrapping import LEAST_CELLS, cells, filled, wrap
from diag.model.phrasing import printable

NAME, VALUE = 22, 20
ROOM_TO_ANSWER = 12

Drawing = Callable[[int], list[str]]
"""What makes a drawing of at most so many cells across."""


def paragraph(text: str, width: int) -> list[str]:
    """Return a paragraph as lines of at most `width` cells; what goes on is set in."""
    return wrap(printable(text, keep=""), width, rest="  ")


def figure_lines(name: str, value: str, how: str, width: int) -> list[str]:
    """Return one figure as a line, or more when its sum is long or the terminal narrow.

    >>> figure_lines("drop", "0.8 V", "10 A * 0.08 ohm", 30)
    ['drop: 0.8 V', '  10 A * 0.08 ohm']
    """
    name, value, how = (printable(each, keep="") for each in (name, value, how))
    head = f"{filled(name, NAME)} {filled(value, VALUE)} "
    if width - cells(head) >= LEAST_CELLS:
        return wrap(how, width, head, " " * cells(head))
    lines = wrap(f"{name.strip()}: {value}", width, rest="  ")
    return [*lines, *wrap(how, width, "  ", "  ")] if how else lines


def report_lines(report: BenchReport, width: int, drawing: Drawing | None = None) -> list[str]:
    """Return the screen, at most `width` cells wide; a reason to stop comes before all else."""
    shown = [line for stop in _sentences(report, stop=True) for line in paragraph(stop, width)]
    rows = [
        (each.name, rounded(each.value, each.error, each.unit), each.formula)
        for each in report.figures
    ]
    for name, value, how in (*rows, *report.rows):
        shown += figure_lines(name, value, how, width)
    if drawing is not None:
        shown += drawing(width)
    for text in _paragraphs(report):
        shown += paragraph(text, width)
    return shown


def _sentences(report: BenchReport, stop: bool) -> list[str]:
    return [each.sentence for each in report.judgements if (each.verdict == STOP) is stop]


def _paragraphs(report: BenchReport) -> Iterable[str]:
    yield from _sentences(report, stop=False)
    if report.assumed:
        yield f"assumed: {', '.join(report.assumed)}"
    more = [note for note in report.notes if note.startswith(ADD)]
    if more:
        yield "; ".join(more)
    yield from without_options(report.notes)
    yield from (f"caution: {each}" for each in report.cautions)


def show(
    report: BenchReport,
    as_json: bool,
    drawing: Drawing | None = None,
    screen: Screen | None = None,
) -> None:
    """Print the report, as lines for people or as one JSON object.

    On the `screen` of a session no options to add are named: nobody can give them there.
    """
    if as_json:
        import json

        print(json.dumps(as_object(report), indent=2))
    else:
        if screen is not None:
            report = replace(report, notes=without_options(report.notes))
        screen = screen or Screen()
        screen.lines(report_lines(report, screen.width, drawing))


def tell(text: str, screen: Screen | None = None) -> None:
    """Print a paragraph."""
    screen = screen or Screen()
    screen.lines(paragraph(text, screen.width))


def typed(question: str) -> str:
    """Put a question at the keyboard and return the line typed behind it."""
    screen = Screen()
    *above, last = wrap(printable(question), screen.width - ROOM_TO_ANSWER, rest="  ")
    screen.lines(above)
    return input(f"{last} ")
