"""What no repair changes, as the kind of a battery, holds after a repair as before it."""

from __future__ import annotations

from diag.model.quantity import quantity
from diag.session.journal.events import Answered, Repaired
from diag.session.state import SessionState
from tests.dangers.shipped import book


def test_a_fact_that_no_repair_changes_makes_no_sign_older() -> None:
    """A battery that lost its charge after a repair counts, though its kind was told before."""
    state = SessionState(book(), book().units["LIB-03"], "flattens the battery")
    state.apply(Answered("battery kind", "lead-acid", "told"))
    state.apply(Repaired("standby drain"))
    state.apply(Answered("volts after a night disconnected", quantity(12.2, "V"), "measured"))
    kept = [(one.state, one.stage) for one in state.evidence() if one.sign == "charge kept"]
    assert [("loses", 1)] == kept
