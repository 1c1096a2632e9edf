"""A JSON Schema (2020-12) of rule files, for editors that complete and check while one types.

The keys and which of them must be there come from the reader's own tables; what may stand behind
each key is said here. An editor knows less than the reader: references, conditions and dimensions
are for `rules check`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from diag.model.quantity import SPELLINGS
from diag.model.rulebook import Rulebook
from diag.model.settings import SETTING_WORDS
from diag.rulebook.build.entries import Table
from diag.rulebook.build.tables import (
    CASE,
    CAUSE,
    ENTRY_KINDS,
    MEASURE,
    REPAIR,
    RULE,
    RULED_OUT,
    SCALE,
    SCALES,
    SLIP,
    UNIT,
    UNIT_LIMIT,
    WITH_CAUSE,
)
from diag.rulebook.kinds import KINDS

Schema = dict[str, Any]

# Editors read `no` as a truth value and `12` as a number; the reader takes both as text.
TEXT: Schema = {"type": ["string", "number", "boolean"]}
TEXTS: Schema = {"anyOf": [TEXT, {"type": "array", "items": TEXT}]}
NUMBER: Schema = {"type": "number", "minimum": 0}
YES_NO: Schema = {"enum": ["yes", "no", True, False]}
ORIGIN: Schema = {
    "type": "string",
    "pattern": "^(published\\W+\\S|(common practice|memory|invented)($|[ ,:;]))",
}
LISTS = (
    "words", "tools", "cautions", "yields", "states", "supersedes", "ask first", "do now", "intake",
    "proof", "lesser proof", "truth", "dangers", "wrong", "told", "repair/do", "acts", "forbids",
    "path", "any of", "brought out by", "mends as well", "there", "profile/words", "in order",
    "mistakes",
)  # fmt: skip
"""Keys behind which one text or a list of them stands."""
MAPPINGS = (
    "case/shows",
    "is",
    "proportional to",
    "confused with",
    "counts beside",
    "choices",
    "takes",
    "data",
    "codes",
    "instrument errors",
)
YES_OR_NO = ("as it should be", "no fault", "fixed", "lettered", "held back", "only told")
SPAN: Schema = {"type": "string", "pattern": "^\\S.* to .*\\S$"}


def schema(rulebook: Rulebook) -> Schema:
    """Return the schema as plain data, with the words of this rulebook's scales to choose from."""
    shapes = _shapes(rulebook)
    kinds = {kind: table for kind, (_, table) in ENTRY_KINDS.items()}
    tables: dict[str, Table] = {
        "rule": RULE, "ruled out": RULED_OUT, "slip": SLIP, "repair": REPAIR, "measure": MEASURE,
        "unit limit": UNIT_LIMIT, "scale": SCALE, "settings": SCALE, "case": CASE,
        "cause": CAUSE, "unit": UNIT,
        **kinds,
    }  # fmt: skip
    defs = {name: _record(name, table, shapes) for name, table in tables.items()}
    sections = {kind: _map(_ref(kind)) for kind in ENTRY_KINDS}
    sections |= {
        "source": ORIGIN,
        "status": _words(("draft",)),
        "cautions": _map(TEXT),
        "heard as": _map(TEXTS),
        "told as": _map(TEXTS),
        "word weights": _map(TEXTS),
        "word counts": _map(TEXTS),
        "acts": _map(TEXT),
    }
    sections["unit limits"] = _some(_ref("unit limit"))
    sections |= {scale: _ref("scale") for scale in SCALES}
    sections["settings"] = _ref("settings")
    sections["cases"] = _map(_ref("case"))
    defs["sections"] = _closed(sections)
    beside = {kind: sections[kind] for kind in WITH_CAUSE}
    defs["cause"]["properties"] |= beside
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rule file of diag",
        "type": "object",
        "if": {"required": ["cause"]},
        "then": _ref("cause"),
        "else": {"if": {"required": ["unit"]}, "then": _ref("unit"), "else": _ref("sections")},
        "$defs": defs,
    }


def _shapes(rulebook: Rulebook) -> dict[str, Schema]:
    """Return what may stand behind a key; `kind/key` goes before `key`, and text is the rest."""
    scales = rulebook.scales
    likely = _map(_words(scales.likelihood))
    words = {
        "kind": tuple(KINDS),
        "known by": ("told", "seen", "measured"),
        "status": ("draft", "trial", "proven"),
        "share": tuple(scales.share),
        "access": tuple(scales.access),
        "comes and goes": tuple(scales.likelihood),
    }
    return {
        **dict.fromkeys(LISTS, TEXTS),
        **dict.fromkeys(MAPPINGS, _map(TEXT)),
        **{key: _words(each) for key, each in words.items()},
        "but not": TEXTS,
        "source": ORIGIN,
        "unit": {"enum": [*SPELLINGS, 1]},  # the bare `1` of a plain number
        "unit/unit": TEXT,
        "case/unit": TEXT,
        "believable": SPAN,
        "minutes": NUMBER,
        **dict.fromkeys(YES_OR_NO, YES_NO),
        **dict.fromkeys(("heard as", "needed for"), _map(TEXTS)),
        "after": _map(_map(TEXT)),
        "reaches": _some(_words(scales.access)),
        "complaints": likely,
        "shows": _map(likely),
        "shows anyway": _map(_words(scales.anyway)),
        "must not show": _map(TEXTS),
        **dict.fromkeys(("needs", "undoes"), _some(_words(scales.needs))),
        "parts": _map(_words(scales.parts)),
        "scale/words": _map(NUMBER),
        "settings/words": _closed(dict.fromkeys(SETTING_WORDS, NUMBER)),
        "slips": _some(_ref("slip")),
        "rules": _some(_ref("rule")),
        "rules out when": _some(_ref("ruled out")),
        **{key: _ref(key) for key in ("repair", "measure")},
    }


def _record(name: str, table: Table, shapes: Mapping[str, Schema]) -> Schema:
    properties = {key: shapes.get(f"{name}/{key}", shapes.get(key, TEXT)) for key in table}
    return _closed(properties, [key for key, field in table.items() if field.required])


def _closed(properties: Mapping[str, Schema], needed: Iterable[str] = ()) -> Schema:
    made: Schema = {"type": "object", "properties": dict(properties), "additionalProperties": False}
    required = list(needed)
    return {**made, "required": required} if required else made


def _map(value: Schema) -> Schema:
    return {"type": "object", "additionalProperties": value}


def _some(item: Schema) -> Schema:
    return {"anyOf": [item, {"type": "array", "items": item}]}


def _words(words: Iterable[str]) -> Schema:
    return {"enum": list(words)}


def _ref(name: str) -> Schema:
    return {"$ref": f"#/$defs/{name.replace(' ', '%20')}"}
