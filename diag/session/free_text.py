"""Findings and complaints in free text: plain word matching, to be read back before it counts."""

from __future__ import annotations

import re
from functools import cache

from diag.model.amounts import AMOUNT_IN_TEXT, CODE_IN_TEXT, code, unit_spelt
from diag.model.frozen import frozen
from diag.model.quantity import SPELLINGS
from diag.model.rulebook import Finding, Rulebook, Value
from diag.rulebook import parse_answer
from diag.rulebook.kinds import KINDS

SPLIT = re.compile(r"[;,](?!\d)|\band\b|\bbut\b|\.\s")
WORD = re.compile(r"[a-z][a-z0-9'-]*|\d+(?:[.,]\d+)?")
IDLE = frozenset(
    {"a", "an", "the", "is", "are", "it", "of", "at", "in", "on", "to", "with", "from", "and"}
    | {"or", "not", "no", "does", "has", "be"}
)
LINKING = frozenset(
    ("after", "before", "then", "while", "when", "out", "off", "up", "only", "again")
)
"""Words that belong to a name, yet tell nothing by themselves."""
DENIAL = frozenset(("no", "not", "never", "none", "without"))


@frozen
class Heard:
    """A finding that some words name; `value` is None where they do not say which answer."""

    words: str
    finding: Finding
    value: Value | None


def listen(text: str, rulebook: Rulebook) -> tuple[Heard, ...]:
    """Return what the text names, one finding a piece, the best match of each piece.

    Pieces are parted by commas, semicolons, full stops, `and`, `but`. A finding is named where
    all words of its id or of one of its other names stand in the piece; of several the one with
    the most such words is taken, ties in order of id.
    """
    heard: dict[str, Heard] = {}
    for piece in SPLIT.split(text):
        found = _best(piece.strip(), rulebook)
        if found is not None:
            heard.setdefault(found.finding.id, found)
    return tuple(heard.values())


def complaint_in(text: str, rulebook: Rulebook) -> str:
    """Return the complaint whose name or words stand in the text; empty when none does.

    Of several the one with the most such words is taken, and of equals the one named first.
    """
    words = _words(text)
    spoken = [_stem(word) for word in _spoken(text)]
    ranked = [
        (-len(found), min(map(spoken.index, found & set(spoken)), default=len(spoken)), name)
        for name, complaint in rulebook.complaints.items()
        for phrase in (name, complaint.title, *complaint.words)
        if (found := _named(phrase, words))
    ]
    return min(ranked)[2] if ranked else ""


def _best(piece: str, rulebook: Rulebook) -> Heard | None:
    words = _words(piece)
    ranked: list[tuple[int, str, Heard]] = []
    for finding in rulebook.findings.values():
        score, value = _match(finding, piece, words)
        if score:
            ranked.append((-score, finding.id, Heard(piece, finding, value)))
    return min(ranked, key=lambda item: item[:2])[2] if ranked else None


def _match(finding: Finding, piece: str, words: frozenset[str]) -> tuple[int, Value | None]:
    """Return how many words name the finding (0 for none), and the answer that they give.

    Where the piece denies something, a yes/no is as it should be, and a choice is left open.
    """
    named = max(len(_named(phrase, words)) for phrase in (finding.id, *finding.words))
    denied = not DENIAL.isdisjoint(words)
    kind = KINDS[finding.kind]
    if kind.is_number:
        value = _amount(finding, piece) if named else None
        return (named + 1 if value is not None else 0), value
    if finding.kind == "code":
        shown = CODE_IN_TEXT.search(piece) if named else None
        return (named + 1, code(shown[0])) if shown else (0, None)
    if kind.is_denied_by_no:
        return named, finding.states[0 if denied else 1] if named else None
    states = [(len(found), state) for state in finding.choices if (found := _named(state, words))]
    about = (_content(finding.id, *finding.words) - LINKING) & words
    if states and (named or about):
        score, state = max(states, key=lambda item: item[0])
        return max(named, score + len(about)), None if denied else state
    return named, None


def _amount(finding: Finding, piece: str) -> Value | None:
    """Return the first number of the piece that the finding can take, by its unit."""
    for number, unit in AMOUNT_IN_TEXT.findall(piece):
        spelling = unit if unit_spelt(unit) else ""
        if KINDS[finding.kind].needs_unit_in_text and not spelling:
            continue
        try:
            return parse_answer(f"{number} {spelling}".strip(), finding)
        except ValueError:
            continue
    return None


def _words(text: str) -> frozenset[str]:
    """Return the words of a text, the names of its units spelt out in full, plurals without s."""
    found: set[str] = set()
    for word in _spoken(text):
        unit = SPELLINGS.get(word.upper()) or SPELLINGS.get(word)
        found.update(map(_stem, unit.names if unit else ()))
        found.add(_stem(word))
    return frozenset(found)


def _spoken(text: str) -> list[str]:
    full = text.lower().replace("won't", "will not").replace("n't", " not")
    return WORD.findall(full)


def _stem(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


@cache
def _content(*phrases: str) -> frozenset[str]:
    return frozenset().union(*map(_phrase, phrases)) - IDLE


@cache
def _phrase(phrase: str) -> frozenset[str]:
    return frozenset(map(_stem, _spoken(phrase)))


def _named(phrase: str, words: frozenset[str]) -> frozenset[str]:
    """Return the telling words of a phrase if all of them stand among the words, else none."""
    wanted = _phrase(phrase) - IDLE
    return wanted if wanted <= words else frozenset()
