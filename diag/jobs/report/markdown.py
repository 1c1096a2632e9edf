"""A report as Markdown: CommonMark with the tables that most readers know.

Texts are words: whatever would be markup in them is escaped, and control characters, those that
turn the direction of writing among them, are written out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from diag.jobs.pictures.drawn import JobPicture, told_in_words
from diag.jobs.report.document import Block, Boxed, Grid, Listed, Paragraph, Report, Shown, SignHere
from diag.model.phrasing import printable

DrawnRows = Callable[[JobPicture, int], tuple[str, ...]]
"""A picture and a width to rows of characters."""
WIDTH = 72
_ANYWHERE = frozenset("\\`*_[]<>|~#&@$^")
_AT_START = frozenset("-+=:")
LINE = "\\_" * 30


def report_markdown(report: Report, rows_of: DrawnRows) -> Iterator[str]:
    """Yield the lines of a report; pictures are drawn by `rows_of`."""
    yield from (f"# {words(report.title)}", "")
    yield from (f"- **{words(label)}:** {words(text)}" for label, text in report.about)
    for part in report.parts:
        yield from ("", f"## {words(part.title)}")
        for section in part.sections:
            yield from ("", f"### {words(section.title)}")
            for block in section.blocks:
                yield ""
                yield from _block(block, rows_of)


def words(text: str) -> str:
    r"""Return a text in which nothing is Markdown, on one line.

    >>> words("1. *new* plug | <b>"), words("www.example.org")
    ('1\\. \\*new\\* plug \\| \\<b\\>', 'www\\.example.org')
    """
    flat = " ".join(printable(text, keep="").split())
    said = "".join(f"\\{each}" if each in _ANYWHERE else each for each in flat)
    said = said.replace("://", "\\://").replace("www.", "www\\.").replace("WWW.", "WWW\\.")
    if said[:1] in _AT_START and said:
        return f"\\{said}"
    number = said.lstrip("0123456789")
    if number != said and number[:1] in (".", ")") and number[1:2] in ("", " "):
        return f"{said[: len(said) - len(number)]}\\{number}"
    return said


def _block(block: Block, rows_of: DrawnRows) -> Iterator[str]:
    if isinstance(block, Paragraph):
        yield f"**{words(block.text)}**" if block.strong else words(block.text)
    elif isinstance(block, Listed):
        yield from (f"- {words(text)}" for text in block.texts)
    elif isinstance(block, Grid):
        yield from _grid(block)
    elif isinstance(block, Boxed):
        yield from (f"> **{words(block.title)}**", ">")
        yield from (f"> - {words(text)}" for text in block.texts if text)
    elif isinstance(block, Shown):
        yield from _shown(block, rows_of)
    elif isinstance(block, SignHere):
        for label in block.labels:
            yield from (f"{words(label)}: {LINE}", "")


def _grid(grid: Grid) -> Iterator[str]:
    yield f"| {' | '.join(map(words, grid.head))} |"
    yield f"|{' --- |' * len(grid.head)}"
    for number, row in enumerate(grid.rows):
        cells = [f"**{words(cell)}**" if cell and number in grid.strong else words(cell)
                 for cell in row]  # fmt: skip
        yield f"| {' | '.join(cells)} |"


def _shown(shown: Shown, rows_of: DrawnRows) -> Iterator[str]:
    for caption, picture in shown.pictures:
        yield f"**{words(': '.join(filter(None, (shown.title, caption))))}**"
        yield from ("", words(told_in_words(picture)))
        rows = rows_of(picture, WIDTH)
        if rows:
            yield from ("", "```text", *(printable(row, keep="") for row in rows), "```")
        yield ""
