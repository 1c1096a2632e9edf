"""The rules and the world as they are shipped, and drills made of them, for the tests."""

from __future__ import annotations

from functools import cache

from diag.cli.drill.setting import Setting, drill_of
from diag.cli.places import shipped_rules
from diag.library.rules import load_rules
from diag.physics.formulas.catalogue import FORMULAS
from diag.practice.drill.drill import Drill
from diag.practice.drill.levels import LEVELS
from diag.practice.drill.outcome import DeedOutcome
from diag.practice.drill.spoken import BenchEar
from tests.workshop.shipped import shipped_world


@cache
def shipped() -> Setting:
    """Read the shipped rules and world, without any of the user's own."""
    return Setting(load_rules(shipped_rules(), formulas=FORMULAS), shipped_world(), "shipped")


@cache
def ear() -> BenchEar:
    """Give the ear of the shipped rules."""
    return BenchEar(shipped().book, shipped().files)


def drill(fault: str, level: int = 2, number: int = 1) -> Drill:
    """Begin a drill with a fault."""
    return drill_of(shipped(), LEVELS[level], fault, (3, number))


def typed(of: Drill, *lines: str) -> list[DeedOutcome]:
    """Type lines, each of which is a deed; return what came of each."""
    return [of.do(ear().hear(line)) for line in lines]
