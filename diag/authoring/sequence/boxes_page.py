"""A sheet to write on as pages to print: HTML by itself, A4, black on white."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from diag.authoring.sequence.boxes import LABELS, BenchSheet, Box, BoxedStep
from diag.authoring.sequence.boxes_text import (
    HOW_TO_FILL_IN,
    REPAIR,
    SIGNS,
    TIMES,
    heading_of_boxes,
    mark_of,
    ringed,
    step_of,
    written_in,
)
from diag.authoring.sequence.sheet_text import dangers_of
from diag.model.rulebook import Rulebook

STYLE = """\
@page { size: A4; margin: 11mm 10mm; }
body { font: 8.6pt/1.28 sans-serif; color: #000; background: #fff; margin: 0; }
h1 { font-size: 14pt; margin: 0 0 2mm; }
.dangers { border: 2px solid #000; padding: 1mm 2.5mm; margin: 2.5mm 0; }
.dangers p { margin: 0.6mm 0; }
table { border-collapse: collapse; width: 100%; margin: 0 0 2.5mm; }
td, th { border: 0.5pt solid #000; padding: 0.8mm 1.2mm; text-align: left; vertical-align: top; }
tr { break-inside: avoid; }
thead { display: table-header-group; }
.step td { background: #eee; }
.step { break-after: avoid; }
.number { text-align: right; font-weight: bold; width: 4%; }
.good { width: 19%; }
.room { width: 15%; height: 6mm; }
.unit { float: right; }
.ring { font-weight: bold; white-space: nowrap; }
.none { background: #ddd; }
.fill td { height: 7mm; width: 25%; }
.fill.wide td { width: auto; }
.fill.wide th { width: 18%; }
p { margin: 0 0 2mm; }
"""


def as_boxes_html(rulebook: Rulebook, sheet: BenchSheet) -> Iterator[str]:
    """Yield the lines of the page; whatever the rules say is text in it, never markup."""
    title = escape(heading_of_boxes(sheet))
    yield "<!DOCTYPE html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield f"<title>{title}</title>"
    yield f"<style>\n{STYLE}</style></head><body>"
    yield f"<h1>{title}</h1>"
    yield f"<p>{escape(HOW_TO_FILL_IN)} ({escape(mark_of(sheet))})</p>"
    yield from _to_fill(LABELS.values())
    yield from _to_fill(TIMES)
    yield '<div class="dangers"><p><strong>Dangers first</strong></p>'
    yield from (f"<p>{escape(text)}</p>" for text in dangers_of(rulebook, sheet.sheet))
    yield "</div>"
    yield from _table(sheet.steps, proves=False)
    yield '<table class="fill wide"><tbody>'
    yield from (f"<tr><th>{escape(name)}</th><td></td></tr>" for name in REPAIR)
    yield "</tbody></table>"
    if sheet.proof.boxes:
        yield from _table((sheet.proof,), proves=True)
    yield from _to_fill(f"{who} signs" for who in SIGNS)
    yield "</body></html>"


def _to_fill(names: Iterable[str]) -> Iterator[str]:
    """Yield a row of fields, each with its name in its corner."""
    cells = "".join(f"<td>{escape(name)}</td>" for name in names)
    yield f'<table class="fill"><tbody><tr>{cells}</tr></tbody></table>'


def _table(steps: Iterable[BoxedStep], *, proves: bool) -> Iterator[str]:
    yield "<table><thead><tr><th></th><th>Write it, or ring what is so</th><th>Good is</th>"
    yield "<th>Reading</th><th>After the repair</th></tr></thead><tbody>"
    for one in steps:
        name, act = step_of(one)
        told = f"<strong>{escape(name)}</strong> {escape(act)}"
        yield f'<tr class="step"><td colspan="5">{told}</td></tr>'
        yield from (_row(box, proves) for box in one.boxes)
    yield "</tbody></table>"


def _row(box: Box, proves: bool) -> str:
    number, ask = f'<td class="number">{box.number}</td>', escape(box.finding.ask)
    room, closed = '<td class="room"></td>', '<td class="room none"></td>'
    after = room if box.after or proves else closed
    if box.finding.choices:
        ring = ";&ensp;".join(_to_ring(mark, look) for mark, look in ringed(box.finding))
        return f'<tr>{number}<td colspan="3">{ask} {ring}</td>{after}</tr>'
    unit = f'<span class="unit">{escape(written_in(box.finding))}</span>'
    before = closed if proves else f'<td class="room">{unit}</td>'
    return f'<tr>{number}<td>{ask}</td><td class="good">{escape(box.good)}</td>{before}{after}</tr>'


def _to_ring(mark: str, look: str) -> str:
    """Return an answer to be ringed, its mark in one line."""
    told = f" {escape(look)}" if look else ""
    return f'<span class="ring">{escape(mark)}</span>{told}'
