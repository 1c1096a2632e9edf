"""Faults and units that cannot be are refused in one sentence."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.workshop import (
    ComesAndGoes,
    Fault,
    WorkshopError,
    World,
    apply_fault,
    fault_mistake,
)
from diag.workshop.amount import Amount
from diag.workshop.draw import ClassNumbers
from diag.workshop.heater import PARTS, QUANTITIES, read
from tests.workshop.shipped import classes, small

MISTAKES: list[tuple[Fault, str]] = [
    (Fault("spark plug", "gap", "becomes", 1.0), "there is no part `spark plug`: expected one of "),
    (
        Fault("filter", "colour", "becomes", 1.0),
        "`filter` has no `colour`: expected one of clogging",
    ),
    (
        Fault("filter", "clogging", "becomes", 1.5),
        "`filter clogging` is 1.5: expected 0 to 1",
    ),
    (
        Fault("exhaust", "length", "plus", -3.0),
        "`exhaust length` is -2 m: expected 0 m to 50 m",
    ),
    (
        Fault("battery", "kind", "becomes", "nuclear"),
        "`battery kind` is `nuclear`: expected one of flooded, AGM, gel, LiFePO4",
    ),
    (
        Fault("battery", "kind", "times", 2.0),
        "`battery kind` is a word: expected the change `becomes`",
    ),
    (
        Fault("filter", "clogging", "shrinks", 0.5),  # type: ignore[arg-type]
        "`shrinks` is no change: expected one of becomes, times, plus",
    ),
    (
        Fault("filter", "clogging", "becomes", 0.5, ComesAndGoes(1.2)),
        "`chance` is 1.2: expected 0 to 1",
    ),
    (
        Fault("filter", "clogging", "becomes", "much"),
        "`filter clogging` is `much`: expected a plain number",
    ),
]


@pytest.mark.parametrize(("fault", "said"), MISTAKES)
def test_a_fault_that_cannot_be_is_told_in_a_sentence(fault: Fault, said: str) -> None:
    """An unknown part, quantity, change or word, and a degree out of range, are named."""
    mistake = fault_mistake(small(), fault)
    assert mistake is not None
    assert mistake.startswith(said)
    with pytest.raises(WorkshopError, match="expected"):
        World(small(), Random(1), [fault])


def test_a_plug_that_draws_more_than_its_fuse_is_no_unit() -> None:
    """A unit whose hot plug draws more than its fuse bears is refused before it runs."""
    with pytest.raises(WorkshopError) as refused:
        World(small(), Random(1), [Fault("fuse", "rating", "becomes", 7.5)])
    assert str(refused.value).startswith("the glow plug draws ")


def _numbers() -> list[tuple[str, str, Amount]]:
    return [
        (part, quantity, field.takes)
        for part, known in QUANTITIES.items()
        for quantity, field in known.items()
        if isinstance(field.takes, Amount)
    ]


@settings(max_examples=300)
@given(st.sampled_from(_numbers()), st.floats(-0.5, 1.5))
def test_every_number_takes_its_range_and_nothing_beyond(
    number: tuple[str, str, Amount], share: float
) -> None:
    """Each quantity of each part can be set anywhere in its range, and nowhere else."""
    part, quantity, takes = number
    value = takes.least + share * (takes.most - takes.least)
    fault = Fault(part, quantity, "becomes", value)
    if takes.least <= value <= takes.most:
        assert value == read(apply_fault(small(), fault), part, quantity)
    else:
        assert fault_mistake(small(), fault) is not None


@settings(max_examples=200)
@given(st.sampled_from(_numbers()))
def test_a_fault_changes_one_quantity_of_one_part(number: tuple[str, str, Amount]) -> None:
    """Everything but what the fault names stays as it was."""
    part, quantity, takes = number
    before = small()
    after = apply_fault(before, Fault(part, quantity, "becomes", takes.most))
    changed = [
        (p, q) for p in PARTS for q in QUANTITIES[p] if read(before, p, q) != read(after, p, q)
    ]
    assert changed in ([(part, quantity)], [])


@pytest.mark.parametrize("numbers", classes().values(), ids=classes())
def test_every_number_of_a_class_has_an_origin(numbers: ClassNumbers) -> None:
    """Each number says where it comes from, and there is one for each quantity of each part."""
    assert set(PARTS) == set(numbers)
    for part, told in numbers.items():
        assert all(number.origin.kind for number in told.values())
        assert set(QUANTITIES[part]) == set(told)
