"""A report as one HTML page by itself: no network, no script; black on white, for screen and A4.

Texts are words: what would be markup in them is escaped, and control characters are written out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html import escape

from diag.jobs.pictures.drawn import JobPicture, told_in_words
from diag.jobs.report.document import Block, Boxed, Grid, Listed, Paragraph, Report, Shown, SignHere
from diag.jobs.report.style import STYLE
from diag.model.phrasing import printable

PictureMarkup = Callable[[JobPicture, Sequence[JobPicture]], str]
"""A picture, and all that stand beside it, to an `svg` or a `pre` of characters, as markup."""
SHORT = 14
"""Letters of a cell that is never broken, where all of its column are as short."""


def as_page(report: Report, drawing: PictureMarkup, note: str = "") -> Iterator[str]:
    """Yield the lines of the page; pictures are what `drawing` makes of them.

    `note` stands at its foot.
    """
    title = words(report.title)
    yield "<!DOCTYPE html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{title}</title>"
    yield f"<style>\n{STYLE}</style></head><body>"
    yield f"<header><h1>{title}</h1>"
    yield "<dl>"
    for label, text in report.about:
        yield f"<div><dt>{words(label)}</dt><dd>{words(text)}</dd></div>"
    yield "</dl></header>"
    for part in report.parts:
        yield f'<section class="part"><h2>{words(part.title)}</h2>'
        for section in part.sections:
            yield f"<section><h3>{words(section.title)}</h3>"
            for block in section.blocks:
                yield from _block(block, drawing)
            yield "</section>"
        yield "</section>"
    if note:
        yield f"<footer><p>{words(note)}</p></footer>"
    yield "</body></html>"


def words(text: str) -> str:
    """Return a text as HTML in which nothing of it is markup.

    >>> words("<b>warm</b> & dry")
    '&lt;b&gt;warm&lt;/b&gt; &amp; dry'
    """
    return escape(" ".join(printable(text, keep="").split()))


def drawn_in_text(rows: tuple[str, ...]) -> str:
    """Return rows of characters as an element that keeps them as they are."""
    lines = "\n".join(escape(printable(row, keep="")) for row in rows)
    return f"<pre>{lines}</pre>" if rows else ""


def _block(block: Block, drawing: PictureMarkup) -> Iterator[str]:
    if isinstance(block, Paragraph):
        text = words(block.text)
        yield f"<p><strong>{text}</strong></p>" if block.strong else f"<p>{text}</p>"
    elif isinstance(block, Listed):
        yield "<ul>"
        yield from (f"<li>{words(text)}</li>" for text in block.texts)
        yield "</ul>"
    elif isinstance(block, Grid):
        yield from _grid(block)
    elif isinstance(block, Boxed):
        yield f'<div class="box"><p><strong>{words(block.title)}</strong></p>'
        yield from (f"<p>{words(text)}</p>" for text in block.texts if text)
        yield "</div>"
    elif isinstance(block, Shown):
        yield from _shown(block, drawing)
    elif isinstance(block, SignHere):
        yield '<div class="sign">'
        yield from (f"<p><span></span>{words(label)}</p>" for label in block.labels)
        yield "</div>"


def _grid(grid: Grid) -> Iterator[str]:
    """Yield a table; on a narrow screen each cell says by `data-head` of which column it is."""
    heads = [words(text) for text in grid.head]
    short = [
        ' class="short"' if all(len(row[at]) <= SHORT for row in grid.rows) else ""
        for at in range(len(heads))
    ]
    yield "<table><thead><tr>"
    yield "".join(f'<th scope="col">{text}</th>' for text in heads)
    yield "</tr></thead><tbody>"
    for number, row in enumerate(grid.rows):
        cells = "".join(
            f'<td{kind} data-head="{head}">{words(cell)}</td>'
            for kind, head, cell in zip(short, heads, row, strict=True)
        )
        yield f'<tr class="bad">{cells}</tr>' if number in grid.strong else f"<tr>{cells}</tr>"
    yield "</tbody></table>"


def _shown(shown: Shown, drawing: PictureMarkup) -> Iterator[str]:
    several = [picture for _, picture in shown.pictures]
    yield f'<div class="pictures"><h4>{words(shown.title)}</h4>'
    for caption, picture in shown.pictures:
        lead = f"<strong>{words(caption)}.</strong> " if caption else ""
        yield "<figure>"
        yield drawing(picture, several)
        yield f"<figcaption>{lead}{words(told_in_words(picture))}</figcaption>"
        yield "</figure>"
    yield "</div>"
