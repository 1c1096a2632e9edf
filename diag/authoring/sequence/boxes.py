"""A sheet to write on: the steps of a fault sequence, with a numbered box for each reading."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from diag.authoring.sequence.sheet import FaultSheet, SheetStep, fault_sheet
from diag.model.expression import names_in
from diag.model.rulebook import Check, Finding, Rulebook, UnitData
from diag.session.proof.good import what_is_good

LABELS = {
    "customer": "Customer",
    "vehicle": "Vehicle",
    "tag": "Tag of the heater",
    "serial": "Serial number",
}
"""What a sheet has room for above its boxes: whose heater it is, and which."""
MARK_LETTERS = 7


@dataclass(frozen=True, slots=True)
class Box:
    """Room for one reading, or for two where it is read again after the repair."""

    number: int
    finding: Finding
    good: str
    """What it reads when all is well, in words; empty where the rules set no limit."""
    after: bool
    """Whether it is read again in the run after a repair."""


@dataclass(frozen=True, slots=True)
class BoxedStep:
    """One check with its boxes; `proof` where it only proves, after a repair."""

    step: SheetStep | None
    boxes: tuple[Box, ...]

    @property
    def check(self) -> Check | None:
        """Return the check, None where the boxes are those of the run after a repair."""
        return self.step.check if self.step else None

    @property
    def as_one(self) -> bool:
        """Tell whether all its boxes are one question: which of these are true."""
        return bool(self.check and self.check.together) and len(self.boxes) > 1


@dataclass(frozen=True, slots=True)
class BenchSheet:
    """The boxes of one complaint on one unit, in the order in which they are filled in."""

    sheet: FaultSheet
    mark: str
    """What tells this sheet from one that other rules would print."""
    steps: tuple[BoxedStep, ...]
    proof: BoxedStep
    """What is read only in the run after a repair."""

    @property
    def boxes(self) -> tuple[Box, ...]:
        """Return all boxes by number."""
        return tuple(box for one in (*self.steps, self.proof) for box in one.boxes)


def bench_sheet(
    rulebook: Rulebook,
    unit: UnitData,
    complaint: str,
    progress: Callable[[float], None] = lambda _: None,
) -> BenchSheet:
    """Work out the sheet to write on; the same rules, unit and complaint give the same boxes.

    `progress` is told the share done, 0 to 1. Raises `KeyError` for an unknown complaint.
    """
    sheet = fault_sheet(rulebook, unit, complaint, progress=progress)
    proof = _proving(rulebook, complaint)
    steps, number = list[BoxedStep](), 0
    for step in (*sheet.first, *sheet.steps):
        boxes = tuple(_boxes(rulebook, unit, step.asked, proof, number))
        steps.append(BoxedStep(step, boxes))
        number += len(boxes)
    read = {box.finding.id for one in steps for box in one.boxes}
    left = tuple(name for name in proof if name not in read)
    run = BoxedStep(None, tuple(_boxes(rulebook, unit, left, proof, number)))
    return BenchSheet(sheet, rulebook.hash[:MARK_LETTERS], tuple(steps), run)


def _proving(rulebook: Rulebook, complaint: str) -> tuple[str, ...]:
    """Return the findings that a complaint's proof names."""
    named = names_in(*(one.condition for one in rulebook.complaints[complaint].proof))
    return tuple(name for name in named if name in rulebook.findings)


def _boxes(
    rulebook: Rulebook, unit: UnitData, names: tuple[str, ...], proof: tuple[str, ...], before: int
) -> Iterator[Box]:
    for number, name in enumerate(names, before + 1):
        finding = rulebook.findings[name]
        good = "" if finding.choices else what_is_good(rulebook, unit, name) or ""
        again = name in proof or (finding.how == "measured" and not finding.fixed)
        yield Box(number, finding, good, again)
