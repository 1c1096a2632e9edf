"""Who answers a session in the tests: readings of before and after the repair."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from diag import Question, Session
from diag.model.case import Case
from diag.model.rulebook import Rulebook

BREAD, BICYCLE = "tests/books/bread", "tests/books/bicycle"
MOST_ANSWERS = 60
OVER = {"smell of gas": "no", "gas tightness": "tight", "brake gone": "no", "brakes hold": "yes"}
"""What shows that a danger of these books is over."""


@dataclass(slots=True)
class Bench:
    """What each check shows; the first repair mends everything."""

    before: Mapping[str, str]
    after: Mapping[str, str]
    repairs: list[str] = field(default_factory=list)
    stops: int = 0
    """Dangers that came up: what is read after one shows that it is over."""

    def reply(self, question: Question) -> str:
        """Return what a person at this bench would type."""
        shows = self.after if self.repairs else self.before
        if question.kind == "stop":
            self.stops += 1
            return "done"
        if self.stops and question.finding in OVER:
            return OVER[question.finding]
        if question.kind in ("repair", "run again"):
            self.repairs.append(question.text)
            return "done"
        if question.kind == "several":
            return ", ".join(one for one in question.choices if shows.get(one) == "yes") or "none"
        return shows.get(question.finding, "unsure")


@dataclass(slots=True)
class Told:
    """A session told to its end, and what it asked after each number of events."""

    session: Session
    asked: dict[int, Question]
    events: list[dict[str, Any]]


def tell(session: Session, bench: Bench) -> Told:
    """Answer all that a session asks."""
    asked = {len(session.events): session.question}
    for _ in range(MOST_ANSWERS):
        if session.done:
            break
        session.answer(bench.reply(session.question))
        asked[len(session.events)] = session.question
    return Told(session, asked, json.loads(json.dumps(session.events)))


def bench_of(case: Case, sound: Case) -> Bench:
    """Return the bench of a worked case, mended into a sound one."""
    return Bench(_typed(case), _typed(sound))


def _typed(case: Case) -> dict[str, str]:
    return {name: str(value) for name, value in case.readings.items()}


def begun(rulebook: Rulebook, case: Case) -> Session:
    """Begin a session on what a case complains of."""
    return Session(rulebook, case.unit, case.complaint)
