"""How a reading is taken, for somebody who never took one, and what usually goes wrong with it."""

from __future__ import annotations

from diag.model.expression import Condition
from diag.model.frozen import frozen


@frozen
class UsualSlip:
    """A usual mistake with a reading: when the answer looks so, say this."""

    when: Condition
    say: str


@frozen
class Measure:
    """How one finding is measured. What is good is worked out from the rules, and not kept here."""

    tool: str
    """With what, and on which range of it."""
    where: str
    """Which part of it goes where."""
    when: str
    """At what moment, and for how long."""
    mistakes: tuple[str, ...]
    good: str = ""
    """What to expect, in words; no limit that a rule holds already."""
    drawing: tuple[str, ...] = ()
    """Lines of plain ASCII, at most `WIDEST_DRAWING` wide."""
    in_words: str = ""
    """The same as the drawing shows, for those to whom it is not shown."""


WIDEST_DRAWING = 38
TALLEST_DRAWING = 12
"""Columns and lines of a drawing, so that it fits a small terminal."""
