"""Which entries of a list a line names: by number, range or name, all of them or none."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from diag.session.slips import NotUnderstood

NONE_WORDS = ("none", "no", "n", "0", "nothing", "none of them", "none of these", "none of those")
ALL_WORDS = ("all", "all of them", "all of these", "all of those")
_RANGE = re.compile(r"(\d+)\s*(?:-|–|\.\.|\bto\b|\bthrough\b)\s*(\d+)")
_NUMBERS = re.compile(r"(?:\d+(?:-\d+)?[ .]*)+")
_PARTS = re.compile(r"[,;&+]|\band\b")


def is_list(text: str, names: Iterable[Iterable[str]]) -> bool:
    """Tell whether a line is a list of numbers and names and nothing else."""
    said = _plain(text)
    known = {name.lower() for each in names for name in each}
    return said in (*NONE_WORDS, *ALL_WORDS, *known) or all(
        part in known or _NUMBERS.fullmatch(part) for part in _parts(said) or [""]
    )


def places_of(text: str, names: Sequence[Iterable[str]]) -> tuple[int, ...]:
    """Return the places, from 0, of the entries that a line names; each once, in order.

    `names` holds what each entry is called. Raises `NotUnderstood` for what is not on the list.

    >>> places_of("1-3 and 5", [["a"], ["b"], ["c"], ["d"], ["e"]])
    (0, 1, 2, 4)
    >>> places_of("flat tyre; 1", [["horn"], ["flat tyre"]])
    (0, 1)
    >>> places_of("None of them.", [["horn"]])
    ()
    """
    said, most = _plain(text), len(names)
    if said in NONE_WORDS:
        return ()
    if said in ALL_WORDS:
        return tuple(range(most))
    places = {name.lower(): at for at, each in reversed([*enumerate(names)]) for name in each}
    found = {places[said]} if said in places else set[int]()
    for part in () if found else _parts(said) or [said]:
        found |= {places[part]} if part in places else _numbered(part, most)
    return tuple(sorted(found))


def _plain(text: str) -> str:
    return " ".join(text.lower().split()).rstrip(".!")


def _parts(said: str) -> list[str]:
    closed = _RANGE.sub(r"\1-\2", said)
    return [part.strip() for part in _PARTS.split(closed) if part.strip()]


def _numbered(part: str, most: int) -> set[int]:
    found = set[int]()
    if part.isascii() and _NUMBERS.fullmatch(part):
        for each in part.replace(".", " ").split():
            first, _, last = each.partition("-")
            low, high = sorted((int(first[:9]), int((last or first)[:9])))
            if not 1 <= low <= high <= most:
                raise _refused(each, most)
            found |= set(range(low - 1, high))
        return found
    raise _refused(part, most)


def _refused(part: str, most: int) -> NotUnderstood:
    return NotUnderstood(
        f"`{part[:40]}` is not on the list; type `none`, or those that are true: numbers from 1 "
        f"to {most} (`1 3`, `1-3`) or names"
    )
