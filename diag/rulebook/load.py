"""Folders, files and texts to rulebooks, cases, units and readings, or all that is wrong."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from diag.model.expression import Condition, Formula
from diag.model.problem import Place, Problem, ProblemsFound
from diag.model.rulebook import Rulebook, UnitData, Value
from diag.rulebook.build import units
from diag.rulebook.build.gather import Gathered
from diag.rulebook.build.link import link, lookup_for, names_of
from diag.rulebook.build.thresholds import inlined
from diag.rulebook.language import grammar
from diag.rulebook.language.dimensions import mistake_in
from diag.rulebook.yaml.nodes import read_nodes
from diag.rulebook.yaml.source import ASIDE, PlacesWanted, SourceFile, rule_files

if TYPE_CHECKING:
    from diag.model.case import Case


def load_rulebook(
    folders: Sequence[Path], formulas: Mapping[str, Formula], drafts: bool = False
) -> Rulebook:
    """Read all rule files of the folders, later ones on top, except those under `cases` and
    `workshop`.

    Files that say `status: draft` are read only where `drafts` are asked for. Raises
    `ProblemsFound` with every problem, sorted by place.
    """
    with suppress(PlacesWanted):
        return read_all(Gathered(placed=False, with_drafts=drafts), folders, formulas)
    return read_all(Gathered(with_drafts=drafts), folders, formulas)


def read_all(
    gathered: Gathered, folders: Sequence[Path], formulas: Mapping[str, Formula]
) -> Rulebook:
    """Read the folders into what has been gathered; also raises `PlacesWanted`."""
    digest = hashlib.sha256()
    for folder in folders:
        for path, name in _files(folder, gathered):
            area = f"/{name}".split("/")[-2]
            source, top, data = gathered.open(path, str(path), area)
            if top is not None:
                digest.update(f"{name}\0{len(data)}\0".encode())
                digest.update(data)
                gathered.add_file(source, top)
    if gathered.broken:
        # Names in a file that could not be read would all seem unknown: first things first.
        _raise(gathered)
    rulebook = link(gathered, formulas, digest.hexdigest())
    _raise(gathered)
    return rulebook


def load_cases(path: Path, rulebook: Rulebook) -> tuple[Case, ...]:
    """Read the cases in a file, or in all files of a folder; raises `ProblemsFound`."""
    from diag.rulebook.build import cases as case_files

    gathered = Gathered()
    folder = path.is_dir()
    files = [each for each, _ in _files(path, gathered, skip=())] if folder else [path]
    for each in files:
        source, top, _ = gathered.open(each, str(each))
        if top is not None:
            gathered.add_cases(source, top)
    found = case_files.cases(gathered, rulebook)
    _raise(gathered)
    return found


def load_unit_file(path: Path, rulebook: Rulebook) -> UnitData:
    """Read one unit, which may be based on a unit of the rulebook; raises `ProblemsFound`."""
    gathered = Gathered()
    source, top, _ = gathered.open(path, str(path))
    if top is not None and "unit" not in top.entries:
        place = Place(source.path, 1, 1)
        source.refuse_at(place, "this file holds no unit", "add a line `unit: ...`")
    elif top is not None:
        gathered.add_file(source, top)
    look = lookup_for(gathered, rulebook)
    known = {n: unit for n, unit in rulebook.units.items() if n not in gathered.of("units")}
    book = rulebook
    built = units.units(look, book.unit_data, book.findings, book.signs, known)
    _raise(gathered)
    return built[next(iter(gathered.of("units")))]


def read_readings(
    text: str, path_name: str, rulebook: Rulebook, unit_data: UnitData | None = None
) -> Mapping[str, Value]:
    """Read a mapping of finding to answer; raises `ProblemsFound`.

    With `unit_data`, each reading carries what its meter may be out by.
    """
    from diag.rulebook.build import cases as case_files

    source = SourceFile(path_name, text=text.removeprefix("\ufeff"))
    top = read_nodes(source)
    read = case_files.answers(source, top, rulebook, unit_data) if top is not None else {}
    if source.problems:
        raise ProblemsFound(tuple(sorted(source.problems)))
    return read


def parse_condition(text: str, rulebook: Rulebook | None = None) -> Condition:
    """Parse a condition, and with a rulebook also check its names, states and dimensions.

    Raises `grammar.Mistake`, a `ValueError` with one sentence and the offset.
    """
    placed = grammar.placed_condition(text)
    mistake = mistake_in(placed, names_of(rulebook).check) if rulebook is not None else None
    if mistake is not None:
        raise mistake
    limits = rulebook.thresholds if rulebook is not None else {}
    return inlined(placed[0], {name: limit.term() for name, limit in limits.items()})


def _files(
    folder: Path, gathered: Gathered, skip: Collection[str] = ASIDE
) -> Iterator[tuple[Path, str]]:
    """Yield the rule files of a folder; note a folder without any, and files that are not read."""
    found = False
    for path, name in rule_files(folder, skip):
        if name.endswith(".yaml"):
            found = True
            yield path, name
        else:
            problem = Problem(Place(str(path)), "this file is not read", "name it `.yaml`")
            gathered.problems.append(problem)
    if not found:
        what = "the folder holds no `.yaml` file" if folder.is_dir() else "there is no such folder"
        gathered.problems.append(Problem(Place(str(folder)), what, "check the name"))
        gathered.broken = True


def _raise(gathered: Gathered) -> None:
    if gathered.problems:
        raise ProblemsFound(tuple(sorted(dict.fromkeys(gathered.problems))))
