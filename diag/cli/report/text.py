"""A report on the terminal, as wide as that is."""

from __future__ import annotations

from diag.cli.report.drawings import rows_of
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.wrapping import LEAST_CELLS, cells
from diag.jobs.pictures.drawn import told_in_words
from diag.jobs.report.document import Block, Boxed, Grid, Listed, Paragraph, Report, Shown, SignHere
from diag.model.phrasing import printable

STOP = "."


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
    if isinstance(block, Paragraph):
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
            screen.say(told_in_words(picture))
    elif isinstance(block, SignHere):
        for label in block.labels:
            screen.say(f"{label}: {'_' * 20}")


def _grid(screen: Screen, grid: Grid) -> None:
    """Write a table in columns where there is room; else each row by the heads of its cells."""
    rows = [tuple(map(one_line, row)) for row in (grid.head, *grid.rows)]
    widths = [max(cells(row[at]) for row in rows) for at in range(len(grid.head))]
    if sum(widths[:-1]) + 2 * len(widths) + min(widths[-1], LEAST_CELLS) <= screen.width:
        screen.table(rows)
        return
    for number, (first, *others) in enumerate(rows[1:]):
        screen.outline(f"  {'*' if number in grid.strong else '-'} {first}")
        named = zip(grid.head[1:], others, strict=True)
        told = [f"{head.lower()}: {cell.rstrip(STOP)}" for head, cell in named if cell]
        if told:
            screen.say("; ".join(told), indent=4)
