"""A line typed at the bench, heard as a deed: a verb, and names of the rules or of the trade.

Names are heard by the phrases of a session's matcher. What is not heard for sure is refused with
the nearest names, and whatever is heard is for the caller to read back.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Container, Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from functools import cached_property

from diag.model.amounts import excerpt
from diag.model.phrasing import in_a_row
from diag.model.rulebook import Rulebook
from diag.practice.drill.deeds import Deed, DeedKind
from diag.practice.drill.trade_words import (
    ASKING,
    EVERYTHING,
    EXAMPLES,
    LOOK_ROUND,
    PARTS_CALLED,
    READY,
    SHAKEN,
    SOUND_WORDS,
    START,
    VERBS,
)
from diag.practice.world import WorldFiles
from diag.session.hearing import PhraseTable
from diag.session.hearing.guesses import Vocabulary
from diag.session.hearing.words import plain_words, stem, words_of

BenchName = tuple[str, str]
"""What a name is of, and the name: `finding`, `check`, `cause`, `part`, `price`."""

MOST_NEAR = 4
CLOSE = 0.92
"""Share of the best score from which another name may be meant as well."""
ENOUGH = 0.5
"""Share of the telling words of a piece that a name must take up."""


class NotHeard(ValueError):
    """Say in a sentence that a line is no deed, and which names are near."""


class BenchEar:
    """Hears what is typed at the bench of one rulebook and one world."""

    def __init__(self, book: Rulebook, files: WorldFiles) -> None:
        self._book = book
        self._files = files

    def hear(self, line: str) -> Deed:
        """Return what a line does; raises `NotHeard`."""
        text = _plain(line)
        if not any(map(str.isalnum, text)):
            raise NotHeard("type what you do; `help` shows how")
        ready = next((key for key, words in READY.items() if text in words), "")
        if ready:
            return Deed("ready", (ready,), line)
        if text == "hint":
            return Deed("hint", (), line)
        if text in START:
            return Deed("read", (self.watched_start,), line)
        if text in LOOK_ROUND:
            return Deed("read", (self.look_round,), line)
        kind, rest = _verb(text)
        named = next(pieces_of(text, self._readable), "") in self._readable
        if kind is None or (named and kind != "shake"):
            return Deed("read", self._read(text, unsaid=True), line)
        if not rest:
            example = ASKING if text.startswith("ask") else EXAMPLES[kind]
            raise NotHeard(f"`{text}` alone says not what: name it, as in `{example}`")
        if kind == "swap":
            of, name = self._swapped(rest)
            return Deed("swap" if of == "part" else "repair", (name,), line)
        return Deed(kind, self._names(kind, rest), line)

    @property
    def watched_start(self) -> str:
        """Return the check by which one start is watched."""
        return next(
            check.id for check in self._book.checks.values() if {"lights up", "panel shows"} <=
            set(check.yields) and check.run
        )  # fmt: skip

    @property
    def look_round(self) -> str:
        """Return the check by which dangers are looked for."""
        return max(
            self._book.checks.values(),
            key=lambda check: len(self._book.asked_first & {*check.yields}),
        ).id

    def _names(self, kind: DeedKind, rest: str) -> tuple[str, ...]:
        if kind == "read":
            return self._read(rest)
        if kind == "call":
            if rest in SOUND_WORDS:
                return ()
            pieces = pieces_of(rest, self._book.causes.keys())
            return tuple(self._one(piece, ("cause",), "cause") for piece in pieces)
        if kind == "repair":
            return (self._one(rest, ("cause",), "cause"),)
        return () if rest in EVERYTHING else (self._shaken(rest),)

    def _shaken(self, rest: str) -> str:
        known = {**SHAKEN, **{part: part for part in self.parts}}
        bare = _bare(rest)
        if bare in known:
            return known[bare]
        raise NotHeard(_unknown(bare, "part to shake", get_close_matches(bare, known, MOST_NEAR)))

    def _swapped(self, rest: str) -> BenchName:
        """Return the part of that name, or the cause whose repair alone buys it."""
        return self._heard(rest, ("part", "price"), "part")

    def _read(self, text: str, unsaid: bool = False) -> tuple[str, ...]:
        names = []
        for piece in pieces_of(text, self._readable):
            if unsaid and not self._listen(piece, ("finding", "check")):
                raise NotHeard(self._strange(piece))
            names.append(self._one(piece, ("finding", "check"), "reading or check"))
        return tuple(dict.fromkeys(names))

    def _one(self, text: str, kinds: Collection[str], what: str) -> str:
        return self._heard(text, kinds, what)[1]

    def _heard(self, text: str, kinds: Collection[str], what: str) -> BenchName:
        """Return the one thing that words name; raises `NotHeard` with the nearest for others."""
        bare = _bare(text)
        exact = [kind for kind in kinds if (kind, bare) in self._own]
        if exact:
            return exact[0], bare
        found = self._listen(text, kinds)
        best = [meaning for meaning, score in found if score >= CLOSE * found[0][1]]
        if len(best) == 1 or (best and best[0][0] == "finding" and best[1][0] == "check"):
            return best[0]
        parts = [meaning for meaning in best if meaning[0] == "part"]
        if len(parts) == 1:
            return parts[0]
        if len(best) > 1:
            near = [name for _, name in best[:MOST_NEAR]]
            raise NotHeard(f"`{excerpt(bare)}` may be {_ticked(near)}: say which")
        raise NotHeard(_unknown(bare, what, self._near(bare, kinds)))

    def _listen(self, text: str, kinds: Collection[str]) -> list[tuple[BenchName, float]]:
        telling = sum(not word.idle for word in words_of(text))
        return [
            (one.meaning, one.score)
            for one in self._table.matches(text)
            if one.meaning[0] in kinds and one.score >= ENOUGH * telling
        ]

    def _near(self, text: str, kinds: Collection[str]) -> list[str]:
        """Return the names near a text: as many of each kind, acts before single readings."""
        found = []
        for kind in sorted(kinds):
            among = {meaning for meaning in self._own if meaning[0] == kind}
            near = self._words.nearest(_stems(text.split()), MOST_NEAR // len(kinds), among)
            found += [self._typed(each) for each in near]
        known = sorted(self._typed(each) for each in self._own if each[0] in kinds)
        return list(dict.fromkeys(found or get_close_matches(text, known, MOST_NEAR, 0.5)))

    def _typed(self, of: BenchName) -> str:
        """Return how a thing is named at the bench: what a repair buys, by that."""
        return self._entries[of][0] if of[0] == "price" else of[1]

    def _strange(self, text: str) -> str:
        verbs = [word for words in VERBS.values() for word in words] + list(START)
        first = text.split()[0]
        close = get_close_matches(first, verbs, 2, 0.7)
        near = self._near(text, ("finding", "check"))
        said = f"`{excerpt(text)}` is not heard here"
        if close:
            return f"{said}: begin with {_ticked(close)}, or `help` shows how"
        return f"{said}: {_near_it(near)}"

    @cached_property
    def _readable(self) -> frozenset[str]:
        return frozenset((*self._book.checks, *self._book.findings))

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """Return the parts that some repair renews."""
        return tuple(sorted(self._files.renewed(self._book.causes)))

    @cached_property
    def _entries(self) -> Mapping[BenchName, tuple[str, ...]]:
        """Return every name with the phrases by which it is heard."""
        book = self._book
        found: dict[BenchName, tuple[str, ...]] = {}
        for finding in book.findings.values():
            found["finding", finding.id] = (finding.id, *finding.words)
        for check in book.checks.values():
            found["check", check.id] = (check.id,)
        for cause in book.causes.values():
            found["cause", cause.id] = (cause.id, cause.title)
        for part in self.parts:
            found["part", part] = (part, *PARTS_CALLED.get(part, ()))
        for cause in book.causes.values():
            for part, price in cause.repair.parts.items():
                if price > 0 and part not in self.parts:
                    found["price", cause.id] = (part,)
        return {key: tuple(_phrase(each) for each in texts) for key, texts in found.items()}

    @property
    def _own(self) -> Collection[BenchName]:
        return self._entries.keys()

    @cached_property
    def _table(self) -> PhraseTable[BenchName]:
        return PhraseTable.of(self._entries.items())

    @cached_property
    def _words(self) -> Vocabulary[BenchName]:
        return Vocabulary.of(self._entries, {})


def _phrase(text: str) -> str:
    """Return a name as a phrase: no capitals, which would be groups, and no marks."""
    return " ".join(re.findall(r"[\w'-]+", text.lower())).strip("'-") or "nothing"


def _plain(line: str) -> str:
    return " ".join(line.strip().rstrip(".!?").lower().replace("’", "'").split())


def _bare(text: str) -> str:
    return text.removeprefix("the ").removeprefix("its ")


def _stems(words: Iterable[str]) -> list[str]:
    return [stem(each) for each in plain_words(" ".join(words))]


def _verb(text: str) -> tuple[DeedKind | None, str]:
    """Return the deed that a line begins with and the rest; the longest verb that fits."""
    every = [(word, kind) for kind, words in VERBS.items() for word in words]
    for word, kind in sorted(every, key=lambda one: -len(one[0])):
        if text == word or text.startswith(word + " "):
            return kind, text[len(word) :].strip()
    return None, text


def pieces_of(text: str, names: Container[str]) -> Iterator[str]:
    """Yield what a line names one by one, split at commas and `and`; a name may hold an `and`.

    >>> list(pieces_of("hose and lift and the filter", {"hose and lift"}))
    ['hose and lift', 'filter']
    """
    left = [each.strip() for each in re.split(r",|;| and (?:the )?", text) if each.strip()]
    while left:
        whole = (n for n in range(len(left), 0, -1) if " and ".join(left[:n]) in names)
        taken = next(whole, 1)
        yield " and ".join(left[:taken])
        left = left[taken:]


def _ticked(names: Iterable[str]) -> str:
    return in_a_row((f"`{each}`" for each in names), "or")


def _unknown(text: str, what: str, near: Sequence[str]) -> str:
    return f"there is no {what} `{excerpt(text)}`; {_near_it(near)}"


def _near_it(near: Sequence[str]) -> str:
    if not near:
        return "`help` shows how"
    return f"near it {'is' if len(near) == 1 else 'are'} {_ticked(near)}"
