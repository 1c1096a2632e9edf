"""A story of its own: no number of ours looks like a list in which a panel's code is looked up."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from diag.model.quantity import quantity
from diag.rulebook.kinds import marks
from diag.session.candidates import open_findings
from diag.session.journal.events import Answered
from diag.session.result import told_fact
from diag.session.state import SessionState
from tests.cli.commands import leaves
from tests.dangers.shipped import book

HERE = Path(__file__).parents[2]
FACTS = HERE / "tests/rules/test_trade_facts.py"
DEMO = ("rules/cases/demo.yaml", "rules/units/lib-03.yaml", "diag/cli/ask/demo.py")
CASES = sorted([*HERE.glob("rules/cases/*.yaml"), *HERE.glob("tests/rules/held-out/*.yaml")])


def _numbers_of_the_facts() -> set[str]:
    """Return the readings that the test of facts takes, but for the name of the supply."""
    text = FACTS.read_text(encoding="utf-8")
    return set(re.findall(r"volts at rest: ([\d.]+) V", text))


def _codes_of_the_facts() -> set[str]:
    return set(re.findall(r"flash count: (\w+)", FACTS.read_text(encoding="utf-8")))


def _helps() -> Iterator[tuple[str, str]]:
    for finding in book().findings.values():
        yield f"help of {finding.id}", finding.help
    for words, leaf in leaves().items():
        for option in leaf.params:
            yield f"diag {' '.join(words)} {option.name}", getattr(option, "help", None) or ""
        yield f"diag {' '.join(words)}", leaf.help or ""


def _docstrings() -> Iterator[tuple[str, str]]:
    for module in (HERE / "diag").rglob("*.py"):
        tree = ast.parse(module.read_text(encoding="utf-8"))
        for each in ast.walk(tree):
            if isinstance(each, ast.Expr) and isinstance(each.value, ast.Constant):
                yield f"{module.relative_to(HERE)}:{each.lineno}", str(each.value.value)


def test_no_number_of_the_facts_stands_where_users_read() -> None:
    """README, helps, docstrings and the demonstration tell a story of their own."""
    pages = [("README.md", (HERE / "README.md").read_text(encoding="utf-8"))]
    pages += [(page, (HERE / page).read_text(encoding="utf-8")) for page in DEMO]
    numbers = "|".join(re.escape(one).replace(r"\.", "[.,]") for one in _numbers_of_the_facts())
    alone = re.compile(rf"(?<![\d.,])(?:{numbers})(?![\d])")
    assert numbers
    told = [*pages, *_helps(), *_docstrings()]
    assert [] == [where for where, text in told if alone.search(text)]


def test_no_code_of_the_facts_stands_in_a_help_or_the_demonstration() -> None:
    """The code that the facts name is nobody's example."""
    codes = "|".join(_codes_of_the_facts())
    assert codes
    shown = re.compile(rf"`(?:{codes})`|flash count: (?:{codes})\b|codes: \{{(?:{codes}):")
    pages = [(page, (HERE / page).read_text(encoding="utf-8")) for page in ("README.md", *DEMO)]
    pages += [(where, text) for where, text in _helps() if "flash count" in where]
    assert [] == [where for where, text in pages if shown.search(text)]


def test_no_two_cases_tie_a_number_to_the_same_meaning() -> None:
    """What a code means is its own unit's affair: no pair of code and meaning comes twice."""
    pairs = Counter(
        (reading["flash count"], reading["meaning of the code"])
        for path in CASES
        for case in yaml.load(path.read_text(encoding="utf-8"), yaml.CBaseLoader)["cases"].values()
        for reading in (case.get("shows", {}), *case.get("after", {}).values())
        if "meaning of the code" in reading and reading.get("flash count", "0") != "0"
    )
    assert pairs
    assert [] == [pair for pair, times in pairs.items() if times > 1]


@pytest.mark.parametrize("name", sorted(one.id for one in book().findings.values() if one.lettered))
def test_a_list_of_code_meanings_has_letters_in_the_order_of_the_alphabet(name: str) -> None:
    """Letters and not numbers, from a on, in alphabetical order."""
    listed = marks(book().findings[name])
    assert list(listed.values()) == sorted(listed.values())
    assert "".join(listed) == "abcdefghijklmnopqrstuvwxyz"[: len(listed)]


def test_every_list_that_stands_for_a_unit_s_codes_is_lettered() -> None:
    """Where a sign is looked up from a code, the same meanings by hand are listed by letters."""
    meanings = {rule for sign in book().signs.values() if sign.looked_up for rule in [sign.states]}
    coded = [one for one in book().findings.values() if one.states in meanings]
    assert coded
    assert [] == [one.id for one in coded if not one.lettered]


@pytest.mark.parametrize("says_so", [True, False])
def test_what_only_some_heaters_do_is_asked_only_where_their_data_say_so(says_so: bool) -> None:
    """The current of a glow plug that comes on again at shut-down is asked of no other heater."""
    unit = book().units["small 12 V"]
    if says_so:
        unit = replace(unit, data={**unit.data, "shut-down current": quantity(7.7, "A")})
    state = SessionState(book(), unit, "will not shut down")
    state.apply(Answered("lights up", "yes", "seen", check="watch one start"))
    asked = {one.id for one in open_findings(state, book().checks["switch it off"])}
    assert says_so == ("amps in shut-down" in asked)
    assert "amps in cool-down" in asked


@pytest.mark.parametrize("own", [True, False])
def test_what_hangs_on_a_class_value_says_so_when_it_is_judged(own: bool) -> None:
    """A sign judged by a number of the class says so, and by the unit's own number it does not."""
    unit = book().units["small 12 V"]
    assert "ignition current" in unit.assumed
    unit = replace(unit, assumed=unit.assumed - (set(unit.data) if own else set()))
    state = SessionState(book(), unit, "will not start")
    state.apply(Answered("glow plug resistance cold", quantity(3, "ohm"), "measured"))
    told = [told_fact(state, one) for one in state.chain.facts if one.kind == "sign"]
    said = "" if own else " (by a class value)"
    assert f"glow plug resistance: high{said}" in told
