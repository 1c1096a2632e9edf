"""A report as plain data: parts of sections of blocks. How it looks is for the writers to say.

Texts may be people's own: a writer takes each as words, never as markup.
"""

from __future__ import annotations

from collections.abc import Sequence

from diag.jobs.pictures.drawn import JobPicture
from diag.model.frozen import frozen


@frozen
class Paragraph:
    """A paragraph; `strong` to stand out."""

    text: str
    strong: bool = False


@frozen
class Listed:
    """Texts one below the other."""

    texts: tuple[str, ...]


@frozen
class Grid:
    """A table with a head; rows in `strong`, counted from 0, stand out."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    strong: frozenset[int] = frozenset()


@frozen
class Boxed:
    """What must not be overlooked: a title and texts in a box."""

    title: str
    texts: tuple[str, ...]


@frozen
class Shown:
    """Pictures of one kind side by side, each with its caption."""

    title: str
    pictures: tuple[tuple[str, JobPicture], ...]


@frozen
class SignHere:
    """Room to sign: a line for each label."""

    labels: tuple[str, ...]


Block = Paragraph | Listed | Grid | Boxed | Shown | SignHere


@frozen
class ReportSection:
    """Blocks below a heading."""

    title: str
    blocks: tuple[Block, ...]


@frozen
class ReportPart:
    """What one reader gets; each part begins a page."""

    title: str
    sections: tuple[ReportSection, ...]


@frozen
class Report:
    """A whole report: its title, what it is about, and its parts."""

    title: str
    about: tuple[tuple[str, str], ...]
    parts: tuple[ReportPart, ...]


def section(title: str, *blocks: Block | None) -> ReportSection | None:
    """Return a section of the blocks that are there; None where none is."""
    there = tuple(one for one in blocks if one is not None)
    return ReportSection(title, there) if there else None


def part(title: str, *sections: ReportSection | None) -> ReportPart:
    """Return a part of the sections that are there."""
    return ReportPart(title, tuple(one for one in sections if one is not None))


def in_list(*texts: str) -> Listed | None:
    """Return the texts that are not empty, each once, one below the other; None where none is."""
    there = tuple(dict.fromkeys(text for text in texts if text))
    return Listed(there) if there else None


def grid(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Grid | None:
    """Return a table without the columns, but the first, that are empty; None without a row."""
    if not rows:
        return None
    kept = [at for at in range(len(head)) if not at or any(row[at] for row in rows)]
    return Grid(
        tuple(head[at] for at in kept), tuple(tuple(row[at] for at in kept) for row in rows)
    )
