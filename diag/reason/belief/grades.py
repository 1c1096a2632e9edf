"""Weights of evidence in words: how strongly something speaks for or against.

The steps are those of Kass and Raftery, "Bayes Factors", Journal of the American Statistical
Association 90 (1995), after Jeffreys, Theory of Probability (1961): a ratio of up to 3 is hardly
worth a word, up to 20 positive, up to 150 strong, beyond that very strong. From memory.
"""

from __future__ import annotations

import math

STEPS = ((3.0, "hardly "), (20.0, ""), (150.0, "strongly "), (math.inf, "very strongly "))
"""The likelihood ratio below which each word holds, the weakest first."""


def in_words(decibans: float) -> str:
    """Say a weight of evidence, in decibans (10 log10 of a likelihood ratio), in words.

    >>> in_words(15.2), in_words(-6.0), in_words(0.5)
    ('strongly for', 'against', 'hardly for')
    """
    ratio = 10 ** (min(abs(decibans), 100.0) / 10)
    side = "for" if decibans >= 0 else "against"
    return next(word for limit, word in STEPS if ratio < limit) + side
