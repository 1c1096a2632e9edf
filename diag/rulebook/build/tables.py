"""The keys of every kind of entry: this page is the format."""

from __future__ import annotations

from diag.model.amounts import amount, meter_error
from diag.rulebook.build.entries import (
    SOURCE,
    Field,
    Table,
    condition,
    drawn,
    listing,
    mapping,
    number,
    one_cause,
    origin_of,
    raw,
    record,
    required,
    scalar,
    span,
    term,
    texts,
    unit,
    word_of,
    yes_or_no,
)
from diag.rulebook.kinds import KINDS
from diag.rulebook.yaml import scalars

_WORDS = Field(mapping(raw))
_TEXTS = Field(texts)
_TEXT = Field(raw)

RULE: Table = {
    "when": required(condition),
    "then": required(raw),
    "why": _TEXT,
    "source": SOURCE,
}
RULED_OUT: Table = {"when": required(condition), "why": _TEXT, "source": SOURCE}
MEASURE: Table = {
    "as for": _TEXT,
    "with": _TEXT,
    "where": _TEXT,
    "when": _TEXT,
    "good": _TEXT,
    "mistakes": _TEXTS,
    "drawing": Field(drawn),
    "in words": _TEXT,
}
SLIP: Table = {"when": required(condition), "say": required(raw)}

FINDING: Table = {
    "ask": required(raw),
    "kind": required(word_of(*KINDS)),
    "unit": Field(unit),
    "believable": Field(span),
    "known by": Field(word_of("told", "seen", "measured")),
    "help": _TEXT,
    "measure": Field(record("measure", MEASURE)),
    "words": _TEXTS,
    "slips": Field(listing(record("slip", SLIP))),
    "asked when": Field(condition),
    "fixed": Field(yes_or_no),
    "choices": _WORDS,
    "lettered": Field(yes_or_no),
    "shows anyway": _WORDS,
    "is": Field(mapping(one_cause)),
    "as it should be": Field(yes_or_no),
    "source": SOURCE,
}
CHECK: Table = {
    "do": required(raw),
    "minutes": required(number),
    "waits": Field(scalar(scalars.minutes)),
    "uses": _TEXTS,
    "yields": required(texts),
    "tools": _TEXTS,
    "needed for": Field(mapping(texts)),
    "access": _TEXT,
    "there": _TEXTS,
    "needs": _TEXTS,
    "undoes": _TEXTS,
    "cautions": _TEXTS,
    "acts": _TEXTS,
    "held back": Field(yes_or_no),
    "asked together": _TEXT,
    "shares run": _TEXT,
    "possible when": Field(condition),
    "source": SOURCE,
}
SIGN: Table = {
    "title": _TEXT,
    "states": required(texts),
    "shows anyway": _WORDS,
    "is": Field(mapping(one_cause)),
    "supersedes": _TEXTS,
    "counts beside": _WORDS,
    "taken from": _TEXT,
    "looked up": _TEXT,
    "rules": Field(listing(record("rule", RULE))),
    "source": SOURCE,
}
FIGURE: Table = {
    "title": _TEXT,
    "unit": required(unit),
    "sum": Field(term),
    "formula": _TEXT,
    "takes": Field(mapping(term)),
    "source": SOURCE,
}
DANGER: Table = {
    "title": required(raw),
    "raised when": required(condition),
    "why": _TEXT,
    "forbids": required(texts),
    "ask first": _TEXTS,
    "heard as": Field(mapping(texts)),
    "do now": required(texts),
    "released when": required(condition),
    "work may go on when": required(raw),
    "licensed": _TEXT,
    "source": SOURCE,
}
WORD_GROUP: Table = {"words": required(texts), "but not": _TEXTS, "source": SOURCE}
COMPLAINT: Table = {
    "title": required(raw),
    "words": _TEXTS,
    "intake": _TEXTS,
    "proof": required(listing(condition)),
    "lesser proof": Field(listing(condition)),
    "source": SOURCE,
}
PROFILE: Table = {
    "title": required(raw),
    "reaches": required(texts),
    "there": _TEXTS,
    "tools": _TEXTS,
    "words": _TEXTS,
    "only told": Field(yes_or_no),
}
RUN: Table = {
    "minutes": required(number),
    "in order": _TEXTS,
    "each more": Field(number),
    "at most": _TEXT,
    "used up": Field(raw),
    "source": SOURCE,
}
CANNOT_BE: Table = {"when": required(condition), "say": required(raw), "source": SOURCE}
UNIT_DATUM: Table = {
    "ask": required(raw),
    "unit": required(unit),
    "believable": Field(span),
    "source": SOURCE,
}
THRESHOLD: Table = {
    "title": _TEXT,
    "value": required(scalar(amount)),
    "proportional to": Field(mapping(scalar(amount))),
    "source": SOURCE,
}
UNIT_LIMIT: Table = {"must hold": required(condition), "say": required(raw), "source": SOURCE}
UNIT: Table = {
    "unit": required(raw),
    "title": required(raw),
    "based on": _TEXT,
    "data": Field(mapping(scalar(amount))),
    "codes": Field(mapping(raw)),
    "instrument errors": Field(mapping(scalar(meter_error))),
    "note": _TEXT,
    "source": SOURCE,
}
REPAIR: Table = {
    "do": required(texts),
    "minutes": required(number),
    "waits": Field(scalar(scalars.minutes)),
    "parts": Field(mapping(raw)),
    "access": _TEXT,
    "there": _TEXTS,
    "needs": _TEXTS,
    "acts": _TEXTS,
    "licensed": _TEXT,
    "mends as well": _TEXTS,
}
CAUSE: Table = {
    "cause": required(raw),
    "title": required(raw),
    "area": required(raw),
    "status": Field(word_of("draft", "trial", "proven")),
    "share": required(raw),
    "no fault": Field(yes_or_no),
    "complaints": _WORDS,
    "explain": _TEXT,
    "shows": required(mapping(mapping(raw))),
    "any of": _TEXTS,
    "comes and goes": _TEXT,
    "brought out by": _TEXTS,
    "must not show": Field(mapping(texts)),
    "confused with": _WORDS,
    "rules out when": Field(listing(record("rule", RULED_OUT))),
    "repair": required(record("repair", REPAIR)),
    "proof": Field(listing(condition)),
    "cautions": _TEXTS,
    "tell the owner": _TEXT,
    "source": SOURCE,
}
CASE: Table = {
    "unit": required(raw),
    "complaint": required(raw),
    "truth": required(texts),
    "shows": required(mapping(raw)),
    "dangers": _TEXTS,
    "wrong": _TEXTS,
    "told": _TEXTS,
    "after": Field(mapping(mapping(raw))),
    "path": _TEXTS,
    "note": _TEXT,
    "source": SOURCE,
}
SCALE: Table = {"source": Field(origin_of), "words": required(mapping(number))}

SCALES = (
    "likelihood",
    "share",
    "anyway",
    "parts",
    "reliability",
    "access",
    "needs",
    "tools",
)
ENTRY_KINDS: dict[str, tuple[str, Table]] = {
    "findings": ("finding", FINDING),
    "checks": ("check", CHECK),
    "signs": ("sign", SIGN),
    "figures": ("figure", FIGURE),
    "dangers": ("danger", DANGER),
    "complaints": ("complaint", COMPLAINT),
    "unit data": ("datum", UNIT_DATUM),
    "thresholds": ("threshold", THRESHOLD),
    "cannot be": ("limit", CANNOT_BE),
    "word groups": ("word group", WORD_GROUP),
    "profiles": ("profile", PROFILE),
    "runs": ("run", RUN),
}
"""Section of a file to the kind of entry that it holds by id."""
WITH_CAUSE = ("findings", "checks", "signs", "figures", "cannot be")
"""Sections that may stand beside a cause in its file."""
