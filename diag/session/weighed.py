"""The belief of a session: begun by what is complained of, after all that was said and done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from diag.model.rulebook import Rulebook
from diag.reason.belief.belief import Belief, Posterior, Priors, start
from diag.reason.belief.conflict import Conflict, conflict
from diag.reason.belief.links import Shift
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.evidence import contradictions
from diag.session.journal.recalled import Recalled

if TYPE_CHECKING:
    from diag.session.state import SessionState


def begun(
    rulebook: Rulebook, compiled: CompiledRulebook, complaints: Sequence[str], recalled: Recalled
) -> Belief:
    """Return the belief before any evidence, each complaint weighed by itself."""
    priors = Priors.from_settings(rulebook.scales.settings)
    counting = recalled.counting(tuple(complaints))
    proved = f"{recalled.repairs} proved repairs on record"
    shifts = (Shift(one.cause, one.times, one.why or proved) for one in counting)
    return start(compiled.links.shifted(shifts), priors, *complaints)


def without_record(state: SessionState) -> Posterior:
    """Return what would be believed now, had nothing been recalled of the record."""
    return replace(state.belief, links=state.compiled.links, bare=()).remaining()


def belief_of(state: SessionState, failed_runs: int) -> Belief:
    """Return the belief after all that was said and done; what the rules contradict is left out."""
    clashing = contradictions(state)
    signs = {contradiction.sign for contradiction in clashing}
    spared = {cause for contradiction in clashing for cause in contradiction.causes}
    return (
        state.start.excluding(set(state.chain.excluded) - spared)
        .with_repairs(state.repairs)
        .after_failed_runs(failed_runs)
        .seen(one for one in state.evidence() if one.sign not in signs)
    )


def conflict_of(state: SessionState) -> Conflict:
    """Return how badly the readings of this stage fit together."""
    belief, stage = state.belief, state.stage
    return conflict(belief.seen(one for one in belief.said if one.stage == stage))
