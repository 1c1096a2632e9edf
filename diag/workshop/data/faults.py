"""Faults from files: what is wrong with which part, how common, which causes count as right."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random
from types import MappingProxyType

from diag.model.amounts import excerpt
from diag.model.problem import DataEntry, DataKey, Problem
from diag.model.problem import Path as Way
from diag.workshop.amount import Amount, WorkshopError
from diag.workshop.data.written import near, number_in, value_in
from diag.workshop.fault import (
    CHANGES,
    TRIGGERS,
    Change,
    ComesAndGoes,
    Fault,
    Trigger,
    fault_mistake,
)
from diag.workshop.heater import Heater, field_of

TABLE: Mapping[str, DataKey] = MappingProxyType(
    {
        "part": DataKey(),
        "quantity": DataKey(),
        "change": DataKey(),
        "degree": DataKey(),
        "chance": DataKey(),
        "brought out by": DataKey("texts"),
        "with": DataKey("texts"),
        "units": DataKey("texts"),
        "comes in": DataKey("text", required=True),
        "counts as": DataKey("texts"),
        "told": DataKey("mapping"),
    }
)
"""The keys of a fault in a file."""

A_YEAR: Mapping[str, float] = MappingProxyType(
    {"often": 8.0, "now and then": 3.0, "seldom": 1.0, "rarely": 0.3, "only with others": 0.0}
)
"""How many units a year come in with a fault, of some hundred in one workshop: memory."""


@dataclass(frozen=True, slots=True)
class Degrees:
    """Hold one change to a part, its degree drawn evenly between two ends or a word."""

    part: str
    quantity: str
    change: Change
    least: float | str
    most: float | str
    comes_and_goes: ComesAndGoes | None = None

    def draw(self, random: Random) -> Fault:
        """Draw a fault of some degree."""
        degree = self.least
        if not isinstance(self.least, str) and not isinstance(self.most, str):
            degree = random.uniform(self.least, self.most)
        return Fault(self.part, self.quantity, self.change, degree, self.comes_and_goes)

    @property
    def ends(self) -> tuple[Fault, Fault]:
        """Give the faults of the least and of the most degree."""
        kept = (self.part, self.quantity, self.change)
        visits = self.comes_and_goes
        return Fault(*kept, self.least, visits), Fault(*kept, self.most, visits)


@dataclass(frozen=True, slots=True)
class FaultEntry:
    """Hold one fault of a unit by name: its changes, how often it comes in, what is right."""

    id: str
    changes: Sequence[Degrees]
    a_year: float
    truths: tuple[frozenset[str], ...]
    """For each thing that is wrong, the causes that count as right."""
    classes: frozenset[str]
    """The classes of units that it is drawn for; empty for all."""
    told: Mapping[str, str]
    """Finding to what the owner of such a unit tells."""

    def draw(self, random: Random) -> tuple[Fault, ...]:
        """Draw the faults of a unit that has it."""
        return tuple(change.draw(random) for change in self.changes)


def faults_of(
    entries: Mapping[str, DataEntry],
    units: Mapping[str, Heater],
    causes: Collection[str] | None = None,
) -> tuple[Mapping[str, FaultEntry], tuple[Problem, ...]]:
    """Make faults of entries, and say what is wrong with those that are none.

    `units` are sound units of each class, on which every degree must be possible; `causes` are
    those that there are, None where nobody knows.
    """
    found, problems = dict[str, FaultEntry](), list[Problem]()
    for entry in entries.values():
        wrong = list(_mistakes(entry, entries, units, causes))
        problems += wrong
        if not wrong:
            found[entry.id] = _made(entry)
    for name, fault in list(found.items()):
        names = entries[name].values.get("with", ())
        if names and all(each in found for each in names):
            found[name] = with_others(fault, [found[each] for each in names])
    return MappingProxyType(found), tuple(sorted(problems))


def _mistakes(
    entry: DataEntry,
    entries: Mapping[str, DataEntry],
    units: Mapping[str, Heater],
    causes: Collection[str] | None,
) -> Iterator[Problem]:
    values = entry.values
    if values["comes in"] not in A_YEAR:
        message = f"`{excerpt(values['comes in'])}` is none of {', '.join(A_YEAR)}"
        yield entry.problem(("comes in",), message)
    if ("part" in values) != ("counts as" in values):
        message = "a fault with a part names its causes under `counts as`, and one of others none"
        yield entry.problem((), message)
    for number, name in enumerate(values.get("counts as", ())):
        if causes is not None and name not in causes:
            message = f"there is no cause `{excerpt(name)}`"
            yield entry.problem(("counts as", number), message, near(name, causes))
    for number, name in enumerate(values.get("with", ())):
        if name not in entries or "with" in entries[name].values:
            message = f"there is no single fault `{excerpt(name)}`"
            yield entry.problem(("with", number), message, near(name, entries))
    for number, name in enumerate(values.get("units", ())):
        if name not in units:
            message = f"there is no class of units `{excerpt(name)}`"
            yield entry.problem(("units", number), message, near(name, units))
    if "part" in values or "with" not in values:
        yield from _change_mistakes(entry, units)


def _change_mistakes(entry: DataEntry, units: Mapping[str, Heater]) -> Iterator[Problem]:
    values = entry.values
    missing = [key for key in ("part", "quantity", "change", "degree") if key not in values]
    if missing:
        yield entry.problem((), f"this fault has no `{missing[0]}`", f"add `{missing[0]}: ...`")
        return
    if values["change"] not in CHANGES:
        message = (
            f"`{excerpt(values['change'])}` is no change: expected one of {', '.join(CHANGES)}"
        )
        yield entry.problem(("change",), message)
        return
    try:
        change = _degrees(entry)
    except _At as mistake:
        yield entry.problem(mistake.way, str(mistake))
        return
    classes = values.get("units", units)
    for name in (each for each in units if each in classes):
        for fault in change.ends:
            mistake_there = fault_mistake(units[name], fault)
            if mistake_there is not None:
                yield entry.problem(("degree",), f"{mistake_there}, on a {name}")
                return


class _At(WorkshopError):
    """A mistake in the value under a key."""

    def __init__(self, message: object, *way: str | int) -> None:
        super().__init__(str(message))
        self.way: Way = way


def _degrees(entry: DataEntry) -> Degrees:
    """Read the change that an entry makes; raises `_At`."""
    values = entry.values
    part, quantity, change = values["part"], values["quantity"], values["change"]
    try:
        takes = field_of(part, quantity).takes
    except WorkshopError as error:
        raise _At(error, "part" if "no part" in str(error) else "quantity") from None
    if change == "times":
        takes = Amount("1", -1e9, 1e9)
    least, _, most = values["degree"].partition(" to ")
    try:
        ends = value_in(least, takes), value_in(most or least, takes)
    except WorkshopError as error:
        raise _At(error, "degree") from None
    return Degrees(part, quantity, change, *ends, _visits(entry))


def _visits(entry: DataEntry) -> ComesAndGoes | None:
    """Read when a fault shows; None where it stays."""
    values = entry.values
    triggers: list[Trigger] = []
    for number, name in enumerate(values.get("brought out by", ())):
        known = [trigger for trigger in TRIGGERS if trigger == name]
        if not known:
            message = f"`{excerpt(name)}` brings nothing out: expected one of {', '.join(TRIGGERS)}"
            raise _At(message, "brought out by", number)
        triggers += known
    if "chance" not in values:
        return ComesAndGoes(0.0, tuple(triggers)) if triggers else None
    try:
        chance = number_in(values["chance"], "1")
    except WorkshopError as error:
        raise _At(error, "chance") from None
    if not 0.0 <= chance <= 1.0:
        raise _At(f"`chance` is {chance:g}: expected 0 to 1", "chance")
    return ComesAndGoes(chance, tuple(triggers))


def _made(entry: DataEntry) -> FaultEntry:
    values = entry.values
    return FaultEntry(
        entry.id,
        (_degrees(entry),) if "part" in values else (),
        A_YEAR[values["comes in"]],
        (frozenset(values["counts as"]),) if "part" in values else (),
        frozenset(values.get("units", ())),
        MappingProxyType(values.get("told", {})),
    )


def with_others(fault: FaultEntry, others: Sequence[FaultEntry]) -> FaultEntry:
    """Give a fault with all that comes with it; one of others alone is as many things wrong."""
    return FaultEntry(
        fault.id,
        (*fault.changes, *(change for other in others for change in other.changes)),
        fault.a_year,
        fault.truths or tuple(truth for other in others for truth in other.truths),
        fault.classes.union(*(other.classes for other in others)),
        MappingProxyType({k: v for f in (*others, fault) for k, v in f.told.items()}),
    )
