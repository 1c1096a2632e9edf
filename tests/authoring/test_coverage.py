"""Coverage figures against the worked numbers of a published matrix, and on the small rulebook."""

from __future__ import annotations

from pathlib import Path

import pytest
import shop

from diag.authoring.coverage import coverage, settled_by
from diag.authoring.testability import Assessment, assess

# Fault rates and failing tests of the six-state example of Pattipati and Alexandridis, IEEE
# Transactions on Systems, Man, and Cybernetics 20(4) (1990) 872-887, as remembered. The figures
# below follow from the definitions of IEEE 1522-2004, worked by hand.
RATES = {"s1": 0.01, "s2": 0.02, "s3": 0.10, "s4": 0.05, "s5": 0.12}
FAILS = {
    "": set[str](),
    "s1": {"t2", "t5"},
    "s2": {"t3", "t4"},
    "s3": {"t1", "t4", "t5"},
    "s4": {"t1", "t2"},
    "s5": {"t1", "t2", "t3", "t4"},
}


def _with(*tests: str) -> Assessment:
    def told_apart(one: str, other: str) -> bool:
        return FAILS[one] & set(tests) != FAILS[other] & set(tests)

    return assess(RATES, told_apart)


@pytest.mark.parametrize(
    ("tests", "detected", "groups", "alone", "in_two", "size"),
    [
        ("t1 t2 t3 t4 t5", 1.0, ["s1", "s2", "s3", "s4", "s5"], 1.0, 1.0, 1.0),
        ("t1", 0.9, ["s3 s4 s5"], 0.0, 0.0, 3.0),
        ("t1 t4", 0.9667, ["s3 s5", "s2", "s4"], 0.2414, 1.0, 1.7586),
        ("t1 t5", 0.9333, ["s4 s5", "s1", "s3"], 0.3929, 1.0, 1.6071),
        ("t2 t4", 1.0, ["s1 s4", "s2 s3", "s5"], 0.4, 1.0, 1.6),
    ],
)
def test_the_published_matrix_comes_out(
    tests: str, detected: float, groups: list[str], alone: float, in_two: float, size: float
) -> None:
    """FFD, groups, FFI and expected group size follow the definitions of IEEE 1522."""
    found = _with(*tests.split())
    assert groups == [" ".join(group.faults) for group in found.groups]
    assert detected == pytest.approx(found.fraction_detected, abs=5e-5)
    assert alone == pytest.approx(found.fraction_isolated(1), abs=5e-5)
    assert in_two == pytest.approx(found.fraction_isolated(2), abs=5e-5)
    assert size == pytest.approx(found.expected_size, abs=5e-5)


def test_what_is_missed_is_named() -> None:
    """A fault that no test fails on is missed, and its rate is not counted as detected."""
    found = _with("t1", "t4")
    assert ("s1",) == found.missed
    assert pytest.approx(0.29) == found.detected


def test_without_any_test_nothing_is_isolated() -> None:
    """With nothing detected every share is 0, not an error."""
    found = _with()
    assert (0.0, 0.0, 0.0) == (
        found.fraction_detected, found.fraction_isolated(9), found.expected_size,
    )  # fmt: skip


def test_faults_of_one_repair_item_are_one_in_size() -> None:
    """The size of a group counts repair items: two faults with one repair need no isolation."""
    found = assess({"a": 1.0, "b": 3.0}, lambda one, other: not other, lambda fault: "same")
    assert [1] == [group.size for group in found.groups]
    assert 1.0 == found.fraction_isolated(1)


def test_a_chain_of_likes_is_one_group() -> None:
    """Where a is like b and b like c, all three are one group, though a and c differ."""
    like = ({"a", "b"}, {"b", "c"})
    found = assess(
        dict.fromkeys("acb", 1.0), lambda one, other: not other or {one, other} not in like
    )
    assert [("a", "b", "c")] == [group.faults for group in found.groups]


@pytest.mark.parametrize("rates", [{}, {"a": 0.0}, {"a": 1.0, "b": -1.0}])
def test_faults_need_a_rate(rates: dict[str, float]) -> None:
    """No fault, or a rate of 0 or less, is refused with the reason."""
    with pytest.raises(ValueError, match="each fault needs a rate above 0"):
        assess(rates, lambda one, other: True)


def test_the_small_rulebook_detects_and_isolates(tmp_path: Path) -> None:
    """Three causes with signs of their own are told from a sound lamp and from each other."""
    book = shop.read(shop.written(tmp_path)).rulebook
    found = coverage(book, book.units["LAMP 1"])
    assert 1.0 == found.figures.fraction_detected
    assert ("broken wire", "flat cells", "rusty switch") == tuple(
        fault for group in found.figures.groups for fault in group.faults
    )
    assert () == found.unsettled
    assert () == found.unseparated
    assert 3 == len(found.closest)
    assert found.closest[0].mistakes < 1 / 3
    assert ("supply",) == settled_by(book, book.units["LAMP 1"], ["read the meter"])


def test_causes_that_show_alike_are_listed_with_what_the_rules_say(tmp_path: Path) -> None:
    """Two causes of the same signs are one group, and the pair names what is said to separate."""
    fragment = """
    causes:
      broken wire:
        shows: {wire: , beam: {dark: probable}}
        confused with: {flat cells: , rusty switch: wire}
    """
    book = shop.read(shop.written(tmp_path, fragment)).rulebook
    found = coverage(book, book.units["LAMP 1"])
    pair = found.unseparated[0]
    assert ("broken wire", "rusty switch", "wire") == (*pair.causes, pair.explained)
    assert ("broken wire", "rusty switch") == found.figures.groups[0].faults
    # Both show the beam dark alike, and the wet one time in seven: overlap of 0.02 and 0.167.
    assert pytest.approx(0.5 * (0.02 * 0.167) ** 0.5 + 0.5 * (0.98 * 0.833) ** 0.5) == pair.mistakes


def test_a_sign_that_nothing_settles_is_told(tmp_path: Path) -> None:
    """A sign whose finding no check yields cannot be settled by any check."""
    fragment = "checks: {read the meter: , look at it: {yields: [beam, wet, wire]}}"
    book = shop.read(shop.written(tmp_path, fragment)).rulebook
    assert ("supply",) == coverage(book, book.units["LAMP 1"]).unsettled
