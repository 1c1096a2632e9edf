"""Shaking a unit while it runs, and what comes of it."""

from __future__ import annotations

from diag.practice.units import PracticeUnit
from diag.workshop.run.trace import Trace
from diag.workshop.seen import lit_at_the_end
from diag.workshop.visit import ENDED

STEADY_S, SHAKEN_S = 30.0, 60.0
"""How long it burns before it is shaken, and how long it is watched then."""


def shaken(unit: PracticeUnit, part: str | None) -> bool | None:
    """Start a unit and shake a part of it, or everything, while it burns.

    Return whether it went on burning; None where it never burnt.
    """
    visit, world = unit.visit, unit.visit.world
    visit.begin(())
    started = visit.start(after_it_lit_s=STEADY_S)
    if lit_at_the_end(started) < 0.5 or world.phase in ENDED:
        return None
    first, first_event = len(world.moments), len(world.events)
    world.disturb("shake", part)
    world.run(SHAKEN_S)
    after = visit.look(Trace(world.moments[first:]), first_event)
    return lit_at_the_end(after) > 0.5 and after.count("the flame dies") == 0
