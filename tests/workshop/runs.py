"""Runs of units that several tests look at, made once for each worker."""

from __future__ import annotations

from functools import cache
from random import Random

from diag.workshop import Fault, World
from tests.workshop.shipped import small

START_S = 400.0


@cache
def sound_run() -> World:
    """Run a sound unit: started, ten minutes, switched off, left to cool."""
    world = World(small(), Random(1))
    world.run(5.0)
    world.start()
    world.run(900.0)
    world.switch_off()
    world.run(300.0)
    return world


@cache
def faulty_run(*faults: Fault, seconds: float = START_S) -> World:
    """Start a unit with faults in it, and run it for a time (s)."""
    world = World(small(), Random(1), faults)
    world.run(5.0)
    world.start()
    world.run(seconds)
    return world
