"""A sentence has at most 32 words.

Rules are read aloud with a spanner in the hand; what takes two breaths is two sentences.

Fails:
    causes:
      flat cells:
        explain: >-
          The cells have been used up and so they no longer give the volts that the lamp wants,
          which one sees when the beam grows yellow, or when it goes out, or when the meter is
          put to them.

Says:
    a sentence of `explain` of `flat cells` has 39 words; at most 32 can be read aloud
    make two sentences of it

Passes:
    causes:
      flat cells: {explain: The cells are used up. The beam grows yellow and goes out.}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material, sentences, sentences_of
from diag.model.problem import Problem

MOST_WORDS = 32


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each sentence that is too long."""
    for each in sentences_of(material.rulebook):
        for sentence in sentences(each.text):
            words = len(sentence.split())
            if words > MOST_WORDS:
                yield Problem(
                    each.place,
                    f"a sentence of `{each.key}` of `{each.owner}` has {words} words; at most "
                    f"{MOST_WORDS} can be read aloud",
                    "make two sentences of it",
                )


LINT = Lint("M03", "short-sentences", check)
