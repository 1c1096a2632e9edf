"""A fault sequence as one page to print: HTML by itself, A4, black on white."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from diag.authoring.sequence.sheet import FaultSheet, SheetReading, SheetStep
from diag.authoring.sequence.sheet_text import (
    dangers_of,
    ending_of,
    good_of,
    heading_of,
    name_of,
    states_of,
    what_it_takes,
)
from diag.model.rulebook import Rulebook

STYLE = """\
@page { size: A4; margin: 9mm; }
body { font: 7.6pt/1.25 sans-serif; color: #000; background: #fff; margin: 0; }
h1 { font-size: 13pt; margin: 0 0 2mm; }
.dangers { border: 2px solid #000; padding: 1mm 2.5mm; margin: 0 0 2.5mm; }
.dangers p { margin: 0.6mm 0; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 0.5pt solid #000; padding: 0.7mm 1.2mm; text-align: left; vertical-align: top; }
tr { break-inside: avoid; }
td p { margin: 0; }
td.number { text-align: right; font-weight: bold; }
.below { margin: 1.5mm 0 0; }
"""


def as_html(rulebook: Rulebook, sheet: FaultSheet) -> Iterator[str]:
    """Yield the lines of the page; whatever the rules say is text in it, never markup."""
    title = escape(heading_of(sheet))
    yield "<!DOCTYPE html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield f"<title>{title}</title>"
    yield f"<style>\n{STYLE}</style></head><body>"
    yield f"<h1>{title}</h1>"
    yield '<div class="dangers"><p><strong>Dangers first</strong></p>'
    yield from (f"<p>{escape(text)}</p>" for text in dangers_of(rulebook, sheet))
    yield "</div>"
    yield '<table><thead><tr><th style="width: 3%"></th><th style="width: 30%">What to do</th>'
    yield '<th style="width: 15%">It takes</th><th style="width: 25%">Good is</th>'
    yield "<th>If not, it points to</th></tr></thead><tbody>"
    for number, step in enumerate(sheet.steps, 1):
        yield from _rows(number, step)
    yield "</tbody></table>"
    yield from (f'<p class="below">{escape(text)}</p>' for text in ending_of(sheet))
    yield "</body></html>"


def _rows(number: int, step: SheetStep) -> Iterator[str]:
    """Yield a step as rows, one for each reading: what is good beside what it points to."""
    readings = step.readings or (None,)
    span = f' rowspan="{len(readings)}"' if len(readings) > 1 else ""
    act = f"<strong>{escape(name_of(step))}.</strong> {escape(step.check.do)}"
    takes = escape(", ".join(what_it_takes(step)))
    head = f'<td class="number"{span}>{number}</td><td{span}>{act}</td><td{span}>{takes}</td>'
    for at, reading in enumerate(readings):
        good, points = (good_of(reading), _points(reading)) if reading else ("", "")
        yield f"<tr>{'' if at else head}<td>{escape(good)}</td><td>{points}</td></tr>"


def _points(reading: SheetReading) -> str:
    return "".join(
        f"<p><strong>{escape(states_of(reading, states))}:</strong> {escape(', '.join(causes))}</p>"
        for states, causes in reading.points
    )
