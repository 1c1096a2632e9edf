"""STOP stands out on any ground, with colour and without, and colours read on black and white."""

from __future__ import annotations

import io

import pytest
from rich.color import Color
from rich.style import Style

from diag.cli.terminal import screen as terminal_screen
from diag.cli.terminal.screen import ALARM, BOLD, REVERSED, Screen
from tests.cli.terminals import terminal, widest

BLACK, WHITE = (0, 0, 0), (255, 255, 255)
TEXT_LEAST, SHAPE_LEAST = 4.5, 3.0
"""Least contrast of text (WCAG 2.2, success criterion 1.4.3) and of shapes (1.4.11)."""

Rgb = tuple[int, int, int]


def luminance(colour: Rgb) -> float:
    """Return the relative luminance as WCAG 2.2 defines it."""
    parts = [each / 255 for each in colour]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Rgb, other: Rgb) -> float:
    """Return the contrast ratio as WCAG 2.2 defines it, 1 to 21."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def rgb(colour: Color) -> Rgb:
    triplet = colour.get_truecolor()
    return triplet.red, triplet.green, triplet.blue


def test_the_formula_of_contrast() -> None:
    """Black on white is 21, and #767676 the lightest grey that reads on white, 4.54 (WCAG 2)."""
    assert 21.0 == pytest.approx(contrast(BLACK, WHITE))
    assert 4.54 == pytest.approx(contrast((0x76, 0x76, 0x76), WHITE), abs=0.005)


def test_the_alarm_reads_on_a_ground_of_its_own() -> None:
    """Its text reads on the ground it brings, and that ground stands out from black and white."""
    style = Style.parse(ALARM)
    assert style.color
    assert style.bgcolor
    ground = rgb(style.bgcolor)
    assert contrast(rgb(style.color), ground) >= TEXT_LEAST
    assert min(contrast(ground, BLACK), contrast(ground, WHITE)) >= SHAPE_LEAST


@pytest.mark.parametrize("style", [BOLD, REVERSED])
def test_no_other_style_has_a_colour(style: str) -> None:
    """What has no ground of its own takes the terminal's colours, whatever those are."""
    parsed = Style.parse(style)
    assert (None, None) == (parsed.color, parsed.bgcolor)


def test_every_style_is_judged_here() -> None:
    """No style stands in the code of the screen beside those of this page."""
    named = {value for name, value in vars(terminal_screen).items() if name.isupper()}
    assert {BOLD, ALARM, REVERSED} == {one for one in named if "bold" in str(one)}


def alarm(columns: int, plain: bool = False) -> str:
    with terminal(columns) as out:
        Screen(out, plain=plain).heading("STOP: Carbon monoxide", alarm=True)
    return out.getvalue()


@pytest.mark.parametrize("columns", [40, 80, 120, 200])
def test_the_alarm_is_a_block_without_colour_too(columns: int) -> None:
    """It spans the terminal, framed on all sides, and no other heading looks like it."""
    above, edge, text, below = alarm(columns).splitlines()
    assert ("", "!" * (columns - 1)) == (above, edge)
    assert edge == below
    assert ("!! STOP: Carbon monoxide", "!!") == (text[:-2].rstrip(), text[-2:])
    assert columns - 1 == widest(alarm(columns))


def test_a_pipe_and_plain_mark_both_ends() -> None:
    """Without drawing it is one line that begins and ends with its mark, free of escapes."""
    out = io.StringIO()
    Screen(out).heading("STOP: Carbon monoxide", alarm=True)
    expected = "\n!! STOP: Carbon monoxide !!\n"
    assert (expected, expected) == (out.getvalue(), alarm(80, plain=True))


@pytest.mark.parametrize(("term", "code"), [("xterm-256color", "48;5;160"), ("xterm", "\x1b[1;7m")])
def test_colour_where_the_terminal_says_that_it_has_it(
    term: str, code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A terminal of few colours gets the block reversed: its own two colours, changed over."""
    with terminal(80, term) as out:
        monkeypatch.delenv("NO_COLOR")
        monkeypatch.delenv("COLORTERM", raising=False)
        Screen(out).heading("STOP: Carbon monoxide", alarm=True)
    assert code in out.getvalue()
