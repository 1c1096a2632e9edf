"""A line typed at a prompt: an answer, or one of the few words that work everywhere."""

from __future__ import annotations

import re

from diag.model.frozen import frozen

WORDS: dict[str, tuple[tuple[str, ...], str]] = {
    "help": (("help", "?", "how"), "how to do this check"),
    "why": (("why",), "why this question, and what next best; why NAME: what NAME rests on"),
    "why-not": (("why-not", "why not"), "why-not CAUSE: what speaks for and against a cause"),
    "suspects": (("suspects",), "the likeliest causes, each with what tells for it"),
    "where": (("where",), "where we stand: dangers, suspects, readings; where 2: its second page"),
    "picture": (("picture", "pictures"), "what was read, as small pictures; picture NAME: one"),
    "undo": (("undo", "back"), "take the last act back, whatever it was"),
    "change": (
        ("change", "correct"),
        "change FINDING = ANSWER: correct or add an answer",
    ),
    "say": (("say",), "say ANYTHING: what you noticed or measured, read back to you"),
    "danger": (("danger",), "danger, or danger TEXT: something is wrong here and now"),
    "unsure": (
        (
            *("unsure", "not sure", "i'm not sure", "don't know", "dont know", "do not know"),
            *("i don't know", "i dont know", "i do not know", "dunno", "no idea", "no clue"),
        ),
        "I am not sure",
    ),
    "cannot": (("cannot", "cannot now", "can't", "cant", "skip"), "cannot do that now"),
    "skip check": (
        ("skip check", "skip the check", "skip this check"),
        "pass over all that is left of this check",
    ),
    "again": (("again", "repeat"), "ask it again; Enter alone does so too"),
    "next": (("next",), "next 3: what is coming, unless the answers change it"),
    "do": (("do",), "do CHECK: make that check now, by its name or some words of it"),
    "use": (("use",), "use SUM: a bench sum with what is known filled in; `use` lists them"),
    "enter": (("enter",), "several readings in one go, in your own order"),
    "tools": (("tools",), "who works where and with what, and what waits for a tool"),
    "without": (("without",), "without TOOL: it is not here; what needs it waits"),
    "with": (("with",), "with TOOL: it is here now"),
    "here": (("here",), "here PROFILE: who works where; `tools` lists them"),
    "note": (("note",), "note TEXT: keep a remark"),
    "label": (("label",), "label tag LIB-03, label customer NAME: whose it is; `label` shows it"),
    "part": (("part",), "part NAME PRICE: a part that was fitted"),
    "minutes": (("minutes",), "minutes 20, or minutes 20 WHAT: time to charge"),
    "leave": (("leave", "quit", "exit"), "save and leave"),
}
"""Command to its spellings and one line of help."""

WITH_ARGUMENT = frozenset(
    {
        *("why", "why-not", "where", "picture", "change", "do", "use", "say", "danger", "note"),
        *("without", "with", "here", "label", "part", "minutes"),
    }
)


MOST_DIGITS = 2
_SPELLINGS = sorted(
    ((each, word) for word, (spellings, _) in WORDS.items() for each in spellings),
    key=lambda one: -len(one[0]),
)
"""Spelling and command, the longest first: `why not` before `why`."""


@frozen
class Command:
    """A word that works at every prompt, and what follows it."""

    word: str
    argument: str = ""


@frozen
class Line:
    """Anything else: an answer to what was asked; `how` is filled where the user said so."""

    text: str
    how: str = ""


_HOW = re.compile(r"\(?(told|seen|measured)\)?", re.IGNORECASE | re.ASCII)


def read_line(text: str) -> Command | Line:
    """Tell a command from an answer.

    >>> read_line("change weight = 4 kg")
    Command(word='change', argument='weight = 4 kg')
    >>> read_line("why not leaky valve"), read_line("why loss")
    (Command(word='why-not', argument='leaky valve'), Command(word='why', argument='loss'))
    >>> read_line("12,7 V told")
    Line(text='12,7 V', how='told')
    >>> read_line("Don’t know")
    Command(word='unsure', argument='')
    """
    stripped = text.strip()
    lower = stripped.lower().replace("’", "'")
    for spelling, word in _SPELLINGS:
        if lower == spelling:
            return Command(word)
        count = lower.removeprefix("next ") if word == "next" else ""
        if count != lower and count.isdecimal() and count.isascii() and len(count) <= MOST_DIGITS:
            return Command(word, count)
        if word in WITH_ARGUMENT and lower.startswith(spelling + " "):
            return Command(word, stripped[len(spelling) :].strip())
    # Cut off at its blank first: a search would begin anew at each blank of a long row of them.
    *before, last = stripped.rsplit(maxsplit=1) or [""]
    found = _HOW.fullmatch(last) if before else None
    if found:
        answer = before[0]
        return Line(answer[:-1] if answer.endswith((",", ";")) else answer, found[1].lower())
    return Line(stripped)
