"""The pictures in the README show what the program shows, and fetch nothing."""

from __future__ import annotations

import re

import pytest

from tests.pictures.draw import COLUMNS, HERE, PICTURES, drawn, plain, screen, text_of


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_says_what_the_screen_says(name: str) -> None:
    """The same lines typed again bring, letter by letter, the text of the picture.

    Where that has changed, `python -m tests.pictures.draw` draws it anew: then look at it.
    """
    svg = (HERE / f"{name}.svg").read_text(encoding="utf-8")
    shown = plain(screen(PICTURES[name]))
    assert [line for line in shown if line] == [line for line in text_of(svg) if line]
    assert max(map(len, shown)) < COLUMNS


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_fetches_nothing(name: str) -> None:
    """No font, image, script or style comes from anywhere else."""
    svg = (HERE / f"{name}.svg").read_text(encoding="utf-8")
    assert ["http://www.w3.org/2000/svg"] == re.findall(r"https?:[^\"' )]*", svg)
    assert [] == re.findall(r"@font-face|@import|<script|<image|href|url\((?!#)", svg)


def test_the_text_of_a_picture_is_read_as_it_stands() -> None:
    """Blanks, bold parts and signs that mark-up takes come back from a drawing."""
    assert ["a  <b> & c", "  12 %"] == text_of(drawn("a  \x1b[1m<b>\x1b[0m & c\n  12 %"))
