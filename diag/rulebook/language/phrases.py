"""A phrase that people say, as rule files write it, and the word groups that it names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from diag.model.frozen import frozen
from diag.model.rulebook import WordGroup

GROUP = re.compile(r"[A-Z]{2,}(?:-[A-Z]+)*")
"""The name of a word group: capitals, with hyphens between words."""
_NAMED = re.compile(rf"(?<![^\s/]){GROUP.pattern}(?![^\s/])")
"""A group's name that stands by itself, or between strokes."""
_STROKE = re.compile(r"\s*/\s*")
FAR = "..."
BUT_NOT = " but not "


@frozen
class Saying:
    """A phrase taken apart: the words for each of its slots, and those that bar it."""

    slots: tuple[tuple[str, ...], ...]
    bars: tuple[str, ...]
    far: bool
    """Whether its words may stand anywhere in one sentence."""

    @classmethod
    def read(cls, text: str, groups: Mapping[str, WordGroup]) -> Saying:
        """Take a phrase apart and put the words of each group in its place.

        >>> Saying.read("BELL rings/goes-off but not church", {"BELL": WordGroup(("bell", "horn"))})
        Saying(slots=(('bell', 'horn'), ('rings', 'goes-off')), bars=('church',), far=False)
        """
        wanted, barred = _halves(text)
        pieces = [slot.split("/") for slot in wanted if slot != FAR]
        named = [groups[word] for slot in pieces for word in slot if word in groups]
        own = [word for slot in barred for word in slot.split("/")]
        bars = [*own, *(word for group in named for word in group.but_not)]
        return cls(
            tuple(tuple(_written_out(slot, groups)) for slot in pieces),
            tuple(dict.fromkeys(_written_out(bars, groups))),
            FAR in wanted,
        )


def phrases_of(text: str) -> list[str]:
    """Return the phrases of a text that parts them by `;`.

    >>> phrases_of("rings/sounds ; no answer;")
    ['rings/sounds', 'no answer']
    """
    return [" ".join(phrase.split()) for phrase in text.split(";") if phrase.strip()]


def groups_named(text: str) -> tuple[str, ...]:
    """Return the names of word groups in a phrase, in order."""
    return tuple(_NAMED.findall(text))


def wants_something(text: str) -> bool:
    """Return whether a phrase has words that must be said."""
    return any(slot != FAR for slot in f" {text} ".partition(BUT_NOT)[0].split())


def _halves(text: str) -> tuple[list[str], list[str]]:
    """Return the slots of a phrase, and of what must not stand near it."""
    wanted, _, barred = f" {text} ".partition(BUT_NOT)
    return _slots(wanted), _slots(barred)


def _slots(text: str) -> list[str]:
    return _STROKE.sub("/", text).split()


def _written_out(words: Iterable[str], groups: Mapping[str, WordGroup]) -> list[str]:
    """Return words with those of a group in place of its name; two in a row get their hyphen."""
    return [
        one.lower().replace(" ", "-")
        for word in words
        for one in (groups[word].words if word in groups else (word,))
    ]
