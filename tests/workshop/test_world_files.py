"""The world's files read whole: what cannot be is a problem with its file and line."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from diag.cli.book import load_book
from diag.cli.rules.run import run_check
from diag.model.problem import ProblemsFound
from diag.practice.world import read_world
from diag.workshop import heater_of
from tests.workshop.shipped import FOLDER, small

BOOK = load_book()
COIL = "  pump coil resistance: {is: 10 ohm, scatter: 5 %, on 24 V: 40 ohm}"
RATING = "  fuse rating: {is: 20 A, on 24 V: 15 A, medium: 25 A}"

WRONG_NUMBERS = [
    ("  coil resistance: {is: 10 ohm}", "no part begins `coil resistance`"),
    ("  pump colour: {is: 10 ohm}", "`pump` has no `colour`: expected one of coil resistance"),
    ("  pump coil resistance: {is: 10 V}", "`10 V`: `ohm` or nothing is expected after"),
    ("  pump coil resistance: {is: 10}", "`10` has no unit: expected a number in ohm"),
    ("  pump coil resistance: {is: ten ohm}", "`ten ohm` does not begin with a number"),
    ("  pump coil resistance: {is: nan ohm}", "`nan ohm` does not begin with a number"),
    ("  pump coil resistance: {is: -10 ohm}", "`pump coil resistance` is -10 ohm: expected 0 ohm"),
    ("  pump coil resistance: {is: 10 ohm, on 24 V: 40 V}", "`40 V`: `ohm` or nothing is"),
    ("  pump coil resistance: {is: 10 ohm, scatter: 5}", "`5`: expected 0 % to 100 %"),
    ("  pump coil resistance: {is: 10 ohm, scatter: 200 %}", "`200 %`: expected 0 % to 100 %"),
    ("  pump coil resistance: {is: 10 ohm, source: hearsay}", "`hearsay` does not begin with"),
    ("  pump coil resistance: {scatter: 5 %}", "this number has no `is`"),
    ("  pump coil resistance: {is: 10 ohm, large: 5 ohm}", "`large` is not a key of a number"),
]


def _copy(folder: Path, name: str, old: str, new: str) -> tuple[Path, int]:
    """Copy the shipped files with one text changed; give the folder and the line of the change."""
    shutil.copytree(FOLDER, folder / "workshop")
    path = folder / "workshop" / name
    text = path.read_text(encoding="utf-8")
    assert 1 == text.count(old)
    path.write_text(text.replace(old, new), encoding="utf-8")
    return folder / "workshop", text[: text.index(old)].count("\n") + 1


@pytest.mark.parametrize(("written", "says"), WRONG_NUMBERS)
def test_a_number_that_cannot_be_is_a_problem_with_its_place(
    tmp_path: Path, written: str, says: str
) -> None:
    """An unknown name, a wrong unit, a value out of range: one sentence at its line."""
    folder, line = _copy(tmp_path, "numbers/fuel.yaml", COIL, written)
    with pytest.raises(ProblemsFound) as raised:
        read_world(folder, BOOK)
    (problem,) = raised.value.problems
    assert str(folder / "numbers" / "fuel.yaml") == problem.place.path
    assert line == problem.place.line
    assert problem.message.startswith(says)


def test_a_number_without_an_origin_is_a_problem(tmp_path: Path) -> None:
    """Where neither the file nor the entry says where a number comes from, each is named."""
    folder, _ = _copy(tmp_path, "numbers/supply.yaml", "source: memory\nnumbers:", "numbers:")
    with pytest.raises(ProblemsFound, match="`fuse rating` does not say where it comes from"):
        read_world(folder)


def test_a_number_that_is_missing_is_a_problem(tmp_path: Path) -> None:
    """Every quantity of every part has a number."""
    folder, _ = _copy(tmp_path, "numbers/fuel.yaml", COIL, "")
    with pytest.raises(ProblemsFound, match="`pump coil resistance` has no number: add one"):
        read_world(folder)


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        ("supply", RATING, RATING.replace("20 A", "7.5 A"),
         "the glow plug draws 9.97 A when hot through a fuse of 7.5 A: expected a fuse that bears"),
        ("supply", RATING, RATING.replace("15 A", "4 A"), "the glow plug draws 4.98 A when hot"),
        ("control-and-sensors", "low volts: {is: 10.5 V", "low volts: {is: 12.5 V",
         "`control unit low volts` is 12.5 V: expected less than the battery's 12 V, on a small"),
    ],
)  # fmt: skip
def test_parts_that_do_not_fit_are_a_problem(
    tmp_path: Path, name: str, old: str, new: str, says: str
) -> None:
    """A glow plug that draws more than its fuse bears is named at the line of the fuse."""
    folder, line = _copy(tmp_path, f"numbers/{name}.yaml", old, new)
    with pytest.raises(ProblemsFound) as raised:
        read_world(folder, BOOK)
    (problem,) = raised.value.problems
    assert line == problem.place.line
    assert problem.message.startswith(says)


def test_a_fitter_changes_a_number_without_programming(tmp_path: Path) -> None:
    """Another number in the file is another unit, and nothing else about it changes."""
    folder, _ = _copy(tmp_path, "numbers/fuel.yaml", COIL, COIL.replace("10 ohm", "12 ohm"))
    changed = heater_of(read_world(folder, BOOK).classes["small 12 V"])
    assert 12.0 == changed.pump.coil_resistance_ohm
    assert small().glow_plug == changed.glow_plug


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        ("repairs.yaml", "  bad earth:", "  bad erth:", "there is no cause `bad erth` in the"),
        ("untold.yaml", "untold:\n", "untold:\n  moon: {answer: full, why: none}\n",
         "there is no finding `moon` in the rules"),
        ("findings/fuel.yaml", "findings:\n", "findings:\n  moon: {reads: standby amps}\n",
         "there is no finding `moon` in the rules"),
        ("findings/fuel.yaml", "findings:\n", "findings:\n  moon: {reads: moonlight}\n",
         "nothing is read as `moonlight`"),
        ("faults/fuel.yaml", "faults:\n", "faults:\n  moon: {part: moon, quantity: light, change: "
         "becomes, degree: 1, comes in: seldom, counts as: [bad earth]}\n",
         "there is no part `moon`: expected one of battery"),
        ("faults/fuel.yaml", "faults:\n", "faults:\n  moon: {part: filter, quantity: clogging, "
         "change: becomes, degree: 2, comes in: seldom, counts as: [bad earth]}\n",
         "`filter clogging` is 2: expected 0 to 1, on a small 12 V"),
        ("faults/fuel.yaml", "faults:\n", "faults:\n  moon: {part: filter, quantity: clogging, "
         "change: becomes, degree: 1, comes in: seldom, counts as: [bad earth], told: {moon: a}}\n",
         "there is no finding `moon` in the rules"),
    ],
)  # fmt: skip
def test_the_rulebooks_names_are_looked_up(
    tmp_path: Path, name: str, old: str, new: str, says: str
) -> None:
    """A cause or finding that the rules have not is named with its place in the world's file."""
    folder, line = _copy(tmp_path, name, old, new)
    with pytest.raises(ProblemsFound) as raised:
        read_world(folder, BOOK)
    found = {problem.message: problem.place for problem in raised.value.problems}
    (place,) = [place for message, place in found.items() if message.startswith(says)]
    assert str(folder / name) == place.path
    assert line + new.count("\n") - old.count("\n") + old.endswith("\n") >= place.line >= line


def test_a_look_tells_states_that_its_finding_has(tmp_path: Path) -> None:
    """A state that the rules do not know is a problem at the finding's line."""
    folder, line = _copy(tmp_path, "findings/fuel.yaml", "waxy: wax in", "waxen: wax in")
    with pytest.raises(ProblemsFound) as raised:
        read_world(folder, BOOK)
    (problem,) = raised.value.problems
    assert line - 2 == problem.place.line
    assert problem.message.startswith("`filter` has no state `waxen`: expected one of ")


def test_rules_check_reads_the_world_too(tmp_path: Path) -> None:
    """`diag rules check` tells what is wrong in the world's files with file and line."""
    shutil.copytree(FOLDER.parent, tmp_path / "rules", ignore=shutil.ignore_patterns("workshop"))
    folder, line = _copy(tmp_path / "rules", "numbers/fuel.yaml", COIL, COIL.replace("ohm", "V"))
    with pytest.raises(ProblemsFound) as raised:
        run_check(str(tmp_path / "rules"))
    (problem,) = {problem.place.line: problem for problem in raised.value.problems}.values()
    assert (str(folder / "numbers" / "fuel.yaml"), line) == problem.place[:2]
