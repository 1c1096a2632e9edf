"""`diag sequence --blank`: a sheet to write on, on the screen or as pages to print."""

from __future__ import annotations

from diag.authoring.sequence.boxes import bench_sheet
from diag.authoring.sequence.boxes_page import as_boxes_html
from diag.authoring.sequence.boxes_text import (
    as_boxes,
    as_boxes_markdown,
    heading_of_boxes,
    labels_above,
)
from diag.authoring.sequence.sheet_text import dangers_of
from diag.cli.guard import WrongUse
from diag.cli.rules.sequence import FIRST, asked_for, write_page
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen


def run_blank(
    complaint: str, unit: str | None, page: str | None, form: str, plain: bool = False
) -> int:
    """Print the bench sheet of a complaint as text or markdown, or write it as pages to print."""
    if form == "json":
        raise WrongUse("a sheet to write on has no form for programs; leave --json or --blank out")
    book, name, unit_data = asked_for(complaint, unit, page)
    with progress("Working it out", plain) as step:
        sheet = bench_sheet(book, unit_data, name, step)
    if page is not None:
        write_page(page, as_boxes_html(book, sheet))
        return 0
    screen = Screen(plain=plain)
    if form == "markdown":
        for line in as_boxes_markdown(book, sheet):
            screen.document(line)
        return 0
    screen.say(heading_of_boxes(sheet), bold=True)
    for line in labels_above():
        screen.outline(line)
    screen.box(FIRST, dangers_of(book, sheet.sheet))
    for line in as_boxes(book, sheet):
        screen.outline(line)
    return 0
