"""A report on the terminal, as wide as that is."""

from __future__ import annotations

from diag.cli.report.drawings import rows_of
from diag.cli.terminal.screen import Screen
from diag.jobs.pictures.drawn import words_of
from diag.jobs.report.document import Block, Boxed, Grid, Listed, Report, Shown, SignHere, Words
from diag.model.printable import printable


def show_report(screen: Screen, report: Report) -> None:
    """Write a report: headings, paragraphs, and tables where there is room for columns."""
    screen.say(one_line(report.title), bold=True)
    screen.table((label, one_line(text)) for label, text in report.about)
    for part in report.parts:
        screen.heading(part.title.upper())
        for section in part.sections:
            screen.heading(section.title)
            for block in section.blocks:
                _show(screen, block)


def one_line(text: str) -> str:
    """Return a text on one line, its control characters written out."""
    return " ".join(printable(text, keep="").split())


def _show(screen: Screen, block: Block) -> None:
    if isinstance(block, Words):
        screen.say(one_line(block.text), bold=block.strong)
    elif isinstance(block, Listed):
        for text in block.texts:
            screen.outline(f"  - {one_line(text)}")
    elif isinstance(block, Grid):
        _grid(screen, block)
    elif isinstance(block, Boxed):
        screen.box(block.title, [one_line(text) for text in block.texts if text])
    elif isinstance(block, Shown):
        for caption, picture in block.pictures:
            screen.say(": ".join(filter(None, (block.title, caption))), bold=True)
            screen.lines(rows_of(picture, screen.width))
            screen.say(words_of(picture))
    elif isinstance(block, SignHere):
        for label in block.labels:
            screen.say(f"{label}: {'_' * 20}")


def _grid(screen: Screen, grid: Grid) -> None:
    """Write each row as its first cell, and below it the others by their heads."""
    for number, row in enumerate(grid.rows):
        first, *others = row
        mark = "!" if number in grid.strong else "-"
        told = [
            f"{head.lower()} {one_line(cell)}"
            for head, cell in zip(grid.head[1:], others, strict=True)
            if cell
        ]
        screen.outline(f"  - {one_line(first)}" if mark == "-" else f"  * {one_line(first)}")
        if told:
            screen.say("; ".join(told), indent=4)
