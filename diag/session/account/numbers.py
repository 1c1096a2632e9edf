"""Every number that is known now, by name, for pictures and sums that want no more."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.quantity import Quantity
from diag.session.state import SessionState


def numbers_of(state: SessionState) -> Mapping[str, float]:
    """Return, in SI units, readings and figures of this stage and the unit's data.

    By the names of the rule language: data as `unit NAME`. What is over range is no number.
    """
    known: dict[str, object] = {f"unit {name}": value for name, value in state.unit.data.items()}
    known |= {name: state.now.value(name) for name in state.rulebook.figures}
    known |= state.now.told
    return {
        name: value.si
        for name, value in known.items()
        if isinstance(value, Quantity) and not value.over_range
    }
