"""Which causes somebody means by a name: its own words, others, misspelt, or the nearest."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from diag.model.phrasing import plain_name
from diag.model.rulebook import Rulebook
from diag.session.derivation import cause_named
from diag.session.hearing.spelling import Spelling
from diag.session.hearing.words import IDLE_WORDS, plain_words, stem

MOST_MEANT = 5
MOST_LETTERS = 200


def meant_causes(rulebook: Rulebook, text: str) -> tuple[str, ...]:
    """Return the causes that a text names, the one that it fits best alone where there is one.

    By id or title, then by the words of both, their endings and slips of spelling forgiven. Empty
    where no word of it names any.
    """
    if found := cause_named(rulebook, text):
        return (found,)
    known = {name: _words(f"{name} {one.title}") for name, one in rulebook.causes.items()}
    said = _heard(text, known)
    fits = {name: len(said & _stems(words)) for name, words in known.items()}
    most = max(fits.values(), default=0)
    if not most:
        return ()
    best = [name for name, fit in fits.items() if fit == most]
    own = {name: _share(_stems(_words(name)), said) for name in best}
    top = max(own.values())
    return tuple(sorted(name for name in best if own[name] == top)[:MOST_MEANT])


def nearest_causes(rulebook: Rulebook, text: str) -> tuple[str, ...]:
    """Return the causes whose name is written most like a text, at most three."""
    plain = {plain_name(name): name for name in rulebook.causes}
    near = get_close_matches(plain_name(text)[:MOST_LETTERS], plain, n=3, cutoff=0.4)
    return tuple(plain[one] for one in near)


def _words(text: str) -> frozenset[str]:
    return frozenset(word for word in plain_words(text) if word not in IDLE_WORDS)


def _stems(words: frozenset[str]) -> frozenset[str]:
    return frozenset(map(stem, words))


def _share(words: frozenset[str], said: frozenset[str]) -> float:
    """Return how much of some words was said."""
    return len(words & said) / max(1, len(words))


def _heard(text: str, known: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """Return the stems of what is said, slips of known words put right."""
    stems = {stem(word) for words in known.values() for word in words}
    spelling = Spelling.of(word for words in known.values() for word in words)
    said = [word for word in plain_words(text[:MOST_LETTERS]) if word not in IDLE_WORDS]
    return frozenset(
        stem(word) if stem(word) in stems else spelling.meant(word) or stem(word) for word in said
    )
