"""The world's files as they are shipped, read once for each worker."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

from diag.practice.world import WorldFiles, read_world
from diag.workshop import Heater
from diag.workshop.data import faults, findings
from diag.workshop.data.repairs import Put
from diag.workshop.draw import ClassNumbers

FOLDER = Path(__file__).parents[2] / "rules" / "workshop"


@cache
def shipped_world() -> WorldFiles:
    """Read the shipped files; none of them is a mistake."""
    return read_world(FOLDER)


def classes() -> Mapping[str, ClassNumbers]:
    """Give the numbers of each class."""
    return shipped_world().classes


def new_units() -> Mapping[str, Heater]:
    """Give a sound unit of each class, as its numbers say."""
    return shipped_world().units


def small() -> Heater:
    """Give a sound unit of 2 kW on 12 V."""
    return new_units()["small 12 V"]


def shipped_faults() -> Mapping[str, faults.FaultEntry]:
    """Give all faults."""
    return shipped_world().faults


def shipped_findings() -> Mapping[str, findings.FindingReads]:
    """Give what every finding reads that physics can tell."""
    return shipped_world().findings


def shipped_untold() -> Mapping[str, str]:
    """Give the findings that nothing in the world tells, with what is answered."""
    return shipped_world().untold


def shipped_repairs() -> Mapping[str, Sequence[Put]]:
    """Give what the repair of each cause does."""
    return shipped_world().repairs
