"""Count what words are said of each complaint and reading, from the invented sentences beside this.

Run by hand after sentences, phrases or texts have changed: `python -m tests.hearing.count`. It
writes `rules/hearing-counts.yaml`. With `across` behind it, it writes nothing, but tells of each
fifth of the sentences how it is heard when only the others have been counted. Sentences are counted
with the phrases of the rules and with what questions and states look like there; all that follows
is naive Bayes (see `diag/session/hearing/counted/counts.py`).
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from textwrap import fill
from typing import Any

import yaml

from diag import load_rules
from diag.model.rulebook import Rulebook
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook.language.phrases import phrases_of
from diag.session.hearing.counted.counts import TALK, Counts
from diag.session.hearing.counted.tokens import tokens
from diag.session.hearing.hear import but_as_clause
from diag.session.hearing.listening import Listening
from diag.session.hearing.meanings import Meaning, Meanings
from diag.session.hearing.numbers import put_as_words, slots_filled
from diag.session.hearing.votes import BEGIN, kinds_of
from diag.session.hearing.words import words_of
from tests.hearing.weigh import turned

HERE = Path(__file__).parent
RULES = HERE.parent.parent / "rules"
WRITTEN = RULES / "hearing-counts.yaml"
SENTENCES = ("told", "also-said", "more-told")
"""Files of sentences that are counted; `said` and `fresh` never are."""
OF_SENTENCES, OF_PHRASES, OF_TEXTS = 10, 3, 5
"""What a sentence counts, a phrase, and a text of the rules."""
MOST_TURNS = 6
"""So many times a phrase is said, each time with other words of its groups."""
PARTS = 5

Said = tuple[Sequence[Meaning], str, int]
"""What is told, in what words, and what that counts."""


def meanings_of(entry: Mapping[str, Any], book: Rulebook) -> list[Meaning]:
    """Return what a sentence of a file tells of."""
    read = [
        Meaning(name, str(value) if book.findings[name].states else "")
        for name, value in entry["findings"].items()
    ]
    return [*(Meaning("", name) for name in entry["complaints"]), *read]


def sentences(names: Iterable[str], book: Rulebook) -> Iterator[Said]:
    for name in names:
        for entry in yaml.safe_load((HERE / f"{name}.yaml").read_text("utf-8")):
            told = meanings_of(entry, book) or [Meaning("", TALK)]
            yield told, entry["says"], OF_SENTENCES // len(told)


def phrases(book: Rulebook) -> Iterator[Said]:
    """Give the phrases of the rules as they may be said."""
    for told, text in book.told_as.items():
        for phrase in phrases_of(text):
            said = list(turned(phrase.removeprefix("#"), book))[:MOST_TURNS]
            yield from (([Meaning(*told)], one, OF_PHRASES) for one in said)


def texts(book: Rulebook) -> Iterator[Said]:
    """Give what the rules themselves say of complaints and readings."""
    for name, complaint in book.complaints.items():
        for text in (name, complaint.title, *complaint.words):
            yield [Meaning("", name)], text, OF_TEXTS
    for name, finding in book.findings.items():
        for word in (name, *finding.words):
            for state in finding.states:
                look = finding.choices.get(state) or state
                yield [Meaning(name, state)], f"{word} {look}", OF_TEXTS
            if not finding.states:
                yield [Meaning(name, "")], word, OF_TEXTS
        for state, look in finding.choices.items():
            yield [Meaning(name, state)], look, OF_TEXTS


class Counting:
    """Counts of words by what they were said of."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book
        self._meanings = Meanings.of(replace(book, word_counts={}))
        self.sentences: Counter[Meaning] = Counter()
        self.words: dict[Meaning, Counter[str]] = {}

    def heard(self, text: str) -> list[str]:
        """Return what is counted of a text, as a session hears it."""
        table, numbered = self._meanings.table, self._meanings.numbered
        plain, numbers = put_as_words(text, self._meanings.names, self._meanings.counted)
        words = but_as_clause(words_of(plain))
        listening = Listening(table, words, slots_filled(numbers, numbered))
        listening.best()
        return tokens(words, listening.stems, numbers)

    def add(self, said: Iterable[Said]) -> None:
        for told, text, counts in dict.fromkeys((tuple(a), b, c) for a, b, c in said):
            heard = self.heard(text)
            for one in told:
                self.sentences[one] += counts
                for word in heard:
                    self.words.setdefault(one, Counter())[word] += counts

    def texts(self) -> dict[tuple[str, str], str]:
        """Return counts as rules keep them."""
        return {
            (one.finding, one.state): _line({**words, BEGIN: self.sentences[one]})
            for one, words in sorted(self.words.items())
        }


def _line(counts: Mapping[str, int]) -> str:
    by: dict[int, list[str]] = {}
    for word, count in sorted(counts.items()):
        by.setdefault(count, []).append(word)
    return "; ".join(f"{count} {' '.join(by[count])}" for count in sorted(by, reverse=True))


def counted(book: Rulebook, said: Iterable[Said]) -> dict[tuple[str, str], str]:
    """Return the counts of sentences, and of the rules' own phrases and texts."""
    counting = Counting(book)
    for all_ in (said, phrases(book), texts(book)):
        counting.add(all_)
    return counting.texts()


def across(book: Rulebook) -> None:
    """Print how each part of the sentences is heard, the others alone counted."""
    all_ = [one for one in sentences(SENTENCES, book) if len(one[0]) == 1]
    counting = Counting(book)
    for part in range(PARTS):
        first, last = part * len(all_) // PARTS, (part + 1) * len(all_) // PARTS
        others = counted(book, [*all_[:first], *all_[last:]])
        kept = {Meaning(*told): text for told, text in others.items()}
        counts = Counts.read(kept, kinds_of(book.word_groups))
        where = []
        for told, text, _ in all_[first:last]:
            ranked = [meaning for meaning, _ in counts.chances(counting.heard(text))]
            where.append(ranked.index(told[0]) if told[0] in ranked else len(ranked))
        once, among = (sum(place < most for place in where) for most in (1, 3))
        print(f"of {last - first}: first {once}, among three {among}", flush=True)


def main() -> None:
    """Write the counts, or try them across parts."""
    book = load_rules(RULES, formulas=FORMULAS)
    if sys.argv[1:] == ["across"]:
        across(book)
        return
    text = [
        "# How often words are said of each complaint and reading, counted by",
        "# tests/hearing/count.py from invented sentences and the rules' own words: do not edit.",
        "# `not-drip` is a word that is denied, `#V` a number by its unit, `*` every sentence.",
        "source: common practice",
        "",
        "word counts:",
    ]
    for (finding, state), line in counted(book, sentences(SENTENCES, book)).items():
        name = f"{finding} is {state}" if finding and state else finding or state
        text += [f"  {name}: >-"] if ":" not in name else [f'  "{name}": >-']
        text.append(fill(line, 100, initial_indent="    ", subsequent_indent="    ",
                         break_long_words=False, break_on_hyphens=False))  # fmt: skip
    WRITTEN.write_text("\n".join(text) + "\n", "utf-8")


if __name__ == "__main__":
    main()
