"""What is good for a finding is what the rules that judge it call sound, whatever they are."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.amounts import amount
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.proof.good import what_is_good
from tests.rulebook.lamps import FILES, FORMULAS, write

BREAD = Path(__file__).parents[1] / "books" / "bread"
GRAMS = "{ask: How heavy?, kind: quantity, unit: g, believable: 0 g to 900 g"

TOO_HEAVY = (
    "checks:\n  weigh it: {do: Weigh it., minutes: 1, yields: [weight, frame]}\n"
    "dangers:\n  too heavy: {title: Too heavy, raised when: weight > 2 * frame,\n"
    "    forbids: [drops it], do now: [Put it down.], released when: weight < 2 * frame,\n"
    "    work may go on when: it is lighter}\n"
)


def lamps(rules: str) -> Rulebook:
    """Return the lamp rulebook with one more file."""
    with TemporaryDirectory() as folder:
        write(Path(folder), {**FILES, "more.yaml": f"source: invented\n{rules}"})
        return load_rulebook([Path(folder)], FORMULAS)


def judged(*rules: str, dangers: str = "") -> Rulebook:
    """Return the lamp rulebook with a weight in grams and a sign of it."""
    listed = "".join(f"      - {{{rule}}}\n" for rule in rules)
    return lamps(
        f"findings:\n  weight: {GRAMS}}}\n  frame: {GRAMS}, fixed: yes}}\n"
        "signs:\n  heft:\n    states: [usual, light, heavy]\n    rules:\n" + listed + dangers
    )


def good(book: Rulebook, known: Mapping[str, str] | None = None) -> str | None:
    """Return what is good for the weight of the one unit of the lamp rulebook."""
    read = {name: amount(text) for name, text in (known or {}).items()}
    return what_is_good(book, book.units["LAMP 1"], "weight", read)


@settings(deadline=None, max_examples=20)
@given(st.tuples(st.integers(1, 899), st.integers(1, 899)).filter(lambda two: two[0] < two[1]))
def test_the_ends_are_the_limits_of_the_rules(two: tuple[int, int]) -> None:
    """Between what is too light and what is too heavy, to the gram, however narrow it is."""
    low, high = two
    book = judged(
        f"when: weight < {low} g, then: light",
        f"when: weight > {high} g, then: heavy",
        "when: beam is bright, then: usual",
    )
    assert f"{low} g to {high} g" == good(book)


@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        (("when: weight >= 20 g, then: usual",), "20 g or more"),
        (("when: weight >= 20 g, then: heavy",), "less than 20 g"),
        (("when: weight > 20 g, then: usual",), "more than 20 g"),
        (("when: weight > 20 g, then: heavy",), "20 g or less"),
        (("when: weight > 20.04 g, then: usual",), "20.1 g or more"),
        (("when: weight > 20.04 g, then: heavy",), "20 g or less"),
        (("when: weight > 20 g and beam is dark, then: heavy",), None),
        (("when: weight > 20 g and beam is bright, then: heavy",), "20 g or less"),
        (("when: weight > frame + 5 g, then: heavy",), None),
        (("when: beam is dark, then: heavy",), None),
    ],
)
def test_a_limit_is_told_as_it_is_meant(rules: tuple[str, ...], expected: str | None) -> None:
    """Open or closed as the rule says, rounded inwards, with all else as it should be."""
    assert expected == good(judged(*rules))


def test_what_was_read_counts_where_it_is_good() -> None:
    """A fact of the unit sets the limit; a number that is bad itself sets none."""
    book = judged("when: weight > frame + 5 g, then: heavy", "when: frame > 50 g, then: heavy")
    assert "45 g or less" == good(book, {"frame": "40 g"})
    of_frame = lamps(
        f"findings:\n  weight: {GRAMS}}}\n  shade: {GRAMS}}}\n"
        "signs:\n  heft:\n    states: [usual, heavy]\n    rules:\n"
        "      - {when: weight > shade + 5 g, then: heavy}\n"
        "  shading:\n    states: [usual, heavy]\n    rules:\n"
        "      - {when: shade > 50 g, then: heavy}\n"
    )
    assert "45 g or less" == good(of_frame, {"shade": "40 g"})
    assert None is good(of_frame, {"shade": "60 g"})


def test_below_a_danger_is_not_good_yet() -> None:
    """Where nothing but a danger judges a number, no limit is told."""
    danger = TOO_HEAVY.replace("2 * frame", "80 g")
    assert None is good(judged("when: beam is dark, then: light", dangers=danger))
    assert "10 g to 80 g" == good(judged("when: weight < 10 g, then: light", dangers=danger))


def test_a_danger_whose_limit_hangs_on_another_reading_leaves_nothing_said() -> None:
    """Rather than the harmless half of a limit, nothing is told."""
    book = judged("when: weight < 10 g, then: light", dangers=TOO_HEAVY)
    assert None is good(book)
    assert "10 g to 80 g" == good(book, {"frame": "40 g"})


@cache
def bread() -> Rulebook:
    return load_rulebook([BREAD], {})


@pytest.mark.parametrize(
    ("finding", "expected"),
    [
        ("scales with a litre", "960 g to 1040 g"),
        ("froth", "10 mm or more"),
        ("water temperature", "50 C or less"),
        ("oven reading", "200 C to 240 C"),
        ("dough at first", None),
        ("skin", "smooth and moist"),
    ],
)
def test_another_subject_is_told_by_its_own_rules(finding: str, expected: str | None) -> None:
    """By hand from the rules of the bread book; its oven is to be 220 C, give or take 20 K."""
    book = bread()
    unit = next(iter(book.units.values()))
    assert "220 C" == str(unit.data["oven temperature"])
    network = CompiledRulebook.of(book, unit).network
    assert expected == what_is_good(book, unit, finding)
    assert expected == what_is_good(book, unit, finding, network=network)
