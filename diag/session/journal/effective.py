"""What of a journal counts: corrections put in their places, and what was taken back left out.

So a session with an act taken back is the session without it: that is a law, and how it is made.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from diag.model.rulebook import Value
from diag.session.journal.events import Answered, Corrected, Event, LeftOut, Undone, Withdrawn, flat


class JournalEntry(NamedTuple):
    """An event that counts, and the number of the act in the journal that it belongs to."""

    number: int
    event: Event


def effective(journal: Sequence[Event]) -> list[JournalEntry]:
    """Return what counts, in order; of a joint act each event by itself.

    A correction takes the place of the latest answer to its finding, and is an answer of its own
    where there is none. What is taken back twice, or was never there, changes nothing.
    """
    gone = _undone(journal)
    kept: list[JournalEntry] = []
    for number, act in enumerate(journal):
        if number in gone or isinstance(act, Undone):
            continue
        for event in flat(act):
            if isinstance(event, Corrected):
                _correct(kept, number, event)
            elif isinstance(event, Withdrawn):
                place = _latest(kept, event.finding)
                if place is not None:
                    del kept[place]
            elif not isinstance(event, LeftOut | Undone):
                kept.append(JournalEntry(number, event))
    return kept


def latest_act(journal: Sequence[Event]) -> int | None:
    """Return the number of the latest act that was not taken back; None where none is left."""
    gone = _undone(journal)
    left = (
        number
        for number in reversed(range(len(journal)))
        if number not in gone and not isinstance(journal[number], Undone | LeftOut)
    )
    return next(left, None)


class TakenBack(NamedTuple):
    """An answer that raised a danger and was a slip: what it was, and what took its place."""

    finding: str
    was: Value | None
    now: Value | None


def slips(journal: Sequence[Event]) -> tuple[TakenBack, ...]:
    """Return the answers that were taken back as slips, and dangers with them, in order."""
    gone, found = _undone(journal), []
    for number, act in enumerate(journal):
        if number in gone:
            continue
        if isinstance(act, Undone) and act.slip and act.entry < number:
            for one in flat(journal[act.entry]):
                if isinstance(one, Answered):
                    found.append(TakenBack(one.finding, one.value, None))
        for event in flat(act):
            if isinstance(event, Corrected) and event.slip:
                was = _answer(effective(journal[:number]), event.finding)
                found.append(TakenBack(event.finding, was, event.value))
    return tuple(found)


def _answer(kept: Sequence[JournalEntry], finding: str) -> Value | None:
    place = _latest(kept, finding)
    event = None if place is None else kept[place].event
    return event.value if isinstance(event, Answered) else None


def _undone(journal: Sequence[Event]) -> frozenset[int]:
    """Return the numbers of the entries that a later one takes back, itself not taken back."""
    gone = set[int]()
    for number in reversed(range(len(journal))):
        act = journal[number]
        if isinstance(act, Undone) and number not in gone and 0 <= act.entry < number:
            gone.add(act.entry)
    return frozenset(gone)


def _latest(kept: Sequence[JournalEntry], finding: str) -> int | None:
    for place in reversed(range(len(kept))):
        event = kept[place].event
        if isinstance(event, Answered) and event.finding == finding:
            return place
    return None


def _correct(kept: list[JournalEntry], number: int, event: Corrected) -> None:
    place = _latest(kept, event.finding)
    if place is None:
        answer = Answered(event.finding, event.value, event.how, event.when)
        kept.append(JournalEntry(number, answer))
        return
    before = kept[place].event
    assert isinstance(before, Answered)
    answer = Answered(event.finding, event.value, event.how, event.when, before.check)
    kept[place] = JournalEntry(kept[place].number, answer)
