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
    sorted cured tightened"""
)
_PUT_AWAY = word_set(
    "cleared cleaned drained flushed washed rewired sold scrapped binned threw thrown gone removed"
)
"""What ends a thing of long ago, yet is no mend that proves sound at once."""
_RETURNS = word_set("again back returned returns")
_GOES_ON = word_set("still keeps keep worse another not today tonight yesterday")
_HEED = 24
"""Words beside what is told in which a mend, a time or a return is looked for."""
_SOUND = word_set(
    "dry fine ok okay good perfect sound quiet clean gone trouble problem problems tight cool cold"
    " freely free well right"
)
_SINCE = word_set("since ever now")
_LAST = word_set("last previous former")
_PERIODS = word_set(
    "year years winter winters summer summers spring autumn season month months owner owners"
)


def long_settled(words: Sequence[Word], chosen: frozenset[int]) -> bool:
    """Return whether the words chosen tell of a thing mended long ago, or sound since its mend.

    What is told must come first, its mend behind it in the same sentence, and a long past time
    beside it before the mend: in `it leaks, the hose was replaced last year` the leak is of now.
    """
    first, last = words[min(chosen)], words[max(chosen)]
    after = [
        one
        for one in words[max(chosen) + 1 : max(chosen) + 1 + _HEED]
        if one.sentence == first.sentence
    ]
    ends = [at for at, one in enumerate(after) if one.text in _REPLACED | _PUT_AWAY]
    if not ends or returned(words, max(chosen)) or any(one.text in _GOES_ON for one in after):
        return False
    replaced = any(one.text in _REPLACED for one in after)
    before = words[max(0, min(chosen) - _HEED) : max(chosen) + 1 + ends[0]]
    beside = [one for one in before if first.clause <= one.clause <= last.clause]
    return (replaced and _sound_since(after)) or _long_ago(beside)


def returned(words: Sequence[Word], last: int) -> bool:
    """Return whether what ends at a word is said to be back, even after a `but`."""
    return any(one.text in _RETURNS for one in words[last + 1 : last + 1 + _HEED])


def _sound_since(after: Sequence[Word]) -> bool:
    """Return whether words say that all is well since, as in `dry ever since`."""
    return any(
        one.text in _SOUND and any(next_.text in _SINCE for next_ in after[at + 1 : at + 3])
        for at, one in enumerate(after)
    ) or any(
        one.text == "now" and any(next_.text in _SOUND for next_ in after[at + 1 : at + 4])
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
