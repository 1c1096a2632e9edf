"""Whether what was said is over: mended or replaced since, and sound ever since.

A mend alone settles nothing, nor does `fine now`: what was replaced may be back, and what stopped
by itself may begin again. So a mend and its time must both be told, and no word of a return.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from diag.session.hearing.words import Word, word_set

_REPLACED = word_set(
    """replaced replace swapped renewed fixed repaired mended changed resealed retightened fitted
    sorted cured"""
)
_RETURNS = word_set("again back returned returns")
_GOES_ON = word_set("still keeps keep worse another not today tonight yesterday")
_HEED = 24
"""Words in which a return is looked for, behind what came back, over the ends of sentences."""
_SOUND = word_set("dry fine ok okay good perfect sound quiet clean gone trouble problem problems")
_SINCE = word_set("since ever now")
_LAST = word_set("last previous")
_PERIODS = word_set("year years winter winters summer summers spring autumn season month months")


def settled(words: Sequence[Word], chosen: frozenset[int]) -> bool:
    """Return whether the words chosen tell of a thing mended long ago, or sound since its mend.

    What is told must come first, its mend behind it in the same sentence.
    """
    first, last = min(chosen), max(chosen)
    sentence = [
        (at, word) for at, word in enumerate(words) if word.sentence == words[first].sentence
    ]
    after = [word for at, word in sentence if at > last]
    if not any(one.text in _REPLACED for one in after):
        return False
    if returned(words, last) or any(one.text in _GOES_ON for one in after):
        return False
    return _sound_since(after) or _long_ago([word for _, word in sentence])


def returned(words: Sequence[Word], last: int) -> bool:
    """Return whether what ends at a word is said to be back, even after a `but`."""
    return any(one.text in _RETURNS for one in words[last + 1 : last + 1 + _HEED])


def _sound_since(after: Sequence[Word]) -> bool:
    """Return whether words say that all is well since, as in `dry ever since`."""
    return any(
        one.text in _SOUND and any(next_.text in _SINCE for next_ in after[at + 1 : at + 3])
        for at, one in enumerate(after)
    )


def _long_ago(words: Sequence[Word]) -> bool:
    """Return whether words name a time long past: `last year`, `two winters ago`, `in 2019`."""
    for word, following in pairwise(words):
        if word.text in _LAST and following.text in _PERIODS:
            return True
        if word.text in _PERIODS and following.text == "ago":
            return True
        if word.text == "in" and following.text[:2] in ("19", "20") and len(following.text) == 4:
            return True
    return False
