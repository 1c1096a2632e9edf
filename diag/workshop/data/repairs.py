"""What the repair of a cause does to the parts: new ones, or a quantity put right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from diag.model.amounts import excerpt
from diag.model.problem import DataEntry, DataKey, Problem
from diag.workshop.amount import WorkshopError
from diag.workshop.data.written import near, quantity_in, value_in
from diag.workshop.heater import PARTS, field_of
from diag.workshop.run.world import World

TABLE: Mapping[str, DataKey] = MappingProxyType({"does": DataKey("texts"), "why": DataKey()})
"""The keys of a repair in a file: what it `does`, or `why` it does nothing."""

Put = tuple[str, str, float | str]
"""Part, quantity and value; a new part has neither."""
FILLED: Put = ("fuel line", "filled", 1.0)
"""The starts that a repair of the line asks for, until the pump has filled it."""


def repairs_of(
    entries: Mapping[str, DataEntry],
) -> tuple[Mapping[str, Sequence[Put]], tuple[Problem, ...]]:
    """Make repairs of entries, and say what is wrong with those that are none."""
    found, problems = dict[str, Sequence[Put]](), list[Problem]()
    for entry in entries.values():
        wrong = list(_mistakes(entry))
        problems += wrong
        if not wrong:
            found[entry.id] = tuple(put_in(text) for text in entry.values.get("does", ()))
    return MappingProxyType(found), tuple(sorted(problems))


def _mistakes(entry: DataEntry) -> Iterator[Problem]:
    if ("does" in entry.values) == ("why" in entry.values):
        yield entry.problem((), "a repair `does` something, or says `why` not, one of the two")
    for number, text in enumerate(entry.values.get("does", ())):
        try:
            put_in(text)
        except WorkshopError as error:
            yield entry.problem(("does", number), str(error))


def put_in(text: str) -> Put:
    """Read what is done to a part; raises `WorkshopError`.

    >>> put_in("new filter")
    ('filter', '', '')
    >>> put_in("tank level becomes 60 l")
    ('tank', 'level', 60.0)
    >>> put_in("fuel line filled") == FILLED
    True
    """
    if text == " ".join(FILLED[:2]):
        return FILLED
    if text.startswith("new "):
        part = text.removeprefix("new ")
        if part not in PARTS:
            raise WorkshopError(f"there is no part `{excerpt(part)}` to renew: {near(part, PARTS)}")
        return part, "", ""
    name, _, value = text.partition(" becomes ")
    part, quantity = quantity_in(name)
    takes = field_of(part, quantity).takes
    read = value_in(value, takes)
    mistake = takes.mistake(name, read)
    if mistake is not None:
        raise WorkshopError(mistake)
    return part, quantity, read


def mend(world: World, repair: Sequence[Put]) -> None:
    """Do a repair on a unit."""
    for put in repair:
        part, quantity, value = put
        if put == FILLED:
            world.fill_line()
        elif quantity:
            world.put_right(part, quantity, value)
        else:
            world.swap(part)
