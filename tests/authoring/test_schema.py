"""The schema names every key that the reader knows, and the shipped files satisfy it."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
import shop
import yaml

from diag.authoring.schema import schema
from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.rulebook.build import tables
from diag.rulebook.yaml.source import LESSONS, WORLD

Schema = dict[str, Any]
NUMBER = re.compile(r"-?\d+(\.\d+)?")
TYPES = {"string": str, "number": (int, float), "boolean": bool, "object": dict, "array": list}


def faults(value: Any, rule: Schema, root: Schema, where: str = "") -> list[str]:
    """Check a value by the keywords of JSON Schema 2020-12 that the schema uses, no others."""
    known = {
        "$schema", "title", "$defs", "$ref", "if", "then", "else", "anyOf", "type", "enum",
        "pattern", "minimum", "required", "properties", "additionalProperties", "items",
    }  # fmt: skip
    assert set(rule) <= known
    found: list[str] = []
    if "$ref" in rule:
        name = unquote(rule["$ref"].removeprefix("#/$defs/"))
        found += faults(value, root["$defs"][name], root, where)
    if "if" in rule:
        held = not faults(value, rule["if"], root, where)
        found += faults(value, rule["then" if held else "else"], root, where)
    if "anyOf" in rule:
        each = [faults(value, one, root, where) for one in rule["anyOf"]]
        found += [] if [] in each else [f"{where}: none of {len(each)} forms", *each[-1]]
    if "type" in rule:
        names = rule["type"] if isinstance(rule["type"], list) else [rule["type"]]
        fits = [isinstance(value, TYPES[name]) for name in names]
        found += [] if any(fits) else [f"{where}: {value!r} is no {names}"]
    if "enum" in rule and value not in rule["enum"]:
        found.append(f"{where}: {value!r} is none of {rule['enum']}")
    if "pattern" in rule and isinstance(value, str) and not re.search(rule["pattern"], value):
        found.append(f"{where}: {value!r} is not like {rule['pattern']}")
    if "minimum" in rule and isinstance(value, int | float) and value < rule["minimum"]:
        found.append(f"{where}: {value!r} is below {rule['minimum']}")
    if isinstance(value, list) and "items" in rule:
        found += [one for item in value for one in faults(item, rule["items"], root, where)]
    return found + (_members(value, rule, root, where) if isinstance(value, dict) else [])


def _members(value: dict[str, Any], rule: Schema, root: Schema, where: str) -> list[str]:
    found = [f"{where}: `{key}` is missing" for key in rule.get("required", ()) if key not in value]
    for key, item in value.items():
        place = f"{where}/{key}"
        own = rule.get("properties", {}).get(key, rule.get("additionalProperties", {}))
        found += [f"{place}: no such key"] if own is False else faults(item, own, root, place)
    return found


def _as_an_editor(text: str) -> Any:
    """Read YAML as an editor of YAML 1.2 does: numbers are numbers, `no` is a word."""

    def typed(node: Any) -> Any:
        if isinstance(node, dict):
            return {key: typed(item) for key, item in node.items()}
        if isinstance(node, list):
            return [typed(item) for item in node]
        return float(node) if NUMBER.fullmatch(node) else node

    return typed(yaml.load(text, yaml.CBaseLoader))


@pytest.fixture(scope="module")
def shipped() -> Schema:
    """Make the schema of the shipped rules."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", "/nowhere-at-all")
        return schema(load_book())


def test_every_shipped_file_satisfies_it(shipped: Schema) -> None:
    """Rules, units, cases and scales all fit, so that no editor marks what the reader takes."""
    aside = {shipped_rules() / each for each in (WORLD, LESSONS)}  # read by tables of their own
    files = [f for f in sorted(shipped_rules().rglob("*.yaml")) if aside.isdisjoint(f.parents)]
    assert len(files) > 40
    wrong = {
        path.name: found for path in files
        if (found := faults(_as_an_editor(path.read_text(encoding="utf-8")), shipped, shipped))
    }  # fmt: skip
    assert {} == wrong


def test_every_key_that_the_reader_knows_is_named(shipped: Schema) -> None:
    """Each table of the reader has its definition with the same keys and the same demands."""
    defs = shipped["$defs"]
    named = {
        "rule": tables.RULE, "ruled out": tables.RULED_OUT, "slip": tables.SLIP,
        "repair": tables.REPAIR, "measure": tables.MEASURE,
        "unit limit": tables.UNIT_LIMIT, "unit": tables.UNIT,
        "case": tables.CASE, "cause": tables.CAUSE, "scale": tables.SCALE,
        "settings": tables.SCALE,
        **{kind: table for kind, (_, table) in tables.ENTRY_KINDS.items()},
    }  # fmt: skip
    assert set(named) | {"sections"} == set(defs)
    for name, table in named.items():
        beside = set(tables.WITH_CAUSE) if name == "cause" else set()
        assert set(table) | beside == set(defs[name]["properties"]), name
        needed = {key for key, field in table.items() if field.required}
        assert needed == set(defs[name].get("required", ())), name
    sections = {*tables.ENTRY_KINDS, *tables.SCALES, "source", "status", "cautions", "settings"}
    assert sections | {
        "acts",
        "heard as",
        "told as",
        "word weights",
        "word counts",
        "unit limits",
        "cases",
    } == set(defs["sections"]["properties"])


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("status: trial", "status: old", "/status: 'old' is none of"),
        ("share: rare", "share: now and then", "/share: 'now and then' is none of"),
        ("title: Wire broken", "titel: Wire broken", "/titel: no such key"),
        ("title: Wire broken\n", "", ": `title` is missing"),
        ("minutes: '9'", "minutes: nine", "/repair/minutes: 'nine' is no"),
        ("minutes: '9'", "minutes: -9", "/repair/minutes: -9.0 is below 0"),
        ("source: invented", "source: hearsay", "/source: 'hearsay' is not like"),
        ("source: invented", "source: published", "/source: 'published' is not like"),
        ("parted: probable", "parted: maybe", "/shows/wire/parted: 'maybe' is none of"),
    ],
)
def test_what_is_wrong_is_marked(old: str, new: str, fault: str, tmp_path: Path) -> None:
    """The schema can fail: a wrong word, key, number or origin is marked at its place."""
    folder = shop.written(tmp_path)
    made = schema(shop.read(folder).rulebook)
    text = (folder / "power/broken-wire.yaml").read_text(encoding="utf-8")
    assert [] == faults(_as_an_editor(text), made, made)
    assert 1 == text.count(old)
    found = faults(_as_an_editor(text.replace(old, new)), made, made)
    assert any(fault in one for one in found), found


def test_the_schema_is_plain_data(shipped: Schema) -> None:
    """It holds no object of ours, and each reference in it leads somewhere."""
    refs = re.findall(r"'#/\$defs/([^']+)'", str(shipped))
    assert refs
    assert set() == {unquote(one) for one in refs} - set(shipped["$defs"])
    assert shipped == json.loads(json.dumps(shipped))
