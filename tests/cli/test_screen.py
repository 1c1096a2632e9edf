"""What is written keeps to the width of the screen."""

from __future__ import annotations

import io

import pytest

from diag.cli.terminal.screen import Screen

LONG = "measure the lamp in place (5 min; cover off; multimeter; needs lamp cold, power off)"


@pytest.mark.parametrize("text", ["short", "x" * 76, LONG, LONG * 3])
@pytest.mark.parametrize("plain", [True, False])
def test_a_heading_is_broken_between_words(text: str, plain: bool) -> None:
    """A heading of any length stays within 79 columns and keeps all its words."""
    out = io.StringIO()
    Screen(out, plain=plain).heading(text)
    lines = out.getvalue().split("\n")
    assert max(map(len, lines)) <= 79
    words = out.getvalue().replace("--", " ").replace("- ", " ").split()
    assert text.split() == [word for word in words if word.strip("-")]
