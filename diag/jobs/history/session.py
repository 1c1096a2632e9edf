"""The history of one session: its journal gone through again, act by act."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from diag.jobs.history.limits import limit_of
from diag.jobs.history.told import (
    DangerSeen,
    ProofStand,
    PutForward,
    RepairMade,
    SessionHistory,
    Taken,
)
from diag.jobs.pictures.drawn import JobPicture
from diag.jobs.pictures.read import pictures_of
from diag.logic.evaluate import evaluate
from diag.logic.rests_on import resting_on
from diag.model.expression import names_in, written
from diag.model.frozen import frozen
from diag.model.quantity import Quantity
from diag.model.rulebook import Rulebook
from diag.rulebook.answer import with_error
from diag.session.account.course import belief_course
from diag.session.account.reasons import Reasons, reasons
from diag.session.account.spent import spent
from diag.session.account.suspects import suspects
from diag.session.journal.effective import effective, slips
from diag.session.journal.events import Answered, Event, Repaired, journal_of
from diag.session.journal.known import not_known
from diag.session.next_prompt import next_prompt
from diag.session.proof.run import Stands
from diag.session.result import told_fact
from diag.session.state import SessionState
from diag.store.sessions import SessionRow, StoredEvent

MOST_SUSPECTS = 5
LEAST_SUSPECT = 0.03
"""Share from which a cause is put forward in a report."""


def session_history(
    book: Rulebook, row: SessionRow, events: Sequence[StoredEvent]
) -> SessionHistory:
    """Return the history of a session whose unit and complaint these rules know.

    What it tells follows from its journal and the rules as they are now. Raises `KeyError` for an
    unknown unit.
    """
    unit = book.units[str(row.header["unit"])]
    complaint = str(row.header["complaint"])
    journal = journal_of(events)
    times = {one.number - 1: one.at for one in events}
    way = _GoneThrough(SessionState(book, unit, complaint), times)
    way.go(journal)
    state = SessionState(book, unit, complaint, way.state.compiled).replay(journal)
    return SessionHistory(
        session=row.id,
        started=row.started,
        unit=unit,
        complaints=state.complaints,
        outcome=row.outcome,
        rules_changed=row.header.get("rulebook") != book.hash,
        left_out=tuple(dict.fromkeys(state.left_out)),
        readings=tuple(way.readings),
        repairs=tuple(way.repairs_of(state)),
        dangers=tuple(way.dangers),
        slips=slips(journal),
        passed=dict(state.passed),
        out_of_reach=tuple(sorted(state.reach.out)),
        declined=tuple(sorted(state.declined)),
        notes=tuple(state.notes),
        beliefs=belief_course(state),
        suspects=tuple(_suspects(state)),
        proof=tuple(_proof(state)),
        signs=tuple(told_fact(state, one) for one in state.now.facts if one.kind == "sign"),
        pictures=(*way.pictures, *((state.stage, one) for one in pictures_of(state))),
        comes_next=next_prompt(state),
        spent=spent(state),
    )


@frozen
class _RepairBegun:
    cause: str
    at: str
    share: float
    reasons: Reasons


class _GoneThrough:
    """A session gone through again, and what was seen on the way."""

    def __init__(self, state: SessionState, times: Mapping[int, str]) -> None:
        self.state, self._times = state, times
        self.readings: list[Taken] = []
        self.dangers: list[DangerSeen] = []
        self.pictures: list[tuple[int, JobPicture]] = []
        self._begun: list[_RepairBegun] = []
        self._passages = 0

    def go(self, journal: Sequence[Event]) -> None:
        """Take what counts, event by event."""
        for number, event in effective(journal):
            if not_known(event, self.state.rulebook):
                continue
            if isinstance(event, Repaired):
                self._repair(event, self._times.get(number, ""))
            self.state.apply(event)
            if isinstance(event, Answered):
                self._read(event, event.when or self._times.get(number, ""))

    def _repair(self, event: Repaired, at: str) -> None:
        state = self.state
        self.pictures += [(state.stage, one) for one in pictures_of(state)]
        share = state.posterior.causes.get(event.cause, 0.0)
        self._begun.append(_RepairBegun(event.cause, at, share, reasons(state, event.cause)))

    def _read(self, event: Answered, at: str) -> None:
        state, name = self.state, event.finding
        limit = limit_of(state, name)
        meter = with_error(event.value, name, state.unit)
        known = isinstance(meter, Quantity) and meter.error > 0
        told = _error(meter) if known and isinstance(meter, Quantity) else ""
        self.readings.append(
            Taken(name, event.value, event.how, at, event.check, state.stage, limit, told)
        )
        for one in state.dangers.passages[self._passages :]:
            if one.what == "raised":
                self.dangers.append(DangerSeen(one.danger, one.by, event.value, at))
            else:
                self._release(one.danger, event, at)
        self._passages = len(state.dangers.passages)

    def _release(self, danger: str, event: Answered, at: str) -> None:
        """Close every raising of a danger that is still open: one reading releases them all."""
        self.dangers = [
            DangerSeen(
                one.danger,
                one.raised_by,
                one.raised,
                one.raised_at,
                event.finding,
                event.value,
                at,
            )
            if one.danger == danger and one.holds
            else one
            for one in self.dangers
        ]

    def repairs_of(self, state: SessionState) -> Iterator[RepairMade]:
        """Yield the repairs with their results, that under way as far as it was read."""
        results = list(state.results)
        if state.in_proof:
            results.append(state.proving.result)
        for one, result in zip(self._begun, results, strict=True):
            yield RepairMade(one.cause, one.at, one.share, one.reasons, result)


def _error(value: Quantity) -> str:
    """Write what a meter may be out by, in two digits, in the reading's unit."""
    return value.unit.written(float(f"{value.error / value.unit.factor:.2g}"))


def _suspects(state: SessionState) -> Iterator[PutForward]:
    """Yield the likeliest causes while something is left to find, the likeliest first."""
    if state.proved or state.in_proof:
        return
    for one in suspects(state).leading[:MOST_SUSPECTS]:
        if one.share >= LEAST_SUSPECT:
            yield PutForward(one.cause, one.share, reasons(state, one.cause))


def _proof(state: SessionState) -> Iterator[ProofStand]:
    book = state.rulebook
    for name in state.complaints:
        for proof in book.complaints[name].proof if name in book.complaints else ():
            outcome = evaluate(proof.condition, state.now)
            missing = tuple(one for one in sorted(outcome.missing) if one in book.findings)
            under = resting_on(names_in(proof.condition), state.compiled.below.get)
            told = [one for one in under if one in state.now.told and one in state.readings]
            stands: dict[bool | None, Stands] = {True: "held", False: "failed", None: "unread"}
            yield ProofStand(
                written(proof.condition),
                stands[outcome.truth],
                tuple((one, state.readings[one].value) for one in told),
                missing if outcome.truth is None else (),
            )
