"""Whether to take a reading again, priced against going on with it as it is."""

from __future__ import annotations

from collections.abc import Callable

from diag.reason.belief.belief import Belief
from diag.reason.belief.evidence import twice
from diag.reason.plan.choose import Choice
from diag.reason.plan.costs import minutes_of, opened_by
from diag.session.candidates import check_of
from diag.session.inconsistent import Inconsistency, inconsistency_in
from diag.session.prompt import Reread
from diag.session.state import SessionState

Expect = Callable[[Belief], float]
"""The expected minutes to a proved repair from a belief on."""


def due_reread(state: SessionState, choice: Choice, expect: Expect) -> Reread | None:
    """Return the reading to take again now, None where none is suspect or going on is cheaper.

    Where readings cannot be true together one is wrong for sure, and any plan made on them is
    worth nothing: they are taken again whatever it costs.
    """
    found = inconsistency_in(state)
    if found is None:
        return None
    again = reread(state, found, choice, expect)
    return again if again.after < again.going_on or found.certain else None


def reread(state: SessionState, found: Inconsistency, choice: Choice, expect: Expect) -> Reread:
    """Return the reading to take again, with what that costs and what going on costs."""
    name = found.readings[0]
    check = check_of(state, name)
    opened = opened_by(state.rulebook, state.done_checks)
    minutes = minutes_of(state.rulebook, [check.id], opened) if check else 0.0
    going_on = choice.best.expected
    after = minutes + (going_on if found.certain else _expected_after(state, found, expect))
    return Reread(found, name, check, minutes, going_on, after)


def _expected_after(state: SessionState, found: Inconsistency, expect: Expect) -> float:
    """Return the expected minutes once it is known whether the reading was a slip."""
    belief = state.belief
    alike = (one for one in belief.said if (one.sign, one.state) == (found.sign, found.state))
    meant = max(alike, key=lambda one: one.stage)  # read before a repair and after it: the latest
    sure = belief.observe(meant._replace(reliability=twice(meant.reliability)))
    slipped = belief.withdraw(meant.sign, meant.stage)
    return found.slip * expect(slipped) + (1 - found.slip) * expect(sure)
