"""Text laid out in the cells of a terminal, where a letter takes one, two or none.

The widths of letters come from the `rich` package; plain ASCII, where each takes one, does not
wait for it to be imported.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

LEAST_CELLS = 20
"""Cells that any text gets, however narrow the terminal."""
LEAST_RULE = 3
_WORD = re.compile(r"(\s*)(\S+)")


def cells(text: str) -> int:
    """Return how many cells a terminal takes for a line of text.

    >>> cells("warm"), cells("暖"), cells("e\u0301")
    (4, 2, 1)
    """
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def filled(text: str, width: int) -> str:
    """Return the text with blanks behind it up to so many cells."""
    return text + " " * (width - cells(text))


def cut(line: str, width: int) -> str:
    """Return a line of at most so many cells, two dots where its end is left out.

    >>> cut("volts at rest", 8), cut("amps", 8)
    ('volts ..', 'amps')
    """
    if cells(line) <= width:
        return line
    while cells(line) > width - 2:
        line = line[:-1]
    return line + ".."


def wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Return a paragraph as lines of at most `width` cells, at least one.

    `first` begins the first line and `rest` every other. Lines end between words, a number
    keeps its unit beside it, and only a word longer than a line is broken. Blanks inside a line
    stay as they are.

    >>> wrap("the drop is within 0.36 V", 24, rest="  ")
    ['the drop is within', '  0.36 V']
    >>> wrap("--under-load", 10)
    ['--under-lo', 'ad']
    """
    lines, line, empty = list[str](), first, True
    for blank, word in _glued(text, width - max(cells(first), cells(rest))):
        if empty:
            blank = "" if lines or len(blank) > width // 2 else blank
        elif cells(line + blank + word) > width:
            lines.append(line)
            line, blank = rest, ""
        *full, word = _broken(word, width - cells(line + blank), width - cells(rest))
        for part in full:
            lines.append(line + blank + part)
            line, blank = rest, ""
        line, empty = line + blank + word, False
    return [*lines, line.rstrip()]


def _glued(text: str, room: int) -> Iterator[tuple[str, str]]:
    """Yield each word with the blanks before it, a number and its unit as one where they fit."""
    words = _WORD.findall(text.replace("\n", " ").rstrip())
    number = 0
    while number < len(words):
        blank, word = words[number]
        number += 1
        if number < len(words) and word[-1].isdigit() and words[number][0] == " ":
            both = f"{word} {words[number][1]}"
            start = words[number][1][0]
            if (start.isalpha() or start in "%°") and cells(both) <= room:
                word, number = both, number + 1
        yield blank, word


def _broken(word: str, here: int, below: int) -> list[str]:
    """Return a word whole if it fits in `here` cells, else in parts that fit in `below` too."""
    if cells(word) <= here:
        return [word]
    room = max(2, min(here, below))
    if word.isascii():
        return [word[start : start + room] for start in range(0, len(word), room)]
    from rich.cells import chop_cells

    return [part for part in chop_cells(word, room) if part] or [word]


def labelled(label: str, text: str, width: int, indent: int, column: int) -> list[str]:
    """Return text beside its label, the label filled up to `column` cells.

    The column takes a third of the width at most. Where a label does not fit that, or the text
    would get too little of the rest, the text stands below its label instead.
    """
    pad, most, label = " " * indent, width // 3, label.replace("\n", " ")
    head = f"{pad}{filled(label, min(column, most))} "
    too_long = most < column and cells(label) > most
    if not too_long and width - cells(head) >= min(LEAST_CELLS, cells(text)):
        return wrap(text, width, head, " " * cells(head))
    return [*wrap(label, width, pad, pad), *wrap(text, width, pad + "  ", pad + "  ")]


def ruled(line: str, width: int) -> str:
    """Return a line with a rule drawn behind it up to so many cells, if there is room for one."""
    room = width - cells(line) - 1
    return f"{line} {'-' * room}" if room >= LEAST_RULE else line


def boxed(title: str, paragraphs: Iterable[str], width: int) -> list[str]:
    """Return paragraphs, wrapped, in a drawn box so many cells wide with a title in its edge.

    >>> boxed("Note", ["open the box"], 14)
    ['+- Note -----+', '| open the   |', '| box        |', '+------------+']
    """
    edge = f"+- {title} "
    lines = [edge + "-" * (width - cells(edge) - 1) + "+"]
    for paragraph in paragraphs:
        lines += [f"| {filled(line, width - 4)} |" for line in wrap(paragraph, width - 4)]
    return [*lines, "+" + "-" * (width - 2) + "+"]


def outlined(line: str, width: int) -> list[str]:
    """Wrap a line that brings its own indent and list mark; what goes on stands below its text.

    >>> outlined("  - open the box first", 14)
    ['  - open the', '    box first']
    """
    mark = re.match(r" *(?:[-*] |\d+\. )?", line)
    head = mark.group() if mark else ""
    head = head if len(head) <= width - LEAST_CELLS or len(head) <= width // 2 else ""
    return wrap(line[len(head) :], width, head, " " * len(head))


def columns(rows: Sequence[tuple[str, ...]], width: int) -> list[str]:
    """Return rows in columns as wide as their widest cell, the last one wrapped.

    Where the last column would get too little of the width, each row is a paragraph instead.
    """
    if not rows:
        return []
    rows = [tuple(cell.replace("\n", " ") for cell in row) for row in rows]
    widths = [max(cells(row[at]) for row in rows) for at in range(len(rows[0]) - 1)]
    head = 2 + sum(each + 2 for each in widths)
    last = max(cells(row[-1]) for row in rows)
    if width - head < min(last, LEAST_CELLS):
        return [line for row in rows for line in _stacked(row, width)]
    found: list[str] = []
    for row in rows:
        filled_up = [filled(cell, each) + "  " for cell, each in zip(row, widths, strict=False)]
        found += wrap(row[-1], width, "  " + "".join(filled_up), " " * head)
    return found


def _stacked(row: tuple[str, ...], width: int) -> list[str]:
    return wrap("  ".join(cell for cell in row if cell), width, "  ", "      ")
