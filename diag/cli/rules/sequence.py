"""`diag sequence`: the usual fault sequence of a complaint on the screen, or as a page to print."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator

from diag.authoring.sequence.sheet import FaultSheet, fault_sheet
from diag.authoring.sequence.sheet_page import as_html
from diag.authoring.sequence.sheet_text import (
    as_lines,
    as_markdown_page,
    as_plain_data,
    dangers_of,
    heading_of,
)
from diag.cli.book import find_complaint, find_unit, load_book, unit_or_first
from diag.cli.guard import WrongUse
from diag.cli.places import path_of
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import PIPE, Screen
from diag.cli.terminal.wrapping import boxed, outlined
from diag.model.phrasing import printable
from diag.model.rulebook import Rulebook, UnitData

PAGE_LINES = 60
"""How many lines of 80 columns one page has."""
FIRST = "Dangers first"


def run_sequence(
    complaint: str, unit: str | None, page: str | None, form: str, plain: bool = False
) -> int:
    """Print the sheet of a complaint as text, markdown or json, or write it as a page to print."""
    book, name, unit_data = asked_for(complaint, unit, page)
    with progress("Working it out", plain) as step:

        def fits(sheet: FaultSheet) -> bool:
            return _lines_of(book, sheet, brief=True) <= PAGE_LINES

        sheet = fault_sheet(book, unit_data, name, fits=fits, progress=step)
    if page is not None:
        write_page(page, as_html(book, sheet))
    elif form == "json":
        data = {"rulebook": book.hash, **as_plain_data(book, sheet)}
        print(json.dumps(data, indent=2, ensure_ascii=False))
    elif form == "markdown":
        screen = Screen(plain=plain)
        for line in as_markdown_page(book, sheet):
            screen.document(line)
    else:
        _show(book, sheet, Screen(plain=plain))
    return 0


def asked_for(complaint: str, unit: str | None, page: str | None) -> tuple[Rulebook, str, UnitData]:
    """Return the rules, the complaint and the unit of a sheet; `WrongUse` for what is not known."""
    if page is not None and not page.lower().endswith((".html", ".htm")):
        raise WrongUse(f"`{page[:60]}` is no page to print; give a name that ends with .html")
    book = load_book()
    name = find_complaint(book, complaint)
    return book, name, find_unit(book, unit) if unit is not None else _first_class(book)


def write_page(page: str, lines: Iterable[str]) -> None:
    """Write a page to print to a file, and say its name."""
    path_of(page).write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(printable(page))


def _show(book: Rulebook, sheet: FaultSheet, screen: Screen) -> None:
    """Show the sheet: in full where that is one page, else in brief."""
    brief = _lines_of(book, sheet, brief=False) > PAGE_LINES
    screen.say(heading_of(sheet), bold=True)
    screen.box(FIRST, dangers_of(book, sheet, brief=brief))
    for line in as_lines(sheet, brief=brief):
        screen.outline(line)


def _lines_of(book: Rulebook, sheet: FaultSheet, *, brief: bool) -> int:
    """Count the lines of the sheet on a terminal of 80 columns."""
    width = PIPE - 1

    def lines() -> Iterator[str]:
        yield from outlined(heading_of(sheet), width)
        yield from boxed(FIRST, dangers_of(book, sheet, brief=brief), width)
        for line in as_lines(sheet, brief=brief):
            yield from outlined(line, width)

    return sum(1 for _ in lines())


def _first_class(book: Rulebook) -> UnitData:
    """Return the first unit that is a class, with no data of its own; else the first."""
    classes = (one for one in book.units.values() if one.data.keys() <= one.assumed)
    return next(classes, None) or unit_or_first(book, None)
