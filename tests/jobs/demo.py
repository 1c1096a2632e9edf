"""Invented jobs, driven through real sessions with the answers of worked cases."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from diag.cli.places import shipped_rules
from diag.jobs.entries import (
    Ended,
    Labelled,
    Offered,
    Opened,
    PartUsed,
    Remarked,
    Worked,
    Written,
    entry_as_data,
)
from diag.jobs.record import index_of
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.rulebook import load_cases
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.journal.events import Event
from diag.session.journal.events import as_record as as_event
from diag.session.prompt import AskFinding, AskTogether, Closing
from diag.session.result import shown
from diag.session.state import SessionState
from diag.store import Store
from diag.store.jobs import Jobs

MOST_STEPS = 300
BEGAN = datetime(2026, 11, 3, 8, 30, tzinfo=UTC)
LIB_03 = Labelled(
    customer="Fenmarsh Mobile Library (invented)",
    vehicle="library van 3",
    tag="LIB-03",
    serial="0042-17",
    about="keys at the depot",
)


class Clock:
    """A clock that goes on by a minute each time it is read."""

    def __init__(self) -> None:
        self._now = BEGAN

    def __call__(self) -> str:
        self._now += timedelta(minutes=1)
        return self._now.isoformat(timespec="seconds")


def names() -> Callable[[], str]:
    """Return what names things one after the other."""
    several = (f"d{number:06d}" for number in range(1, 1000))
    return lambda: next(several)


def store_in(folder: Path) -> Store:
    """Open a store whose times and names are the same each time."""
    return Store(folder / "sessions.db", now=Clock(), new_id=names())


def cases_of(book: Rulebook, *files: str) -> dict[str, Case]:
    """Return the worked cases of some files by name."""
    paths = [shipped_rules() / "cases" / f"{name}.yaml" for name in files]
    return {case.id: case for path in paths for case in load_cases(path, book)}


def drive(
    store: Store,
    book: Rulebook,
    stages: list[Case],
    job: str | None,
    most: int = MOST_STEPS,
    beside: Sequence[str] = (),
) -> str:
    """Play a session of a job: each stage's case answers until the next repair; return its id.

    What is read `beside`, as `FINDING = ANSWER`, is told at the end, before it is closed.
    """
    first = stages[0]
    unit = book.units[first.unit]
    header = {"unit": unit.id, "complaint": first.complaint, "rulebook": book.hash}
    session = store.create(header, job)

    def record(event: Event) -> None:
        store.append(session, *as_event(event))

    controller = SessionController(SessionState(book, unit, first.complaint), record, store.now)
    for _ in range(most):
        if isinstance(controller.prompt, Closing):
            for text in beside:
                controller.change(text)
            store.close_session(session, controller.prompt.ending.kind)
            break
        _answer(controller, stages[min(controller.state.stage, len(stages) - 1)])
    return session


def _answer(controller: SessionController, case: Case) -> None:
    prompt = controller.prompt
    if isinstance(prompt, AskFinding):
        value = case.readings.get(prompt.finding.id)
        if value is None:
            controller.pass_over("not sure")
            return
        line = Line(shown(value))
        try:
            controller.answer(line)
        except ValueError:
            controller.answer(line)  # what looks like a usual slip is meant
    elif isinstance(prompt, AskTogether):
        named = [one.id for one in prompt.findings if case.readings.get(one.id) == "yes"]
        controller.answer(Line(", ".join(named) or "none"))
    else:
        controller.answer(Line("done"))


def opened(store: Store, label: Labelled, complaint: str) -> tuple[Jobs, str]:
    """Open a job on LIB-03."""
    jobs = Jobs(store, index_of)
    return jobs, jobs.open(*entry_as_data(Opened("LIB-03", complaint, label)))


def add(jobs: Jobs, job: str, *entries: Written) -> None:
    """Write entries down."""
    for one in entries:
        jobs.append(job, *entry_as_data(one))


def demo_stages(book: Rulebook) -> list[Case]:
    """Return the worn battery of LIB-03: as found, and after the repair."""
    cases = cases_of(book, "demo")
    return [cases["LIB-03 on the bench"], cases["LIB-03 after the repair"]]


AFTER = (
    "volts at rest = 12.8 V",
    "volts at the heater while igniting = 12.0 V",
    "amps while igniting = 9.4 A",
    "amps in fan run-up = 5.4 A",
    "amps with the fan at speed = 2.2 A",
    "standby amps = 50 mA",
)
"""What is read once more after the repair of LIB-03."""


def finished(store: Store, book: Rulebook, label: Labelled = LIB_03) -> tuple[Jobs, str]:
    """Return a job that is done: the battery of LIB-03 replaced, and the repair proved."""
    jobs, job = opened(store, label, "it lights, then dies after a minute, every morning")
    drive(store, book, demo_stages(book), job, beside=AFTER)
    add(
        jobs,
        job,
        PartUsed("battery 12 V 95 Ah, lead-acid", "EUR 142,50", "worn battery"),
        PartUsed("terminal clamps, a pair", "EUR 9.80", "worn battery"),
        Worked(45.0, "finding the fault"),
        Worked(40.0, "battery replaced, test run"),
        Offered("an isolator beside the battery", False, "not this year"),
        Remarked("the old battery went to those licensed to take it"),
        Ended("cured"),
    )
    return jobs, job


def stored(store: Store, jobs: Jobs, job: str) -> Iterator[tuple]:
    """Yield the sessions of a job with their events."""
    for row in jobs.sessions(job):
        yield row, store.events(row.id)
