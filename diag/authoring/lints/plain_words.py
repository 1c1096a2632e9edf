"""What people read says the shop's usual word.

A person who learnt the language late, with gloves on, reads it once and knows what to do.

Fails:
    causes:
      flat cells: {repair: {do: [Renew the cells.]}}

Says:
    `Renew` in `do` of `flat cells` is not the usual word
    write `replace`

Passes:
    causes:
      flat cells: {repair: {do: [Replace the cells.]}}
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import chain

from diag.authoring.lints.lint import Lint, Material, labels_of, sentences_of
from diag.model.problem import Problem

USUAL = {
    "afresh": "again",
    "air the place": "ventilate the place",
    "airing": "ventilation",
    "airs": "ventilates",
    "anew": "again",
    "any passage": "any continuity",
    "a hand from": "10 cm from",
    "ask it for heat": "switch the heating on",
    "asked for heat": "switched the heating on",
    "bars itself": "locks itself out",
    "battery post": "battery terminal",
    "bears": "carries, or is made for",
    "can bear": "can carry",
    "betray": "show",
    "bridge": "bypass, or short-circuit",
    "browned": "discoloured",
    "calliper": "caliper",
    "cut-out": "low-voltage cut-off",
    "dear": "expensive",
    "earth lead": "negative cable",
    "eats": "corrodes, or loses",
    "fine clamp meter": "low-current clamp meter",
    "flat out": "at full power",
    "flue gas meter": "flue gas analyser",
    "furred": "clogged",
    "gas probe": "flue gas analyser",
    "guards itself": "protects itself",
    "half way up": "at medium power",
    "harmed": "damaged",
    "in vain": "that failed",
    "labours": "turns hard",
    "measuring glass": "measuring cylinder",
    "mend": "repair",
    "minus lead": "negative cable",
    "minus post": "negative terminal",
    "minus side": "negative side",
    "next to no": "almost no",
    "next to nothing": "almost nothing",
    "no passage": "no continuity",
    "parted": "broken",
    "pick-up": "speed sensor, or standpipe",
    "pickup": "standpipe",
    "plus lead": "positive cable",
    "plus post": "positive terminal",
    "plus side": "positive side",
    "renew": "replace",
    "screw the glow plug out": "unscrew the glow plug",
    "starve": "gets too little fuel, or air",
    "supply plug": "supply connector",
    "the posts": "the battery terminals",
    "unasked": "by itself",
    "vent mode": "ventilation mode",
    "weeping": "wet with fuel",
    "with nobody asking": "by itself",
}
"""Old word to the usual one."""

_OLD = re.compile(
    r"\b(" + "|".join(sorted(USUAL, key=len, reverse=True)) + r")(?:e?s|e?d|ing)?\b",
    re.IGNORECASE,
)


def old_words(text: str) -> Iterator[tuple[str, str]]:
    """Yield each old word of a text as it stands there, with the usual one.

    >>> list(old_words("Renewed, not mended."))
    [('Renewed', 'replace'), ('mended', 'repair')]
    """
    for found in _OLD.finditer(" ".join(text.split())):
        yield found[0], USUAL[found[1].lower()]


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each old word in what people are shown."""
    book = material.rulebook
    for each in chain(sentences_of(book), labels_of(book)):
        for old, usual in old_words(each.text):
            yield Problem(
                each.place,
                f"`{old}` in `{each.key}` of `{each.owner}` is not the usual word",
                f"write `{usual}`",
            )


LINT = Lint("M04", "plain-words", check)
