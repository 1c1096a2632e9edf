"""A sheet to write on: each reading of its checks has one box, and every form has the same."""

from __future__ import annotations

import re
from functools import cache
from html import unescape

import pytest

from diag.authoring.sequence.boxes import BenchSheet, bench_sheet
from diag.authoring.sequence.boxes_page import as_boxes_html
from diag.authoring.sequence.boxes_text import as_boxes, as_boxes_markdown
from diag.authoring.sequence.sheet import fault_sheet
from tests.dangers import shipped

UNIT = "small 12 V"
COMPLAINTS = tuple(shipped.book().complaints)


@cache
def sheet_of(complaint: str) -> BenchSheet:
    """Return the sheet of a complaint on a small unit."""
    return bench_sheet(shipped.book(), shipped.book().units[UNIT], complaint)


@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_the_checks_are_those_of_the_usual_sequence_in_its_order(complaint: str) -> None:
    """Dangers first, then the steps of the fault sequence, each with what it reads, once."""
    book, sheet = shipped.book(), sheet_of(complaint)
    usual = fault_sheet(book, book.units[UNIT], complaint)
    wanted = [step.check.id for step in (*usual.first, *usual.steps)]
    assert wanted == [one.check.id for one in sheet.steps if one.check]
    for one in sheet.steps:
        assert one.check
        names = [box.finding.id for box in one.boxes]
        assert names == [name for name in one.check.yields if name in names]
    names = [box.finding.id for box in sheet.boxes]
    assert len(names) == len(set(names))
    assert [*range(1, len(names) + 1)] == [box.number for box in sheet.boxes]


@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_what_proves_the_end_of_the_complaint_has_room(complaint: str) -> None:
    """Each finding that the complaint's proof names has a box to be read in after the repair."""
    text = " ".join(str(one.condition) for one in shipped.book().complaints[complaint].proof)
    wanted = {name for name in shipped.book().findings if re.search(rf"'{name}'", text)}
    assert wanted
    assert wanted <= {box.finding.id for box in sheet_of(complaint).boxes if box.after}


@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_every_form_has_the_same_boxes(complaint: str) -> None:
    """Text, Markdown and page hold each box by its number with its question, unit and limit."""
    book, sheet = shipped.book(), sheet_of(complaint)
    lines = [line.strip() for line in as_boxes(book, sheet)]
    marked = list(as_boxes_markdown(book, sheet))
    page = unescape("\n".join(as_boxes_html(book, sheet)))
    rows = re.findall(r'<tr><td class="number">(\d+)</td>(.*)</tr>', page)
    numbered = re.compile(r"(\d+)\. .*")
    assert [line for line in lines if numbered.match(line)] == [
        line for line in marked if numbered.match(line)
    ]
    told = [line for line in lines if numbered.match(line)]
    assert len(told) == len(rows) == len(sheet.boxes)
    for box, line, (number, row) in zip(sheet.boxes, told, rows, strict=True):
        assert line.startswith(f"{box.number}. {box.finding.ask}")
        assert str(box.number) == number
        assert box.finding.ask in row
        for state in box.finding.states:
            assert re.search(rf"\b{state}\b", line.removeprefix(box.finding.ask))
            assert state in row
        assert box.good in line
        assert box.good in row
        if box.finding.unit and box.finding.unit.symbol != "1":
            assert f"[{box.finding.unit.symbol}] ___" in line


def test_the_page_stands_by_itself() -> None:
    """It fetches nothing, is A4, has cautions before the first box, and room for label and sign."""
    page = "\n".join(as_boxes_html(shipped.book(), sheet_of("will not start")))
    assert "size: A4" in page
    assert not re.search(r"https?:|src=|<script|<link|@import|url\(", page)
    places = [page.index(one) for one in ("Customer", "Serial number", "Dangers first", ">1</td>",
              "Fault repaired", "Owner signs")]  # fmt: skip
    assert sorted(places) == places
    assert shipped.book().cautions["exhaust gas"].split(".")[0] in page
