"""Whether what was said denies, supposes or ends the thing that it names.

A denial holds for what follows it at once: `no`, then only words that a denial is said through
(`any`, `sign of`, `have seen`), then the thing named. Anything else between ends it, so that in
`not working, it leaks` and in `could not stop it leaking` the leak is told of.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from diag.session.hearing.settled import long_settled, returned
from diag.session.hearing.words import IDLE_WORDS, Word, stem, word_set

BEFORE, ALONG = 10, 24
"""Words before a match in which a denial is looked for, and the most words that a match spans."""

_THROUGH = frozenset(
    map(
        stem,
        word_set(
            """see smell hear notice find feel think believe get seem appear look suffer experience
            report observe detect suspect say mention any anything anyone anybody ever yet either
            at all sign trace hint evidence whiff drop problem issue trouble strong bad nasty
            visible obvious real serious slight slightest single more longer current currently
            recently actually new fresh other further usual come go give make produce cause once
            today tonight yesterday here off out up on even person people body complain show"""
        ),
    )
)
"""Stems of words that a denial is said through."""
_ENDS = word_set("and for through because since due then so")
_NO_DENIAL = word_set("only just merely")
_SUBJECTS = word_set("the it there i we they he she my our this that")
_LOOKED = word_set("check checked checking test tested inspected looked searched sniffed")
_SUPPOSED = word_set("whether unless prevent prevents avoid against risk chance chances")
_WONDERED = word_set("wonder wondering sure unsure as")
_MAY, _WHO = word_set("may can could shall"), word_set("i we one")
_ALLOWED = word_set("ok okay safe allowed legal how")
"""What asks about an act that is not done yet, as in `can I mix` and `is it safe to mix`."""
_KNOWN = word_set("know tell say see")
_THEN = word_set("will would shall then what please call switch leave")
"""What follows a condition."""
_MENDED = word_set("fixed repaired mended cured sorted solved")
_NOT_MENDED = word_set("need needs try tried trying want wants badly to be must please")
_HARDLY = word_set("hardly barely rarely seldom")
_LINKED = word_set("was were is are been got now all already but soon being")
_AT_LAST = word_set("no none nil nope never negative not nothing")
_LAST = word_set("any anymore more longer now today since here at all found seen")


def is_said_through(word: Word) -> bool:
    """Return whether a denial before a word goes on to what follows that."""
    return word.stem in _THROUGH


def denies_what_follows(words: Sequence[Word], places: Sequence[int]) -> bool:
    """Return whether each denial among the words at some places is right before the next of them.

    A last `nothing` or `none` denies what it follows.
    """
    for at, following in zip(places, [*places[1:], -1], strict=True):
        if words[at].denies and following < 0:
            return words[at].text in ("nothing", "none")
        if words[at].denies:
            if words[at].clause != words[places[-1]].clause:
                return False
            if not all(one.idle or is_said_through(one) for one in words[at + 1 : following]):
                return False
    return True


def denied(words: Sequence[Word], chosen: frozenset[int]) -> bool:
    """Return whether the words chosen are denied, only supposed, or said to be put right."""
    first, last = min(chosen), max(chosen)
    return (
        any(
            _unclaims(words, at) and _reaches(words, at, chosen)
            for at in range(max(0, first - BEFORE), last)
            if at not in chosen and words[at].sentence == words[first].sentence
        )
        or _denied_after(words, last)
        or _explained_after(words, last)
        or (_mended_after(words, last) and not returned(words, last))
        or long_settled(words, chosen)
    )


def _unclaims(words: Sequence[Word], at: int) -> bool:
    """Return whether a word begins a denial, a supposition or the telling of a mend."""
    word, before = words[at], {one.text for one in words[max(0, at - 3) : at]}
    if word.text == "without" and _seldom(words, at):
        return False
    if word.denies:
        return not _answers(words, at)
    if word.text == "if":
        return not _wondered(words, at)
    if word.text == "used":
        return at + 1 < len(words) and words[at + 1].text == "to"
    if word.text in _MAY:
        return at + 1 < len(words) and words[at + 1].text in _WHO
    if word.text == "to":
        return bool(at) and words[at - 1].text in _ALLOWED
    if word.text == "should":
        return _conditional(words, at)
    if word.text in _SUPPOSED:
        return not (word.text == "whether" and _wondered(words, at))
    if word.text == "for":
        looked = [one for one in words[max(0, at - 6) : at] if one.clause == word.clause]
        return any(one.text in _LOOKED for one in looked)
    if word.text == "case":
        return "in" in before
    return word.text in _MENDED and not before & _NOT_MENDED and not _any_denies(words, at)


def _conditional(words: Sequence[Word], at: int) -> bool:
    """Return whether a `should` at the beginning means `if`; `should ... be` alone asks."""
    sentence = words[at].sentence
    if (at and words[at - 1].sentence == sentence) or at + 1 == len(words):
        return False
    after = [one.text for one in words[at + 1 : at + ALONG] if one.sentence == sentence]
    if not after or after[0] not in _SUBJECTS:
        return False
    return "be" not in after or bool(_THEN.intersection(after))


def _wondered(words: Sequence[Word], at: int) -> bool:
    """Return whether an `if` leaves open what may well be so, as in `not sure if`."""
    before = words[max(0, at - 4) : at]
    texts = {one.text for one in before[-2:]}
    return bool(texts & _WONDERED or (texts & _KNOWN and any(one.denies for one in before)))


def _seldom(words: Sequence[Word], at: int) -> bool:
    """Return whether a `without` is itself denied, as in `never without`."""
    before = [one for one in words[max(0, at - 8) : at] if one.sentence == words[at].sentence]
    return any(one.denies or one.text in _HARDLY for one in before)


def _any_denies(words: Sequence[Word], at: int) -> bool:
    return any(one.denies for one in words[max(0, at - 3) : at])


def _answers(words: Sequence[Word], at: int) -> bool:
    """Return whether a `no` is an answer of its own, or a `not` no denial, as in `not only`."""
    if at + 1 == len(words):
        return False
    after = words[at + 1].text
    return after in _NO_DENIAL or (words[at].text == "no" and after in _SUBJECTS)


def _reaches(words: Sequence[Word], start: int, chosen: frozenset[int]) -> bool:
    """Return whether what begins at a word holds for one of the words chosen."""
    listed = start
    for at in range(start + 1, min(max(chosen) + 1, len(words))):
        word, earlier = words[at], words[at - 1]
        if word.sentence != words[start].sentence:
            return False
        if at in chosen:
            return word.clause == earlier.clause or at <= listed
        if at > listed:
            listed = max(listed, _list_end(words, at))
        if at <= listed:
            continue
        if word.clause != earlier.clause or word.text in _ENDS:
            return False
        if word.text not in IDLE_WORDS and word.stem not in _THROUGH:
            return False
    return False


def _list_end(words: Sequence[Word], at: int) -> int:
    """Return where the `or` of a list stands that a word is in, as in `no a, b or c`; else 0."""
    for further in range(at, min(at + 6, len(words))):
        if words[further].sentence != words[at].sentence or words[further].text == "and":
            return 0
        if words[further].text in ("or", "nor"):
            after = words[further + 1].text if further + 1 < len(words) else ""
            return 0 if after in _SUBJECTS else further
    return 0


def _denied_after(words: Sequence[Word], last: int) -> bool:
    """Return whether a match is followed by a bare `no`, as in `leaks: none`."""
    after = words[last + 1 : last + 6]
    for number, word in enumerate(after):
        if word.text in _AT_LAST:
            rest = words[last + 2 + number : last + 7 + number]
            rest = [one for one in rest if one.clause == word.clause]
            return all(one.text in _LAST or one.idle for one in rest)
        if not word.idle or word.text == "and":
            return False
    return False


def _explained_after(words: Sequence[Word], last: int) -> bool:
    """Return whether a match is followed by what it was in truth, as in `turned out to be`."""
    after = [one.text for one in words[last + 1 : last + 5] if one.clause == words[last].clause]
    return any(pair == ("turned", "out") for pair in pairwise(after))


def _mended_after(words: Sequence[Word], last: int) -> bool:
    """Return whether a match is followed by its mend, as in `the leak was repaired`."""
    for at in range(last + 1, min(last + 8, len(words))):
        word, earlier = words[at], words[at - 1]
        if word.text in _MENDED:
            between = {one.text for one in words[last + 1 : at]}
            linked = at <= last + 2 or earlier.text in _LINKED
            return linked and not between & _NOT_MENDED and not _any_denies(words, at)
        if word.text == "and" or (word.clause != earlier.clause and word.text != "but"):
            return False
    return False
