"""The world's own numbers from files: what a sound unit of each class has, and how units scatter.

They are the world's, not the rulebook's: no unit file is read for them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from diag.model.amounts import excerpt
from diag.model.problem import DataEntry, DataKey, Problem
from diag.workshop.amount import Amount, WordKind, WorkshopError
from diag.workshop.check import mistakes_of
from diag.workshop.data.written import near, number_in, quantity_in, value_in
from diag.workshop.draw import ClassNumbers, Number, heater_of
from diag.workshop.heater import PARTS, QUANTITIES, field_of

IS, ON_24_V, MEDIUM, MEDIUM_ON_24_V = "is", "on 24 V", "medium", "medium on 24 V"
TABLE: Mapping[str, DataKey] = MappingProxyType(
    {
        IS: DataKey(required=True),
        "scatter": DataKey(),
        ON_24_V: DataKey(),
        MEDIUM: DataKey(),
        MEDIUM_ON_24_V: DataKey(),
    }
)
"""The keys of a number in a file: what it `is`, its scatter, and what it is in other classes."""

CLASSES: Mapping[str, Sequence[str]] = MappingProxyType(
    {
        "small 12 V": (IS,),
        "small 24 V": (ON_24_V, IS),
        "medium 12 V": (MEDIUM, IS),
        "medium 24 V": (MEDIUM_ON_24_V, ON_24_V, MEDIUM, IS),
    }
)
"""The classes of units by the names that their files have: of these keys the first that is given.

Small is about 2 kW, medium about 4 kW: twice the flows and surfaces.
"""


def classes_of(
    entries: Mapping[str, DataEntry],
) -> tuple[Mapping[str, ClassNumbers], tuple[Problem, ...]]:
    """Make of entries the numbers of each class, and say what is wrong with those that are none.

    The mapping is empty where a number is wrong. Raises `WorkshopError` where numbers are right
    but some are missing, as that has no place in a file.
    """
    problems = [problem for entry in entries.values() for problem in _mistakes(entry)]
    if problems:
        return MappingProxyType({}), tuple(sorted(problems))
    _refuse_gaps(entries)
    found = {name: _class(entries, keys) for name, keys in CLASSES.items()}
    misfits = dict[tuple[str, str], Problem]()
    for name, numbers in found.items():
        for mistake in mistakes_of(heater_of(numbers)):
            entry = entries[mistake.quantity]
            key = _key(entry, CLASSES[name])
            problem = entry.problem((key,), f"{mistake}, on a {name}")
            misfits.setdefault((entry.id, key), problem)  # classes that share a number say it once
    if misfits:
        return MappingProxyType({}), tuple(sorted(misfits.values()))
    return MappingProxyType(found), ()


def _refuse_gaps(entries: Mapping[str, DataEntry]) -> None:
    for part in PARTS:
        for quantity in QUANTITIES[part]:
            if f"{part} {quantity}" not in entries:
                raise WorkshopError(f"`{part} {quantity}` has no number: add one to a file of them")


def _key(entry: DataEntry, keys: Sequence[str]) -> str:
    return next(key for key in keys if key in entry.values)


def _class(entries: Mapping[str, DataEntry], keys: Sequence[str]) -> ClassNumbers:
    made: dict[str, dict[str, Number]] = {part: {} for part in PARTS}
    for entry in entries.values():
        part, quantity = quantity_in(entry.id)
        value = value_in(entry.values[_key(entry, keys)], field_of(part, quantity).takes)
        made[part][quantity] = Number(value, _scatter(entry), entry.origin)
    return made


def _scatter(entry: DataEntry) -> float:
    """Read `4 %` as a share; raises `WorkshopError`."""
    text = entry.values.get("scatter", "0 %")
    percent = number_in(text, "%")
    if not text.endswith(" %") or not 0.0 <= percent <= 100.0:
        raise WorkshopError(f"`{excerpt(text)}`: expected 0 % to 100 %")
    return percent / 100.0


def _mistakes(entry: DataEntry) -> Iterator[Problem]:
    try:
        part, quantity = quantity_in(entry.id)
    except WorkshopError as error:
        known = (f"{part} {quantity}" for part in PARTS for quantity in QUANTITIES[part])
        yield entry.problem((), str(error), near(entry.id, known))
        return
    takes = field_of(part, quantity).takes
    for key in (IS, ON_24_V, MEDIUM, MEDIUM_ON_24_V):
        if key in entry.values:
            mistake = _value_mistake(entry.id, entry.values[key], takes)
            if mistake:
                yield entry.problem((key,), mistake)
    try:
        _scatter(entry)
    except WorkshopError as error:
        yield entry.problem(("scatter",), str(error))


def _value_mistake(name: str, text: str, takes: Amount | WordKind) -> str | None:
    """Give the sentence that refuses a number, which has its unit behind it, or None."""
    try:
        value = value_in(text, takes)
    except WorkshopError as error:
        return str(error)
    if isinstance(takes, Amount) and takes.unit != "1" and not text.endswith(f" {takes.unit}"):
        return f"`{excerpt(text)}` has no unit: expected a number in {takes.unit}"
    return takes.mistake(name, value)
