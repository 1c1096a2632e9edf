"""The world's files beside the rules, read whole: numbers, faults, findings, repairs, untold."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path

from diag.model.amounts import excerpt
from diag.model.frozen import frozen
from diag.model.problem import DataEntry, DataTable, Place, Problem, ProblemsFound
from diag.model.problem import Path as Way
from diag.model.rulebook import Rulebook
from diag.rulebook import parse_answer, read_entries
from diag.workshop import Heater, WorkshopError, heater_of
from diag.workshop.data import faults, findings, numbers, repairs
from diag.workshop.draw import ClassNumbers
from diag.workshop.visit import ACTS


@frozen
class WorldFiles:
    """Hold what the files of a world say, by name."""

    classes: Mapping[str, ClassNumbers]
    units: Mapping[str, Heater]
    """A sound unit of each class, as its numbers say."""
    faults: Mapping[str, faults.FaultEntry]
    findings: Mapping[str, findings.FindingReads]
    repairs: Mapping[str, Sequence[repairs.Put]]
    untold: Mapping[str, str]

    def renewed(self, causes: Iterable[str]) -> frozenset[str]:
        """Return the parts that the repair of one of these causes renews."""
        puts = (put for name in causes for put in self.repairs.get(name, ()))
        return frozenset(part for part, quantity, _ in puts if not quantity)


Entries = Mapping[str, DataEntry]

_SECTIONS: Mapping[str, tuple[str, DataTable]] = {
    "numbers": ("numbers", numbers.TABLE),
    "faults": ("faults", faults.TABLE),
    "findings": ("findings", findings.TABLE),
    "repairs": ("repairs.yaml", repairs.TABLE),
    "untold": ("untold.yaml", findings.UNTOLD),
}
"""What is read, from which file or folder, by which table."""


def read_world(folder: Path, book: Rulebook | None = None) -> WorldFiles:
    """Read a folder of the world's files; with a rulebook their names are looked up in it.

    Raises `ProblemsFound` with every problem of every file, sorted by place.
    """
    problems = list[Problem]()
    read: dict[str, Entries] = {}
    for section, (name, table) in _SECTIONS.items():
        try:
            read[section] = read_entries(folder / name, section, table)
        except ProblemsFound as error:
            read[section] = {}
            problems += error.problems
    classes, wrong_numbers = _classes(folder, read["numbers"])
    units = {name: heater_of(each) for name, each in classes.items()}
    causes = book.causes if book else None
    made_faults, wrong_faults = faults.faults_of(read["faults"], units, causes)
    made_findings, wrong_findings = findings.findings_of(read["findings"], ACTS)
    made_repairs, wrong_repairs = repairs.repairs_of(read["repairs"])
    problems += (*wrong_numbers, *wrong_findings, *wrong_repairs)
    # Without numbers there is no unit to try a fault on: what is wrong with them comes first.
    problems += wrong_faults if units else ()
    if book is not None:
        problems += _looked_up(read, book)
        problems += _mute(made_findings, read["findings"], book)
    if problems:
        raise ProblemsFound(tuple(sorted(set(problems))))
    answers = {name: entry.values["answer"] for name, entry in read["untold"].items()}
    return WorldFiles(classes, units, made_faults, made_findings, made_repairs, answers)


def _looked_up(read: Mapping[str, Entries], book: Rulebook) -> Iterator[Problem]:
    """Yield names that the rules have not, and answers that are none."""
    untold = read["untold"]
    yield from _unknown(read["repairs"], "cause", book.causes)
    yield from _unknown({**read["findings"], **untold}, "finding", book.findings)
    for name in untold.keys() & book.findings.keys():
        told = (name, untold[name].values["answer"])
        yield from _unanswered(untold[name], ("answer",), told, book)
    for fault in read["faults"].values():
        for told in fault.values.get("told", {}).items():
            yield from _unanswered(fault, ("told", told[0]), told, book)


def _classes(
    folder: Path, entries: Entries
) -> tuple[Mapping[str, ClassNumbers], Sequence[Problem]]:
    """Make the numbers of each class; what is missing has no line, so it is told of the folder."""
    if not entries:
        return {}, ()
    try:
        return numbers.classes_of(entries)
    except WorkshopError as error:
        return {}, [Problem(Place(str(folder / "numbers")), str(error))]


def _unknown(entries: Entries, what: str, known: Collection[str]) -> Iterator[Problem]:
    for name, entry in entries.items():
        if name not in known:
            found = get_close_matches(name, sorted(known), n=3)
            advice = f"did you mean {' or '.join(f'`{each}`' for each in found)}?" if found else ""
            yield entry.problem((), f"there is no {what} `{excerpt(name)}` in the rules", advice)


def _mute(
    made: Mapping[str, findings.FindingReads], entries: Entries, book: Rulebook
) -> Iterator[Problem]:
    """Yield looks that tell a state that their finding has not."""
    for name, told in made.items():
        if name in book.findings and isinstance(told, findings.LookedFinding):
            for state in sorted(told.states - set(book.findings[name].states)):
                states = ", ".join(book.findings[name].states)
                message = f"`{name}` has no state `{excerpt(state)}`: expected one of {states}"
                yield entries[name].problem((), message)


def _unanswered(
    entry: DataEntry, way: Way, told: tuple[str, str], book: Rulebook
) -> Iterator[Problem]:
    """Yield what is no answer to the finding that it is told for."""
    name, answer = told
    if name not in book.findings:
        yield entry.problem(way, f"there is no finding `{excerpt(name)}` in the rules")
        return
    try:
        parse_answer(answer, book.findings[name])
    except ValueError as error:
        yield entry.problem(way, str(error))
