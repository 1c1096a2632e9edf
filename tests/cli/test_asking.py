"""What is asked is asked until it can be read, and a list takes its own numbers only."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.cli.guard import WrongUse
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen
from tests.cli.terminals import Lines

TITLES = {"bike": "A bicycle", "trike": "A tricycle", "cart": ""}


def named(text: str) -> str:
    if text in TITLES:
        return text
    raise WrongUse(f"there is no `{text}`")


def picked(*lines: str) -> tuple[str | None, str]:
    out = io.StringIO()
    return pick(Screen(out), Lines(*lines), "Which one?", TITLES, named), out.getvalue()


@given(st.lists(st.text(max_size=6), max_size=8))
def test_the_first_line_that_can_be_read_is_taken(lines: list[str]) -> None:
    """Every line before the first readable one is refused once, and none after it is read."""
    given_lines, refused = iter(lines), list[str]()
    found = ask_until(lambda: next(given_lines, None), float, lambda error: refused.append("no"))
    expected, before = None, 0
    for line in lines:
        try:
            expected = float(line)
            break
        except ValueError:
            before += 1
    assert repr(expected) == repr(found)
    assert before == len(refused)
    assert lines[before + (expected is not None) :] == list(given_lines)


@pytest.mark.parametrize("error", [ValueError, WrongUse])
def test_both_kinds_of_refusal_are_told(error: Callable[[str], Exception]) -> None:
    """What cannot be read and what names nothing are both asked again."""

    def read(text: str) -> str:
        if text == "bad":
            raise error("no such thing")
        return text

    told: list[str] = []
    lines = iter(["bad", "good"])
    assert "good" == ask_until(lambda: next(lines), read, lambda one: told.append(str(one)))
    assert ["no such thing"] == told


@pytest.mark.parametrize(("typed", "name"), [("1", "bike"), (" 3 ", "cart"), ("trike", "trike")])
def test_a_list_takes_its_numbers_and_its_names(typed: str, name: str) -> None:
    """A number from 1 to the last, or a name, picks the entry."""
    assert name == picked(typed)[0]


@pytest.mark.parametrize("typed", ["0", "4", "00000199", "²", "٣", "9" * 10_000])
def test_any_other_number_is_refused_in_a_sentence(typed: str) -> None:
    """A number that is not on the list is never cut to one that is, nor a fault."""
    name, said = picked(typed, "2")
    assert "trike" == name
    assert "type one from 1 to 3, or a name." in " ".join(said.split())


def test_nothing_typed_is_told_what_to_type() -> None:
    """A blank line is no choice; the end of the input and `leave` choose nothing."""
    name, said = picked("", "leave")
    assert name is None
    assert "Type a number from 1 to 3, or a name.\n" in said
    assert picked()[0] is None
