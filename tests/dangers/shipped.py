"""The shipped rulebook, compiled once for each unit, and people who answer its sessions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from diag.cli.places import shipped_rules
from diag.library.rules import load_rules
from diag.logic.rests_on import resting_on
from diag.model.case import Case
from diag.model.expression import names_in
from diag.model.rulebook import Proof, Rulebook, Value
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook import load_cases
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.controller import SessionController
from diag.session.journal.events import (
    Answered,
    Declined,
    Event,
    Heeded,
    Passed,
    Repaired,
    Together,
)
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork
from diag.session.state import SessionState

MOST_STEPS = 400


@cache
def book() -> Rulebook:
    """Return the shipped rules without anybody's own."""
    return load_rules(shipped_rules(), formulas=FORMULAS)


@cache
def compiled(unit: str) -> CompiledRulebook:
    """Return what all sessions on a unit share."""
    return CompiledRulebook.of(book(), book().units[unit])


@cache
def cases() -> tuple[Case, ...]:
    """Return the shipped worked cases."""
    return tuple(load_cases(shipped_rules() / "cases", book()))


@cache
def sound(unit: str) -> Mapping[str, Value]:
    """Return what a sound unit of that sort shows, as a worked case tells it in most detail."""
    fit = [case for case in cases() if not case.truth and not case.wrong and case.unit == unit]
    return max(fit, key=lambda case: len(case.readings)).readings


def begin(unit: str, complaint: str) -> SessionState:
    """Return a session with nothing said yet."""
    return SessionState(book(), book().units[unit], complaint, compiled(unit))


def controlled(state: SessionState) -> SessionController:
    """Return a controller over a session that keeps its journal nowhere."""
    return SessionController(state, lambda event: None, lambda: "")


def answered(prompt: Prompt, shows: Mapping[str, Value], repairs: bool = True) -> Event | None:
    """Return what a person does at a prompt who sees what the unit shows; None at an ending.

    What it does not show is passed over, but a joint question is answered in full.
    """
    if isinstance(prompt, AskTogether):
        said = [
            Answered(one.id, shows.get(one.id, one.states[0]), one.how, check=prompt.check.id)
            for one in prompt.findings
        ]
        return Together(tuple(said))
    if isinstance(prompt, AskFinding):
        finding, check = prompt.finding, prompt.check.id if prompt.check else ""
        if finding.id not in shows:
            return Passed(finding.id, "cannot")
        again = prompt.again is not None or prompt.fails
        return Answered(finding.id, shows[finding.id], finding.how, check=check, again=again)
    return _other_than_a_question(prompt, repairs)


def passed(prompt: Prompt, reason: str, repairs: bool) -> Event | None:
    """Return what a person does at a prompt who reads nothing; None at an ending."""
    if isinstance(prompt, AskTogether):
        return Together(tuple(Passed(one.id, reason) for one in prompt.findings))
    if isinstance(prompt, AskFinding):
        return Passed(prompt.finding.id, reason)
    return _other_than_a_question(prompt, repairs)


def _other_than_a_question(prompt: Prompt, repairs: bool) -> Event | None:
    if isinstance(prompt, StopWork):
        return Heeded(prompt.danger.id)
    if isinstance(prompt, Closing):
        return None
    assert not isinstance(prompt, AskFinding | AskTogether)
    return Repaired(prompt.cause.id) if repairs else Declined(prompt.cause.id)


def answering(state: SessionState, shows: Mapping[str, Value]) -> Iterator[Prompt]:
    """Answer a session honestly to its end; yield each prompt before it is answered."""
    for _ in range(MOST_STEPS):
        prompt = next_prompt(state)
        yield prompt
        event = answered(prompt, shows)
        if event is None:
            return
        state.apply(event)
    raise AssertionError("the session does not come to an end")


def passing(state: SessionState, reason: str, repairs: bool) -> Closing:
    """Pass a session over to its end, and return that."""
    for _ in range(MOST_STEPS):
        prompt = next_prompt(state)
        event = passed(prompt, reason, repairs)
        if event is None:
            assert isinstance(prompt, Closing)
            return prompt
        state.apply(event)
    raise AssertionError("the session does not come to an end")


@dataclass(frozen=True, slots=True)
class OnceAllIsMended:
    """Answers as a case does, but the complaint lasts until every cause of it is mended.

    A case tells what reads otherwise after each repair in the order in which it names them; here
    the repairs may come in any order.
    """

    case: Case

    def answer(self, state: SessionState, finding: str, check: str) -> Value | None:
        """Return what the unit shows now."""
        made = [*(repair.cause for repair in state.repairs), state.in_proof]
        mended = [cause for cause in made if cause in self.case.truth]
        if finding in self._of_the_complaint(state) and set(mended) != set(self.case.truth):
            own = [one for one in mended if finding in self._under(state, book().causes[one].proof)]
        else:
            own = [*mended, *self.case.truth] if set(mended) == set(self.case.truth) else mended
        for cause in reversed(own):
            if finding in (later := self.case.after.get(cause, {})):
                return later[finding]
        return self.case.readings.get(finding)

    def _of_the_complaint(self, state: SessionState) -> frozenset[str]:
        complaint = book().complaints[self.case.complaint]
        return self._under(state, (*complaint.proof, *complaint.lesser_proof))

    def _under(self, state: SessionState, proofs: Iterable[Proof]) -> frozenset[str]:
        names = names_in(*(proof.condition for proof in proofs))
        return frozenset(resting_on(names, state.compiled.below.get))
