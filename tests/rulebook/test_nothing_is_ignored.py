"""Nothing in a rule file is accepted and ignored: whatever is taken out or unread is noticed."""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

import diag
from diag.model import case, expression, rulebook, settings, unit_data, work
from diag.model.problem import Place, ProblemsFound
from diag.rulebook import load_cases, load_rulebook
from diag.rulebook.build import tables
from tests.rulebook.lamps import FILES, FORMULAS, write

Tree = dict[str, Any]
MORE = """\
source: invented
findings:
  twilight:
    ask: How dark is it?
    kind: choice
    choices: {bright: day, dusk: night}
    lettered: yes
    known by: told
    help: Look out of the window.
    words: dusk
    asked when: beam is dark
    fixed: yes
    shows anyway: {dusk: hardly ever}
    source: memory
  weight:
    ask: What does it weigh?
    kind: quantity
    unit: kg
    believable: 0 kg to 9 kg
    slips: [{when: weight > 5 kg, say: is that grams}]
    measure: {with: Scales., where: On the plate., when: At rest., good: As on the label.,
      mistakes: It hangs., drawing: "[lamp]", in words: The lamp lies on the scales.}
  weight wet:
    ask: And what does it weigh wet?
    kind: quantity
    unit: kg
    believable: 0 kg to 9 kg
    measure: {as for: weight, when: Just out of the water.}
  broken: {ask: Is it broken?, kind: yes/no, as it should be: no}
checks:
  look out:
    do: Look out.
    minutes: 1
    yields: [twilight]
    tools: [window, glasses]
    there: keeper
    needed for: {window: twilight}
    shares run: burning
    waits: 2 h
    uses: burning
    undoes: [dark room]
    possible when: beam is dark
    held back: yes
    source: memory
  ask all: {do: Ask., minutes: 1, yields: [broken], asked together: Is any of this so?}
runs:
  burning: {minutes: 1, in order: twilight, each more: 2, at most: rated volts,
    used up: Take new ones., source: memory}
profiles:
  keeper: {title: The keeper, reaches: [ask], there: keeper, tools: window,
    words: I am there, only told: yes}
signs:
  night:
    title: Whether it is night
    states: [day, night]
    shows anyway: {night: hardly ever}
    supersedes: [twilight]
    counts beside: {supply: the sky is no cell}
    rules: [{when: twilight is dusk, then: night, why: it is dark, source: memory}]
    source: memory
figures:
  double weight: {title: Twice the weight, unit: kg, sum: weight * 2, source: memory}
thresholds:
  heavy: {value: 5 kg, proportional to: {rated volts: 6 V}, source: memory}
word groups:
  GLASS: {words: [glass, lens], but not: [spare], source: memory}
heard as:
  wet is yes: [GLASS wet]
cannot be:
  light at night: {when: twilight is dusk and beam is bright, say: it is dark, source: memory}
  too heavy: {when: weight > heavy, say: no lamp weighs that, source: memory}
"""
MORE = MORE.replace(
    "checks:\n", "  broken: {ask: Is it broken?, kind: yes/no, as it should be: no}\nchecks:\n"
)
CASES = """\
source: invented
cases:
  first:
    unit: LAMP 2
    complaint: will not light
    truth: [flat cells]
    dangers: [broken glass]
    wrong: [wet]
    told: [beam]
    after: {flat cells: {beam: bright}}
    path: [look at it]
    note: a first case
    source: memory
    shows: {beam: dark, wet: no, cell volts: 4 V}
"""
IGNORED = {"source"}
"""Of an entry: told in its `origin`, or only wanted by the reader where a number stands."""


@cache
def _parsed() -> dict[str, Tree]:
    """Return the lamp rulebook with every key of every table in it, as plain data."""
    files = {name: yaml.load(text, yaml.CBaseLoader) for name, text in FILES.items()}
    files["more.yaml"] = yaml.load(MORE, yaml.CBaseLoader)
    files["signs.yaml"]["dangers"]["broken glass"] |= {
        "why": "glass cuts", "ask first": ["wet"], "licensed": "Call a glazier.",
        "heard as": {"wet is yes": ["water in it"]}}  # fmt: skip
    files["signs.yaml"]["complaints"]["will not light"]["lesser proof"] = ["wet is no"]
    cause = files["power/flat-cells.yaml"]
    cause |= {"no fault": "yes", "explain": "They are used up.", "tell the owner": "Flat."}
    cause |= {"confused with": {"worn switch": "beam"}, "status": "proven"}
    cause["must not show"] |= {"twilight": ["dusk"]}
    cause["rules out when"] = [{"when": "cell volts > 6 V", "why": "full", "source": "memory"}]
    cause["repair"] |= {"access": "bench", "needs": ["dark room"], "acts": ["holds it"]}
    cause["repair"] |= {"waits": "1 h"}
    cause["repair"] |= {"licensed": "This is work for a lamp fitter."}
    other = copy.deepcopy(cause) | {"cause": "worn switch"}
    other["confused with"] = {"flat cells": "beam"}
    files["power/worn-switch.yaml"] = other
    cause |= {"comes and goes": "fifty-fifty", "brought out by": ["supply"]}
    cause["any of"] = ["supply", "beam"]
    cause["repair"] = {**cause["repair"], "mends as well": ["worn switch"]}
    for one, sign, state in ((cause, "light", "dim"), (other, "broken", "yes")):
        one["shows"] = {**one["shows"], sign: {state: "probable"}}
    files["signs.yaml"]["signs"]["light"]["is"] = {"dim": "flat cells"}
    files["more.yaml"]["findings"]["broken"]["is"] = {"yes": "worn switch"}
    unit = files["units/lamp.yaml"]
    files["units/other.yaml"] = {**unit, "unit": "LAMP 2", "based on": "LAMP 1", "note": "blue",
                                 "title": "Blue lamp"}  # fmt: skip
    for inherited in ("data", "codes", "instrument errors"):
        del files["units/other.yaml"][inherited]
    files["cases/all.yaml"] = yaml.load(CASES, yaml.CBaseLoader)
    return files


def everything() -> dict[str, Tree]:
    """Return a copy of all files, to take a key out of."""
    return copy.deepcopy(_parsed())


def plain(thing: Any) -> Any:
    """Return what was built as plain data, without places and the hash of the text."""
    if isinstance(thing, Place):
        return None
    if is_dataclass(thing):
        named = (each.name for each in fields(thing) if each.name not in ("hash", "compute"))
        return [type(thing).__name__, *((name, plain(getattr(thing, name))) for name in named)]
    if isinstance(thing, Mapping):
        return [(key, plain(value)) for key, value in thing.items()]
    if isinstance(thing, tuple | list):
        return [plain(each) for each in thing]
    return thing


def outcome(folder: Path, files: dict[str, Tree]) -> Any:
    """Return what is built of the files, or all that is wrong with them."""
    texts = {name: yaml.dump(tree, sort_keys=False) for name, tree in files.items()}
    write(folder, {**texts, "cases/all.yaml": texts["cases/all.yaml"]})
    try:
        book = load_rulebook([folder], FORMULAS)
        return plain(book), plain(load_cases(folder / "cases", book))
    except ProblemsFound as found:
        return str(found)


def homes() -> Iterator[tuple[str, str, tuple[str | int, ...]]]:
    """Yield file, key and path of each key of a table that stands in the files."""
    beside = {*tables.ENTRY_KINDS, "unit limits", "cases"}
    for name, tree in (everything()).items():
        for section, entries in tree.items():
            if "cause" in tree or "unit" in tree:
                yield name, section, (section,)
                inner = [(section, each) for each in entries] if isinstance(entries, dict) else []
                inner = inner if section == "repair" else []
                yield from ((name, str(path[-1]), path) for path in inner)
            elif section in beside and isinstance(entries, dict):
                for entry, keys in entries.items():
                    yield from ((name, key, (section, entry, key)) for key in keys)
                    how = keys.get("measure", ()) if isinstance(keys, dict) else ()
                    yield from ((name, key, (section, entry, "measure", key)) for key in how)


HOMES = list(homes())


def test_every_key_of_the_format_is_tried() -> None:
    """The files hold each key that the reader's tables know."""
    named = [*(table for _, table in tables.ENTRY_KINDS.values()), tables.CAUSE, tables.UNIT]
    named += [tables.REPAIR, tables.CASE, tables.MEASURE]
    assert {key for table in named for key in table} - {key for _, key, _ in HOMES} == set()


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Any:
    files = everything()
    return outcome(tmp_path_factory.mktemp("whole"), files)


def test_the_files_are_sound(whole: Any) -> None:
    """What the keys are taken out of can be read."""
    assert not isinstance(whole, str), whole


@pytest.mark.parametrize(
    ("name", "key", "path"), HOMES, ids=[f"{name}:{'/'.join(map(str, p))}" for name, _, p in HOMES]
)
def test_a_key_taken_out_is_noticed(
    name: str, key: str, path: tuple[str, ...], whole: Any, tmp_path: Path
) -> None:
    """Without the key another rulebook is built, or its absence is refused."""
    files = everything()
    holder = files[name]
    for step in path[:-1]:
        holder = holder[step]
    del holder[path[-1]]
    if key not in IGNORED:
        assert whole != outcome(tmp_path, files)


READERS = [
    path
    for path in Path(diag.__file__).parent.rglob("*.py")
    if "model" not in path.parts and (path.parent.name != "build" or path.name == "cases.py")
]
"""Cases are checked against a rulebook that is built already."""
WORKED_OUT = {"Rulebook.strata"}
"""Not written in a file, but what the search for circles finds; tests read it."""


@cache
def read_names() -> set[str]:
    """Return every attribute that is read somewhere outside the model and its builders."""
    found = set()
    for path in READERS:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
                found.add(node.attr)
    return found


@pytest.mark.parametrize("module", [rulebook, unit_data, case, expression, settings, work])
def test_every_field_of_the_model_has_a_reader(module: Any) -> None:
    """What the loader builds is used by something besides the loader."""
    made = [each for each in vars(module).values() if isinstance(each, type) and is_dataclass(each)]
    mine = [each for each in made if each.__module__ == module.__name__]
    unread = {
        f"{each.__name__}.{one.name}"
        for each in mine
        for one in fields(each)
        if one.name not in read_names()
    }
    assert {name for name in unread if not name.startswith("Scales.")} - WORKED_OUT == set()
