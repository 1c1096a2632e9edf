"""Faults as data: which quantity of which part, changed how and how much; they may come and go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from diag.workshop.amount import WorkshopError
from diag.workshop.heater import Heater, field_of, read, with_quantity

Change = Literal["becomes", "times", "plus"]
CHANGES: tuple[Change, ...] = ("becomes", "times", "plus")
Trigger = Literal["shake", "warm", "wet", "cold"]
TRIGGERS: tuple[Trigger, ...] = ("shake", "warm", "wet", "cold")


@dataclass(frozen=True, slots=True)
class ComesAndGoes:
    """Hold the chance that a fault shows at a look, and what brings it out for certain."""

    chance: float
    brought_out_by: tuple[Trigger, ...] = ()


@dataclass(frozen=True, slots=True)
class Fault:
    """Hold one fault: a part's quantity, what happens to it, by how much, and if it stays."""

    part: str
    quantity: str
    change: Change
    degree: float | str
    comes_and_goes: ComesAndGoes | None = None


def changed(fault: Fault, before: Any) -> Any:
    """Give what a quantity is with a fault in it; `WorkshopError` for a word that is summed."""
    if fault.change == "becomes":
        return fault.degree
    if isinstance(before, str) or isinstance(fault.degree, str):
        raise WorkshopError(
            f"`{fault.part} {fault.quantity}` is a word: expected the change `becomes`"
        )
    return before * fault.degree if fault.change == "times" else before + fault.degree


def apply_fault(heater: Heater, fault: Fault) -> Heater:
    """Give the unit with a fault in it.

    Raises `WorkshopError` for a part, quantity or change that there is not, a chance outside 0
    to 1, and a degree that leaves the quantity's range.

    >>> apply_fault(small, Fault("filter", "clogging", "becomes", 0.9)).filter.clogging
    0.9
    """
    if fault.change not in CHANGES:
        raise WorkshopError(f"`{fault.change}` is no change: expected one of {', '.join(CHANGES)}")
    _check_visits(fault)
    field_of(fault.part, fault.quantity)
    before = read(heater, fault.part, fault.quantity)
    return with_quantity(heater, fault.part, fault.quantity, changed(fault, before))


def _check_visits(fault: Fault) -> None:
    visits = fault.comes_and_goes
    if visits is None:
        return
    if not 0.0 <= visits.chance <= 1.0:
        raise WorkshopError(f"`chance` is {visits.chance:g}: expected 0 to 1")
    for trigger in visits.brought_out_by:
        if trigger not in TRIGGERS:
            raise WorkshopError(
                f"`{trigger}` brings nothing out: expected one of {', '.join(TRIGGERS)}"
            )


def fault_mistake(heater: Heater, fault: Fault) -> str | None:
    """Give the sentence that is wrong with a fault on a unit, or None.

    >>> fault_mistake(small, Fault("filter", "clogging", "becomes", 2.0))
    '`filter clogging` is 2: expected 0 to 1'
    """
    try:
        apply_fault(heater, fault)
    except WorkshopError as error:
        return str(error)
    return None
