"""Faults that come and go: present or not at each look, and brought out by what people do."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

from diag.workshop.fault import ComesAndGoes, Fault, Trigger, apply_fault
from diag.workshop.heater import Heater, read, with_quantity


@dataclass(frozen=True, slots=True)
class Visitor:
    """Hold a fault that comes and goes: the quantity's value without it and with it."""

    fault: Fault
    without: Any
    with_it: Any
    present: bool = False

    @property
    def visits(self) -> ComesAndGoes:
        """Give when it shows; raises `ValueError` for a fault that always stays."""
        if self.fault.comes_and_goes is None:
            raise ValueError("a fault that stays is no visitor")
        return self.fault.comes_and_goes


def visitor(heater: Heater, fault: Fault) -> Visitor:
    """Make a visitor of a fault on a unit; raises `WorkshopError` for one that cannot be."""
    faulty = apply_fault(heater, fault)
    return Visitor(
        fault,
        read(heater, fault.part, fault.quantity),
        read(faulty, fault.part, fault.quantity),
    )


def put(heater: Heater, guest: Visitor, present: bool) -> tuple[Heater, Visitor]:
    """Bring a visitor in or send it away; a unit where it already is so stays as it is."""
    if present == guest.present:
        return heater, guest
    value = guest.with_it if present else guest.without
    changed = with_quantity(heater, guest.fault.part, guest.fault.quantity, value)
    return changed, Visitor(guest.fault, guest.without, guest.with_it, present)


def look(heater: Heater, guest: Visitor, random: Random) -> tuple[Heater, Visitor]:
    """Let chance say whether a visitor is there at this look."""
    return put(heater, guest, random.random() < guest.visits.chance)


def brought_out(heater: Heater, guest: Visitor, trigger: Trigger) -> tuple[Heater, Visitor]:
    """Bring a visitor in if this is what brings it out."""
    return put(heater, guest, guest.present or trigger in guest.visits.brought_out_by)
