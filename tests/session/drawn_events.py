"""Events of every kind, drawn for a rulebook: the laws of a session are tried on these.

A kind of event that is added to `EVENTS` needs a way of being drawn here, or a test fails.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from hypothesis import strategies as st

from diag.model.quantity import Quantity
from diag.model.rulebook import Finding, Rulebook, Value
from diag.session.journal.events import (
    CANNOT,
    Answered,
    Chosen,
    Complained,
    Corrected,
    Declined,
    Equipped,
    Event,
    Heeded,
    LeftOut,
    Noted,
    Passed,
    Repaired,
    Together,
    Undone,
    Withdrawn,
)
from diag.session.journal.recalled import Recalled, Recollection
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, AskTogether, ProposeRepair, RunAgain, StopWork
from diag.session.state import SessionState

MOST_ENTRIES = 14
HOWS = st.sampled_from(("told", "seen", "measured"))
Draw = Callable[[Rulebook], st.SearchStrategy[Event]]


def values(finding: Finding) -> st.SearchStrategy[Value]:
    """Draw an answer to a finding."""
    if finding.choices:
        return st.sampled_from(finding.states)
    if finding.kind == "code":
        return st.sampled_from(("3-2", "E10", "2 long 3 short", "7"))
    unit, believable = finding.unit, finding.believable
    assert unit is not None
    assert believable is not None
    numbers = st.integers(int(believable[0].si), int(believable[1].si))
    return numbers.map(lambda number: Quantity(float(number), unit))


def _named(book: Rulebook) -> st.SearchStrategy[Finding]:
    return st.sampled_from(sorted(book.findings.values(), key=lambda one: one.id))


def answers(book: Rulebook) -> st.SearchStrategy[Event]:
    """Draw an answer, as part of a check that yields it or volunteered, taken again or not."""

    def of(finding: Finding) -> st.SearchStrategy[Event]:
        checks = [name for name, check in book.checks.items() if finding.id in check.yields]
        check = st.sampled_from(["", *checks])
        return st.builds(
            Answered, st.just(finding.id), values(finding), HOWS, st.just(""), check, st.booleans()
        )

    return _named(book).flatmap(of)


def _corrections(book: Rulebook) -> st.SearchStrategy[Event]:
    return _named(book).flatmap(
        lambda one: st.builds(
            Corrected, st.just(one.id), values(one), HOWS, st.just(""), st.booleans()
        )
    )


def _recalled(book: Rulebook) -> st.SearchStrategy[Event]:
    def of(why: st.SearchStrategy[str]) -> st.SearchStrategy[tuple[Recollection, ...]]:
        cause, times = st.sampled_from(sorted(book.causes)), st.sampled_from((0.1, 0.5, 2.0, 30.0))
        return st.lists(st.builds(Recollection, cause, times, why), max_size=4).map(tuple)

    complaint = st.sampled_from(["", *book.complaints])
    whys = st.sampled_from(("repaired lately", "it did not hold"))
    return st.builds(Recalled, complaint, st.integers(0, 99), of(st.just("")), of(whys))


def _causes(kind: Callable[[str], Event]) -> Draw:
    return lambda book: st.sampled_from(sorted(book.causes)).map(kind)


def _findings(kind: Callable[[str], Event]) -> Draw:
    return lambda book: st.sampled_from(sorted(book.findings)).map(kind)


DRAWN: Mapping[type[Event], Draw] = {
    Answered: answers,
    Corrected: _corrections,
    Withdrawn: _findings(Withdrawn),
    Undone: lambda book: st.integers(0, MOST_ENTRIES).map(Undone),
    Passed: lambda book: st.builds(
        Passed, st.sampled_from(sorted(book.findings)), st.sampled_from(("not sure", CANNOT))
    ),
    Equipped: lambda book: st.builds(
        Equipped,
        st.sampled_from(("", *book.profiles)),
        st.lists(st.sampled_from(book.tools or ("spanner",)), unique=True).map(tuple),
    ),
    Recalled: _recalled,
    Complained: lambda book: st.lists(st.sampled_from(sorted(book.complaints)), max_size=3).map(
        lambda names: Complained(tuple(names))
    ),
    Noted: lambda book: st.just(Noted("a remark")),
    Heeded: lambda book: st.sampled_from(sorted(book.dangers)).map(Heeded),
    Repaired: _causes(Repaired),
    Declined: _causes(Declined),
    Chosen: lambda book: st.sampled_from(sorted(book.checks)).map(Chosen),
    Together: lambda book: st.lists(answers(book), min_size=1, max_size=3).map(
        lambda parts: Together(tuple(parts))
    ),
    LeftOut: lambda book: st.just(LeftOut("strange", "a strange entry is left out")),
}


def events(book: Rulebook) -> st.SearchStrategy[Event]:
    """Draw an event of any kind."""
    return st.one_of([draw(book) for draw in DRAWN.values()])


@st.composite
def journals(draw: st.DrawFn, book: Rulebook, complaint: str, unit: str) -> list[Event]:
    """Draw a journal: what follows the session's own prompts, with anything else thrown in."""
    state = SessionState(book, book.units[unit], complaint)
    for _ in range(draw(st.integers(0, MOST_ENTRIES))):
        follows = draw(st.integers(0, 2))
        state.apply(draw(_follows(book, state) if follows else events(book)))
    return state.journal


def _follows(book: Rulebook, state: SessionState) -> st.SearchStrategy[Event]:
    """Draw what a user may do at the prompt."""
    prompt = next_prompt(state)
    if isinstance(prompt, AskFinding):
        check = prompt.check.id if prompt.check else ""
        again = prompt.again is not None or prompt.fails
        return st.one_of(
            values(prompt.finding).map(
                lambda value: Answered(prompt.finding.id, value, "seen", "", check, again)
            ),
            st.just(Passed(prompt.finding.id, "not sure")),
        )
    if isinstance(prompt, AskTogether):
        said = [
            Answered(one.id, one.states[0], one.how, "", prompt.check.id) for one in prompt.findings
        ]
        return st.just(Together(tuple(said)))
    if isinstance(prompt, StopWork):
        return st.just(Heeded(prompt.danger.id))
    if isinstance(prompt, ProposeRepair | RunAgain):
        return st.sampled_from((Repaired(prompt.cause.id), Declined(prompt.cause.id)))
    return events(book)
