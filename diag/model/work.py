"""What work takes: a repair, how a reading is taken, and the place with what is there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import field
from typing import TYPE_CHECKING

from diag.model.expression import Condition
from diag.model.frozen import frozen
from diag.model.problem import Place
from diag.model.unit_data import NOWHERE

if TYPE_CHECKING:
    from diag.model.rulebook import Check


@frozen
class Repair:
    """What to do about a cause; parts count in minutes of the shop's time."""

    do: tuple[str, ...]
    minutes: float
    parts: Mapping[str, float] = field(default_factory=dict)
    waits: float = 0.0
    """Minutes beyond, in which nobody need be there."""
    access: str = "ask"
    there: tuple[str, ...] = ()
    """Who or what must be there for it, as profiles have it."""
    needs: tuple[str, ...] = ()
    acts: tuple[str, ...] = ()
    """What making it does to the unit; a danger may forbid it."""
    licensed: str = ""
    """Who may do this work, where that is not anybody's."""
    mends_as_well: tuple[str, ...] = ()
    """Other causes that go with it, as all faults of a part that is renewed."""

    @property
    def cost(self) -> float:
        """Return minutes, with the parts turned into minutes."""
        return self.minutes + sum(self.parts.values())


@frozen
class SharedRun:
    """An act that checks share: what is read in one is had at the price of one."""

    id: str
    minutes: float
    """What it takes by itself, as part of the minutes of each check that shares it."""
    in_order: tuple[str, ...] = ()
    """Findings in the order in which they come; the others come after them."""
    each_more: float = 0.0
    """Minutes that it costs beyond its own for each one made before: a stock runs down."""
    at_most: str = ""
    """The unit datum that says how many there are; from the last on the next cost twice that."""
    used_up: str = ""
    """What to do before another one, once as many were made as there are."""


@frozen
class Workplace:
    """A place to work at, by what is within reach there."""

    id: str
    title: str
    reaches: tuple[str, ...]
    """Words of the scale `access` that are within reach."""
    there: tuple[str, ...] = ()
    """Who and what is there, as far as checks ask for it."""
    tools: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    """Lines by which people say that they are there."""
    by_word: bool = False
    """True where nobody of the trade is there: all that is read is told, and others go on."""
    place: Place = NOWHERE

    def lacks(self, check: Check) -> frozenset[str]:
        """Return what is wanted for any reading of a check and is not here."""
        tools = set(check.tools) - check.needed_for.keys() - set(self.tools)
        access = {check.access} - set(self.reaches)
        return frozenset(tools | access | (set(check.there) - set(self.there)))

    def reads(self, check: Check, finding: str) -> bool:
        """Tell whether a reading of a check can be had here."""
        missing = check.needed_for.keys() - set(self.tools)
        wanted = any(finding in check.needed_for[tool] for tool in missing)
        return not wanted and not self.lacks(check)


def most_wanted(here: Workplace, checks: Iterable[Check]) -> str:
    """Return the one thing that would bring most checks within reach; empty where none does."""
    lacks = [here.lacks(check) for check in checks]
    counts = Counter(name for one in lacks if len(one) == 1 for name in one)
    return max(counts, key=lambda name: (counts[name], name), default="")


WIDEST_DRAWING = 38
TALLEST_DRAWING = 12
"""Columns and lines of a drawing, so that it fits a small terminal."""


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

    @property
    def texts(self) -> tuple[str, ...]:
        """Return all that is said of it, in the order in which it is told."""
        texts = (self.tool, self.where, self.in_words, self.when, self.good, *self.mistakes)
        return tuple(text for text in texts if text)
