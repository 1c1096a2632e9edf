"""STOP stands out on any ground, with colour and without, and colours read on black and white."""

from __future__ import annotations

import io
import re

import pytest
from rich.color import Color
from rich.style import Style

from diag.cli.terminal import screen as terminal_screen
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import ALARM, BOLD, REVERSED, Screen
from tests.cli.terminals import terminal, widest

BLACK, WHITE = (0, 0, 0), (255, 255, 255)
TEXT_LEAST, SHAPE_LEAST = 4.5, 3.0
"""Least contrast of text (WCAG 2.2, success criterion 1.4.3) and of shapes (1.4.11)."""

GROUNDS = {
    "xterm's black": (0, 0, 0),
    "xterm's blue": (0, 0, 238),
    "xterm's grey": (229, 229, 229),
    "xterm's dark grey": (127, 127, 127),
    "xterm's white": (255, 255, 255),
    "near black": (30, 30, 30),
    "blue-green black, as of soft dark themes": (0, 43, 54),
    "grey blue, as of soft dark themes": (46, 52, 64),
    "cream, as of soft light themes": (253, 246, 227),
}
"""What people's terminals stand on: some of the 16 colours of xterm, and themes; from memory."""
OURS = {"0", "1", "7", "38;5;231", "48;5;160"}
"""All that an escape of ours sets: bold, reversed, white and red of the fixed cube of 256 colours.

None of the first 16 is among them, since what those look like is for each terminal's owner to say.
"""

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


@pytest.mark.parametrize("name", GROUNDS)
def test_the_alarm_stands_out_of_any_ground(name: str) -> None:
    """Its ground or, where that is near the terminal's own, its frame of marks stands out."""
    style = Style.parse(ALARM)
    assert style.color
    assert style.bgcolor
    block, frame = (contrast(rgb(one), GROUNDS[name]) for one in (style.bgcolor, style.color))
    assert max(block, frame) >= SHAPE_LEAST


def test_the_colours_of_the_cube_are_those_of_its_formula() -> None:
    """Of 256 colours number 16 + 36 r + 6 g + b has steps of 0 and 95 to 255 by 40 (xterm)."""
    steps = (0, 95, 135, 175, 215, 255)
    red, white = divmod(160 - 16, 36), divmod(231 - 16, 36)
    assert (steps[red[0]], 0, 0) == rgb(Color.parse("color(160)"))
    assert (steps[white[0]],) * 3 == rgb(Color.parse("color(231)"))


def test_no_escape_sets_a_colour_of_the_terminals_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Headings, STOP and work under way set what is judged here, and nothing else."""
    with terminal(80, "xterm-256color") as out:
        monkeypatch.delenv("NO_COLOR")
        screen = Screen()
        screen.heading("Title")
        screen.heading("STOP: Carbon monoxide", alarm=True)
        screen.say("What does the panel do?", bold=True)
        with progress("Working it out") as step:
            step(0.5)
    codes = {
        code for found in re.findall(r"\x1b\[([\d;]*)m", out.getvalue()) for code in parts(found)
    }
    assert codes <= OURS
    assert {"1", "38;5;231", "48;5;160"} <= codes


def parts(codes: str) -> list[str]:
    """Return what one escape sets, a colour by its number as one."""
    return re.findall(r"[34]8;5;\d+|\d+", codes)


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
