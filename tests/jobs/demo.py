"""Invented jobs, driven through real sessions with the answers of worked cases."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from diag.cli.places import shipped_rules
from diag.jobs.entries import Entry, Labelled, Opened, as_record
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
    store: Store, book: Rulebook, stages: list[Case], job: str | None, most: int = MOST_STEPS
) -> str:
    """Play a session of a job: each stage's case answers until the next repair; return its id."""
    first = stages[0]
    unit = book.units[first.unit]
    header = {"unit": unit.id, "complaint": first.complaint, "rulebook": book.hash}
    session = store.create(header, job)

    def record(event: Event) -> None:
        store.append(session, *as_event(event))

    controller = SessionController(SessionState(book, unit, first.complaint), record, store.now)
    for _ in range(most):
        if isinstance(controller.prompt, Closing):
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
    return jobs, jobs.open(*as_record(Opened("LIB-03", complaint, label)))


def add(jobs: Jobs, job: str, *entries: Entry) -> None:
    """Write entries down."""
    for one in entries:
        jobs.append(job, *as_record(one))


def demo_stages(book: Rulebook) -> list[Case]:
    """Return the worn battery of LIB-03: as found, and after the repair."""
    cases = cases_of(book, "demo")
    return [cases["LIB-03 on the bench"], cases["LIB-03 after the repair"]]


def stored(store: Store, jobs: Jobs, job: str) -> Iterator[tuple]:
    """Yield the sessions of a job with their events."""
    for row in jobs.sessions(job):
        yield row, store.events(row.id)
