"""Units under test: what can be said of one, what that must satisfy, and one unit as data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from diag.model.expression import Condition
from diag.model.frozen import frozen
from diag.model.origin import Origin
from diag.model.problem import Place
from diag.model.quantity import Quantity, Unit

NOWHERE = Place("")


@frozen
class UnitDatum:
    """One thing that can be said of a unit: its name, its unit of measure, what to believe."""

    id: str
    ask: str
    unit: Unit
    believable: tuple[Quantity, Quantity] | None = None
    place: Place = NOWHERE


@frozen
class UnitLimit:
    """What the data of a unit must satisfy together, and the sentence when they do not."""

    must_hold: Condition
    say: str
    place: Place = NOWHERE


@frozen
class UnitData:
    """The unit under test as data; `assumed` names what is of its class or from memory."""

    id: str
    title: str
    data: Mapping[str, Quantity]
    codes: Mapping[str, str] = field(default_factory=dict)
    """The unit's own code list: code to state of the sign that is looked up in it."""
    instrument_errors: Mapping[str, tuple[float, Quantity]] = field(default_factory=dict)
    """Finding to (fraction of the reading, fixed part): what the meter may be out by."""
    assumed: frozenset[str] = frozenset()
    origins: Mapping[str, Origin] = field(default_factory=dict)
    note: str = ""
    place: Place = NOWHERE
