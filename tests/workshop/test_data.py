"""The world's data files: what is shipped holds, and what cannot be is named with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.cli.book import load_book
from diag.model.problem import Problem, ProblemsFound
from diag.rulebook import parse_answer, read_entries
from diag.workshop.data import faults, findings, repairs
from diag.workshop.visit import ACTS
from tests.workshop.shipped import (
    new_units,
    shipped_faults,
    shipped_findings,
    shipped_repairs,
    shipped_untold,
)

BOOK = load_book()


def test_faults_are_many_and_their_causes_are_in_the_rulebook() -> None:
    """At least 60 single faults and some pairs are shipped, and what counts as right is a cause."""
    each = shipped_faults().values()
    assert 60 <= sum(len(fault.truths) == 1 and fault.a_year > 0.0 for fault in each)
    assert 5 <= sum(len(fault.truths) == 2 for fault in each)
    named = {cause for fault in each for truth in fault.truths for cause in truth}
    assert set() == named - set(BOOK.causes)


def test_every_finding_is_read_of_the_world_or_told_by_nothing() -> None:
    """Each finding of the rulebook is in one of the two lists, and neither has another."""
    read, untold = set(shipped_findings()), set(shipped_untold())
    assert set(BOOK.findings) == read | untold
    assert set() == read & untold


def test_looks_tell_states_of_their_findings() -> None:
    """A look is a state of the finding; a number is in a unit of the same dimension."""
    wrong = {}
    for name, told in shipped_findings().items():
        finding = BOOK.findings[name]
        if isinstance(told, findings.LookedFinding):
            odd = told.states - set(finding.states)
        elif finding.kind == "code":
            assert "1" == str(told.reading.unit)
            continue
        else:
            assert finding.unit is not None
            value = f"1 {told.reading.unit}".removesuffix(" 1")
            odd = frozenset() if _readable(value, name) else frozenset({told.reading.unit})
        if odd:
            wrong[name] = odd
    assert {} == wrong


def _readable(text: str, finding: str) -> bool:
    try:
        parse_answer(text, BOOK.findings[finding])
    except ValueError as error:
        return "believable" in str(error)
    return True


def test_what_owners_tell_can_be_answered() -> None:
    """Every told answer, of a fault or of none, is an answer to its finding."""
    told = [item for fault in shipped_faults().values() for item in fault.told.items()]
    for name, answer in (*told, *shipped_untold().items()):
        parse_answer(answer, BOOK.findings[name])


def test_every_cause_has_its_repair() -> None:
    """What is done to the parts is said for each cause of the rulebook, and for no other."""
    assert set(BOOK.causes) == set(shipped_repairs())


FAULT = """source: memory
faults:
  bad joint:
    part: {part}
    quantity: {quantity}
    change: {change}
    degree: {degree}
    comes in: {often}
    counts as: [{cause}]
"""
RIGHT = {"part": "negative joint", "quantity": "resistance", "change": "becomes",
         "degree": "0.2 ohm", "often": "seldom", "cause": "bad earth"}  # fmt: skip
WRONG_FAULTS = [
    ({"part": "spark plug"}, 4, "there is no part `spark plug`: expected one of battery, charger"),
    ({"quantity": "colour"}, 5, "`negative joint` has no `colour`: expected one of resistance"),
    ({"change": "grows"}, 6, "`grows` is no change: expected one of becomes, times, plus"),
    ({"degree": "-1 ohm"}, 7, "`negative joint resistance` is -1 ohm: expected 0 ohm to 1e+07 ohm"),
    ({"degree": "much"}, 7, "`much` does not begin with a number"),
    ({"degree": "12,400"}, 7, "`12,400` could be 12.4 or 12400; write one of them"),
    ({"degree": "2 V"}, 7, "`2 V`: `ohm` or nothing is expected after the number"),
    ({"often": "daily"}, 8, "`daily` is none of often, now and then, seldom, rarely"),
    ({"cause": "bad erth"}, 9, "there is no cause `bad erth`"),
]


def _faults_in(folder: Path, text: str) -> tuple[Problem, ...]:
    path = folder / "faults.yaml"
    path.write_text(text, encoding="utf-8")
    read = read_entries(path, "faults", faults.TABLE)
    return faults.faults_of(read, new_units(), BOOK.causes)[1]


@pytest.mark.parametrize(("change", "line", "says"), WRONG_FAULTS)
def test_a_fault_that_cannot_be_is_a_problem_with_its_place(
    tmp_path: Path, change: dict[str, str], line: int, says: str
) -> None:
    """One sentence names what is wrong, at the line where it stands."""
    (problem,) = _faults_in(tmp_path, FAULT.format(**{**RIGHT, **change}))
    assert line == problem.place.line
    assert problem.message.startswith(says)
    assert problem.line_text


def test_a_right_fault_is_taken(tmp_path: Path) -> None:
    """The same text without a mistake is a fault."""
    assert () == _faults_in(tmp_path, FAULT.format(**RIGHT))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("faults:\n  a: {part: filter}\n", "this fault has no `comes in`"),
        ("faults:\n  a: {comes in: often, colour: red}\n", "`colour` is not a key of a fault"),
        ("fault:\n  a: {comes in: often}\n", "`fault` is not a section of a file of faults"),
        ("faults: [a]\n", "`name: ...` pairs are expected under `faults`"),
    ],
)
def test_a_file_of_another_shape_is_refused(tmp_path: Path, text: str, says: str) -> None:
    """Keys, sections and shapes that there are not are problems with their place."""
    path = tmp_path / "faults.yaml"
    path.write_text("source: memory\n" + text, encoding="utf-8")
    with pytest.raises(ProblemsFound) as raised:
        read_entries(path, "faults", faults.TABLE)
    assert says in str(raised.value)


def test_numbers_without_an_origin_are_refused(tmp_path: Path) -> None:
    """Every entry says where it comes from."""
    path = tmp_path / "faults.yaml"
    path.write_text("faults:\n  a: {comes in: often}\n", encoding="utf-8")
    with pytest.raises(ProblemsFound, match="`a` does not say where it comes from"):
        read_entries(path, "faults", faults.TABLE)


WRONG_FINDINGS = [
    ("{reads: nothing much}", "nothing is read as `nothing much`"),
    ("{reads: filter colour}", "nothing is read as `filter colour`"),
    ("{reads: standby amps, meter: crystal ball}", "there is no meter `crystal ball`"),
    ("{reads: standby amps, during: a dance}", "nothing is done as `a dance`"),
    ("{during: a start}", "a finding `reads` a number, or has a look `otherwise`, one of two"),
    ('{reads: "amps, typical in bed"}', "there is no phase `bed`"),
    ("{looks: [{dirty: filter clogging}], otherwise: clean}", "`filter clogging` is no condition"),
    ("{otherwise: clean, mistaken: {clean: dirty often}}", "`often` does not begin with a number"),
]


@pytest.mark.parametrize(("written", "says"), WRONG_FINDINGS)
def test_a_finding_read_from_nothing_is_a_problem(tmp_path: Path, written: str, says: str) -> None:
    """What names no reading, act, meter, phase or condition is refused in one sentence."""
    path = tmp_path / "findings.yaml"
    path.write_text(f"source: memory\nfindings:\n  filter: {written}\n", encoding="utf-8")
    read = read_entries(path, "findings", findings.TABLE)
    (problem,) = findings.findings_of(read, ACTS)[1]
    assert 3 == problem.place.line
    assert problem.message.startswith(says)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("{does: [new spark plug]}", "there is no part `spark plug` to renew"),
        ("{does: [filter clogging becomes 3]}", "`filter clogging` is 3: expected 0 to 1"),
        ("{}", "a repair `does` something, or says `why` not, one of the two"),
    ],
)
def test_a_repair_of_nothing_is_a_problem(tmp_path: Path, written: str, says: str) -> None:
    """A part, quantity or value that there is not is refused in one sentence."""
    path = tmp_path / "repairs.yaml"
    path.write_text(f"source: memory\nrepairs:\n  bad earth: {written}\n", encoding="utf-8")
    (problem,) = repairs.repairs_of(read_entries(path, "repairs", repairs.TABLE))[1]
    assert problem.message.startswith(says)
