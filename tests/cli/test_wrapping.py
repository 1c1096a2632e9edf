"""Text is laid out in cells: nothing is lost, no line is too wide, words stay whole."""

from __future__ import annotations

import io
import os
import textwrap

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.terminal.screen import Screen
from diag.cli.terminal.wrapping import columns, labelled, outlined, wrap
from diag.model.phrasing import printable
from tests.cli.terminals import taken, terminal, texts, widest, widths


def letters(text: str) -> str:
    """Return a text without its blanks."""
    return "".join(text.split())


@settings(max_examples=50)
@given(texts, widths)
def test_a_paragraph_keeps_all_its_letters_within_the_width(text: str, width: int) -> None:
    """Every letter comes out once, in order, on lines of at most the width."""
    clean = printable(text)
    lines = wrap(clean, width, "* ", "  ")
    assert letters("* " + clean) == letters("".join(lines))
    assert max(map(taken, lines)) <= width


@settings(max_examples=50)
@given(st.lists(st.text("abc-,.", min_size=1, max_size=30), min_size=1), widths)
def test_plain_words_are_wrapped_as_the_standard_library_does(words: list[str], width: int) -> None:
    """Python's textwrap, told not to break at hyphens, gives the same lines."""
    text = " ".join(words)
    assert textwrap.wrap(text, width, break_on_hyphens=False) == wrap(text, width)


@settings(max_examples=50)
@given(st.lists(st.tuples(st.integers(0, 9999), st.sampled_from(["V", "mm2", "%", "°C"]))), widths)
def test_a_number_keeps_its_unit_beside_it(amounts: list[tuple[int, str]], width: int) -> None:
    """No line begins with a unit."""
    text = ", ".join(f"it is {number} {unit}" for number, unit in amounts)
    for line in wrap(text, width):
        assert not line.startswith(("V", "mm2", "%", "°C"))


@settings(max_examples=50)
@given(st.integers(1, 5), st.data(), widths)
def test_columns_fit_whatever_stands_in_them(count: int, data: st.DataObject, width: int) -> None:
    """Rows of any texts keep their letters, and no line is wider than the terminal."""
    rows = data.draw(st.lists(st.tuples(*[texts.map(printable)] * count), max_size=4))
    lines = columns(rows, width)
    assert letters("".join("".join(row) for row in rows)) == letters("".join(lines))
    assert all("\n" not in line for line in lines)
    assert max(map(taken, lines), default=0) <= width


@settings(max_examples=50)
@given(texts, texts, widths, st.integers(0, 20))
def test_a_label_and_an_outline_fit(label: str, text: str, width: int, column: int) -> None:
    """So do labelled lines, and lines that bring their own indent and list mark."""
    lines = labelled(printable(label), printable(text), width, 2, column)
    lines += outlined(" " * column * 8 + "- " + printable(text), width)
    assert all("\n" not in line for line in lines)
    assert max(map(taken, lines)) <= width


def test_columns_stand_below_one_another_in_cells() -> None:
    """A wide letter takes two cells of its column, a combining mark none."""
    lines = columns([("暖", "a"), ("e\u0301", "b"), ("long", "c")], 40)
    assert [8, 8, 8] == [taken(line[:-1]) for line in lines]


def test_many_blanks_take_no_time() -> None:
    """A hundred thousand blanks are passed over at once (quadratic patterns took a minute)."""
    assert ["a b"] == wrap("a b" + " " * 100_000, 40)
    assert 2 == len(wrap("a" + " " * 100_000 + "b", 40))


@settings(max_examples=50)
@given(texts, widths)
def test_no_escape_gets_through_and_no_markup_is_read(text: str, width: int) -> None:
    """What a screen is given comes out as it stands, with its control codes written out."""
    with terminal(width) as out:
        screen = Screen()
        screen.say(text, indent=4, bold=True)
        screen.heading(text, alarm=True)
        screen.item(text, text)
        screen.table([(text, text), ("", text)])
        screen.outline(f"  - {text}")
        screen.document(f"# {text}")
    assert widest(out.getvalue()) < width
    assert "\x1b" not in out.getvalue()
    assert text.count("[red]") * 8 <= letters(out.getvalue()).count("[red]")


def test_the_width_is_asked_for_at_each_write() -> None:
    """A terminal that is made wider while a command runs is used in full from then on."""
    with terminal(40) as out:
        screen = Screen()
        screen.say("word " * 60)
        narrow = widest(out.getvalue())
        os.environ["COLUMNS"] = "120"
        screen.say("word " * 60)
    assert narrow < 40 < 100 < widest(out.getvalue()) < 120


def test_style_is_for_terminals_that_want_it() -> None:
    """Bold only on a terminal, and not with --plain, NO_COLOR or TERM=dumb."""

    def said(plain: bool = False, **environment: str) -> str:
        with terminal(80) as out:
            del os.environ["NO_COLOR"]
            os.environ |= environment
            Screen(plain=plain).heading("Title")
        return out.getvalue()

    assert "\x1b[1m-- Title" in said()
    assert "\x1b" not in said(NO_COLOR="1") + said(TERM="dumb") + said(plain=True)
    assert "\nTitle\n" == said(plain=True)


def test_a_pipe_gets_80_columns_and_no_drawing(monkeypatch: pytest.MonkeyPatch) -> None:
    """However wide the terminal is said to be, a pipe gets plain lines of less than 80 columns."""
    monkeypatch.setenv("COLUMNS", "200")
    out = io.StringIO()
    Screen(out).heading("Title")
    Screen(out).say("word " * 60)
    assert out.getvalue().startswith("\nTitle\nword")
    assert 70 < widest(out.getvalue()) < 80
