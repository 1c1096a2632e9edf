"""What the data of a unit must satisfy together."""

from __future__ import annotations

from diag.logic.evaluate import evaluate
from diag.logic.figure import Held
from diag.model.problem import Problem
from diag.model.rulebook import Figure, Rulebook, UnitData

UNIT = "unit "


class _Data:
    """A view of nothing but the unit's data."""

    def __init__(self, unit: UnitData) -> None:
        self._unit = unit

    def value(self, name: str) -> Held | None:
        return self._unit.data.get(name.removeprefix(UNIT))

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset({name})

    def figure(self, name: str) -> Figure | None:
        return None


def broken_limits(rulebook: Rulebook, unit: UnitData) -> tuple[Problem, ...]:
    """Return a problem for each limit that the unit's data breaks; data left out break none."""
    view = _Data(unit)
    return tuple(
        Problem(
            unit.place,
            f"unit `{unit.id}`: {limit.say}",
            "correct the value in this file, or leave it out to take that of its class",
        )
        for limit in rulebook.unit_limits
        if evaluate(limit.must_hold, view).truth is False
    )
