"""Slips of spelling forgiven: a word that is nobody's becomes the known word that it is near to."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from diag.session.hearing.words import stem, word_set

SHORTEST, LONG, LONGEST = 5, 9, 24
"""Letters of a word from which one slip is forgiven, from which two are, and up to which."""

_COMMON = word_set(
    """accumulate act activity alter alternate analyse analyze aware become belong bind blind boost
    bother brace breach bread build builder built bunch cause certain clear close collect
    compensation conduct confusion constant contain contract copper core cost crash create deal
    dealer decoration define deny derive destination detection draft drive driven drove event
    exclude exclusive expansion expect expensive expose fake fast faster field find finder fine fix
    flag flush flushing font form found front fund gain gallery garbage generate generation good
    great greater guess hand handle handy happen hard harder header hear heard heart heather hope
    host hotel identity incident intercept interruption isolation lack large larger lease loan loose
    loss lost mail main maker market mask matter method miles mins mode multiple news older
    operation overhead packet page pair park path patrol perform phone pitch place plan plane plant
    point polite pond port preset print printing raise read reader reason regular relate relax rely
    render rent replay reply report reset resort restriction reuse road rule sake save scope scare
    scared score search seek sell send series server set shape share shed shell ship shop shorten
    shorter show sign single skill slack slide slight slot slower sort sound spare speak spec spell
    spend sponsor spread spring stack staff stage start state stations stay stem stock store storing
    story strange stray string style sweep tall thank thanks there thought threat thumb tidy tie
    tied tight tighten title token tool track trade train trick tune turner unexpected unload upset
    variation version vote walk walter want warm wear week wish wonder word work worse worst write
    yard year"""
)
"""Everyday words that would pass for slips of others."""


@dataclass(frozen=True, slots=True)
class Spelling:
    """The words that are listened for, with their endings, and words that are right as they are.

    Two words within two slips of each other become the same by leaving out at most two letters
    of each, so that a word is looked up by itself with letters left out, whatever the number of
    words known.
    """

    listed: frozenset[str]
    right: frozenset[str]
    """Words that are no slips."""
    right_stems: frozenset[str]
    """Stems of which no form is a slip."""
    near: dict[str, list[str]]
    """Words with letters left out, to the known words that they come from."""

    @classmethod
    def of(cls, listened_for: Iterable[str], right: Collection[str] = ()) -> Spelling:
        """Take in the words that are listened for, and others that are no slip of those."""
        listed, near = frozenset(listened_for), dict[str, list[str]]()
        right = _COMMON.union(right)
        forms = {form for word in listed for form in _forms(word)}
        for form in sorted(forms):
            if SHORTEST + (form not in listed) <= len(form) <= LONGEST:
                for short in _shortened(form, _forgiven(form) if form in listed else 1):
                    if short in near:
                        near[short].append(form)
                    else:
                        near[short] = [form]
        return cls(listed, right | forms, frozenset(map(stem, right)), near)

    def meant(self, word: str) -> str:
        """Return the stem of the known word nearest to one that is misspelt; empty for none."""
        if word in self.right or stem(word) in self.right_stems:
            return ""
        if not SHORTEST - 1 <= len(word) <= LONGEST or not word.isalpha():
            return ""
        found = {
            form
            for short in _shortened(word, 2 if len(word) >= LONG - 1 else 1)
            for form in self.near.get(short, ())
            if _same_start(word, form)
        }
        ranked = [(slips(word, form), form not in self.listed, form) for form in found]
        good = [one for one in ranked if one[0] <= _forgiven(one[2])]
        return stem(min(good)[2]) if good else ""


def _forgiven(word: str) -> int:
    return 2 if len(word) >= LONG else 1


def _same_start(word: str, form: str) -> bool:
    """Return whether two words begin alike: hardly anybody slips at the first letter."""
    return word[0] == form[0] or word[:2] == form[1::-1]


def _forms(word: str) -> set[str]:
    """Return a word with its usual endings."""
    root = stem(word)
    return {word, word + "s", root + "ing", root + "ed"}


def _shortened(word: str, most: int) -> set[str]:
    """Return a word with up to so many of its letters left out."""
    found = layer = {word}
    for _ in range(most):
        layer = {one[:at] + one[at + 1 :] for one in layer for at in range(len(one))}
        found = found | layer
    return found


def slips(word: str, other: str) -> int:
    """Return how many slips part two words: a letter more, less, other, or two swapped.

    The distance of Damerau, in which no letters are touched twice.

    >>> slips("recieve", "receive"), slips("colect", "collect"), slips("cat", "dog")
    (1, 1, 3)
    """
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(word, 1):
        older, before, row = before, row, [i]
        for j, wanted in enumerate(other, 1):
            least = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != wanted))
            if i > 1 and j > 1 and letter == other[j - 2] and word[i - 2] == wanted:
                least = min(least, older[j - 2] + 1)
            row.append(least)
    return row[-1]
