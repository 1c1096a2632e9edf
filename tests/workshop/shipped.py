"""The world's files as they are shipped, read once for each worker."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

from diag.model.problem import DataEntry, DataTable
from diag.rulebook import read_entries
from diag.workshop import CLASSES, Heater, heater_of
from diag.workshop.data import faults, findings, repairs
from diag.workshop.data.repairs import Put
from diag.workshop.visit import ACTS

FOLDER = Path(__file__).parents[2] / "rules" / "workshop"


@cache
def new_units() -> Mapping[str, Heater]:
    """Give a sound unit of each class, as its numbers say."""
    return {name: heater_of(numbers) for name, numbers in CLASSES.items()}


def entries(name: str, section: str, table: DataTable) -> Mapping[str, DataEntry]:
    """Read a file or folder of the world's data."""
    return read_entries(FOLDER / name, section, table)


@cache
def shipped_faults() -> Mapping[str, faults.FaultEntry]:
    """Give all faults; none of them is a mistake."""
    found, problems = faults.faults_of(entries("faults", "faults", faults.TABLE), new_units())
    assert () == problems
    return found


@cache
def shipped_findings() -> Mapping[str, findings.FindingReads]:
    """Give what every finding reads that physics can tell."""
    found, problems = findings.findings_of(entries("findings", "findings", findings.TABLE), ACTS)
    assert () == problems
    return found


@cache
def shipped_untold() -> Mapping[str, str]:
    """Give the findings that nothing in the world tells, with what is answered."""
    read = entries("untold.yaml", "untold", findings.UNTOLD)
    return {name: entry.values["answer"] for name, entry in read.items()}


@cache
def shipped_repairs() -> Mapping[str, Sequence[Put]]:
    """Give what the repair of each cause does."""
    found, problems = repairs.repairs_of(entries("repairs.yaml", "repairs", repairs.TABLE))
    assert () == problems
    return found
