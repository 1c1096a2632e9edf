"""What a session came to, worked out from its journal: repairs, with what came of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from diag.jobs.learning.replayed import Replayed, replayed
from diag.model.rulebook import Rulebook
from diag.session.proof.run import RepairResult
from diag.session.state import SessionState
from diag.store.outcomes import CameTo, Outcomes, RepairOutcome, SeenSign, Summary
from diag.store.sessions import Store, StoredEvent


def summary_of(
    rulebook: Rulebook, unit: str, complaint: str, stored: Sequence[StoredEvent]
) -> Summary:
    """Return what the entries of a session come to; `KeyError` for a unit that is not known.

    A cause repaired twice is one verdict: its share before the first time, its result after the
    last.
    """
    entries = max((one.number for one in stored), default=0)
    work = replayed(rulebook, unit, complaint, stored)
    state, outcomes = work.state, dict[str, RepairOutcome]()
    for repair, result in zip(work.repairs, _results(state), strict=True):
        first = outcomes.get(repair.cause)
        share = first.share if first else repair.share
        outcomes[repair.cause] = RepairOutcome(
            repair.at, state.complaint, unit, repair.cause, round(share, 6), came_to(result)
        )
    return Summary(entries, tuple(outcomes.values()), _seen(work, tuple(outcomes.values())))


def _results(state: SessionState) -> Sequence[RepairResult]:
    under_way = [state.proving.result] if state.in_proof else []
    return [*state.results, *under_way]


def came_to(result: RepairResult) -> CameTo:
    """Return in a word how a repair came out."""
    if result.proved:
        return "proved"
    if result.own == "failed":
        return "failed"
    if result.complaint == "failed":
        return "holds" if result.holds else "went on"
    return "open"


def _seen(work: Replayed, outcomes: Sequence[RepairOutcome]) -> tuple[SeenSign, ...]:
    """Return the signs before the first repair, where that repair alone put all right."""
    if len(outcomes) != 1 or outcomes[0].result != "proved":
        return ()
    read = sorted((one.sign, one.state) for one in work.first_signs)
    signs = [sign for sign, _ in read]
    return tuple(
        SeenSign(outcomes[0].cause, sign, one) for sign, one in read if signs.count(sign) == 1
    )


def summarise(store: Store, rulebook: Rulebook, session: str) -> bool:
    """Write what a session came to; tell whether these rules know its unit and complaint."""
    header: Mapping[str, object] = store.session(session).header
    unit, complaint = header.get("unit"), header.get("complaint")
    known = unit in rulebook.units and complaint in rulebook.complaints
    if known and isinstance(unit, str) and isinstance(complaint, str):
        summary = summary_of(rulebook, unit, complaint, store.events(session))
        Outcomes(store).keep(session, summary)
    return known


def rebuild(
    store: Store,
    rulebook: Rulebook,
    *,
    anew: bool = False,
    step: Callable[[float], None] = lambda share: None,
) -> tuple[int, int]:
    """Work out what sessions of jobs came to where that is not written yet, or all `anew`.

    Returns how many were worked out, and how many are of a unit or complaint that these rules do
    not know. `step` takes the share done, 0 to 1.
    """
    if anew:
        Outcomes(store).forget()
    waiting = Outcomes(store).stale()
    done = 0
    for count, session in enumerate(waiting, 1):
        done += summarise(store, rulebook, session)
        step(count / len(waiting))
    return done, len(waiting) - done
