"""How the bench sums are shown: figures with their sums, verdicts, notes, cautions."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence

from diag.bench.figures import amount
from diag.bench.report import ALSO, STOP, BenchReport, as_object
from diag.cli.terminal.printable import printable

WIDTH = 79
NAME, VALUE = 22, 20


def wrapped(text: str, width: int = WIDTH, indent: str = "  ") -> list[str]:
    """Return a paragraph as lines of at most 79 columns; a number keeps its unit beside it.

    >>> wrapped("the drop is within 0.36 V", width=24)
    ['the drop is within', '  0.36 V']
    """
    glued = re.sub(r"(?<=[0-9]) (?=[A-Za-z%])", "\0", printable(text, keep=""))
    parts = textwrap.wrap(glued, width, subsequent_indent=indent, break_on_hyphens=False)
    return [part.replace("\0", " ") for part in parts]


def row(name: str, value: str, how: str) -> list[str]:
    """Return one figure as a line, or more when its sum is long."""
    head = f"{name:<{NAME}} {value:<{VALUE}} "
    body = wrapped(how, WIDTH - len(head), indent="")
    first = (head + (body[0] if body else "")).rstrip()
    return [first, *(" " * len(head) + more for more in body[1:])]


def lines(report: BenchReport, drawing: Sequence[str] = ()) -> list[str]:
    """Return the screen, at most 79 columns wide; a reason to stop comes before all else."""
    shown = [line for stop in _sentences(report, stop=True) for line in wrapped(stop)]
    for each in report.figures:
        shown += row(each.name, amount(each.value, each.error, each.unit), each.formula)
    for name, value, how in report.rows:
        shown += row(name, value, how)
    shown += drawing
    for text in _paragraphs(report):
        shown += wrapped(text)
    return shown


def _sentences(report: BenchReport, stop: bool) -> list[str]:
    return [each.sentence for each in report.judgements if (each.verdict == STOP) is stop]


def _paragraphs(report: BenchReport) -> Iterable[str]:
    yield from _sentences(report, stop=False)
    if report.assumed:
        yield f"assumed: {', '.join(report.assumed)}"
    more = [note.removeprefix("with ") for note in report.notes if ALSO in note]
    if more:
        yield "with " + "; with ".join([more[0], *(each.replace(ALSO, "") for each in more[1:])])
    yield from (note for note in report.notes if ALSO not in note)
    yield from (f"caution: {each}" for each in report.cautions)


def show(report: BenchReport, as_json: bool, drawing: Sequence[str] = ()) -> None:
    """Print the report, as lines for people or as one JSON object."""
    if as_json:
        import json

        print(json.dumps(as_object(report), indent=2))
    else:
        print("\n".join(lines(report, drawing)))
