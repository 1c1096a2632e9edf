"""A session answered by a worked case instead of a person."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Protocol

from diag.authoring.case_run import CaseRun
from diag.logic.rests_on import findings_under
from diag.model.case import Case
from diag.model.expression import names_in
from diag.model.rulebook import Rulebook, Value
from diag.reason.plan.costs import minutes_of
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.inconsistent import inconsistency_in
from diag.session.journal.events import (
    Answered,
    Event,
    Heeded,
    Passed,
    Repaired,
    Together,
    Withdrawn,
)
from diag.session.next_prompt import next_prompt
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    RunAgain,
    StopWork,
    acts_of,
)
from diag.session.slips import usual_slip
from diag.session.state import SessionState

MOST_STEPS = 300
MOST_HEEDED = 40


class Answers(Protocol):
    """Who answers a session in a person's stead."""

    def answer(self, state: SessionState, finding: str, check: str) -> Value | None:
        """Return what a finding of a check reads now, None where that cannot be told."""


@dataclass(frozen=True, slots=True)
class AsWritten:
    """Answers with what the case says that each check would show, and would after each repair."""

    case: Case

    def answer(self, state: SessionState, finding: str, check: str) -> Value | None:
        """Return the reading that the case gives for the unit as it is now.

        While a cause of the truth is left the complaint goes on, whatever was repaired: what its
        proof alone reads stays as it was.
        """
        heeded = [event.danger for event in state.journal if isinstance(event, Heeded)]
        made = [*(repair.cause for repair in state.repairs), state.in_proof]
        left = any(made) and not set(self.case.truth) <= set(made)
        goes_on = left and finding in _proof_findings(state, made)
        for done in reversed(heeded if goes_on else [*heeded, *made]):
            later = self.case.after.get(done, {})
            if finding in later:
                return later[finding]
        return self.case.readings.get(finding)


def _proof_findings(state: SessionState, made: Iterable[str]) -> frozenset[str]:
    """Return what the complaint's proofs read and those of the causes repaired do not."""
    book, below = state.rulebook, state.compiled.below
    complaint = book.complaints[state.complaint]
    own = [proof for cause in made if cause in book.causes for proof in book.causes[cause].proof]
    whole, mine = (
        {name for proof in proofs for name in findings_under(proof.condition, book.findings, below)}
        for proofs in ((*complaint.proof, *complaint.lesser_proof), own)
    )
    return frozenset(whole - mine)


def run_case(
    rulebook: Rulebook,
    case: Case,
    answers: Answers | None = None,
    in_vain: int = 0,
    compiled: CompiledRulebook | None = None,
) -> CaseRun:
    """Answer a whole session from the case, up to the last repair that it tells of, or to its end.

    The session goes on after a repair that the unit needs, where the case says what reads
    otherwise then, and after as many repairs in vain as `in_vain`. A planted wrong reading that
    was not asked for is volunteered at the end, to be suspected all the same. Cases of one unit
    may share its `compiled`.
    """
    state = SessionState(rulebook, rulebook.units[case.unit], case.complaint, compiled)
    session = _CaseSession(case, answers or AsWritten(case), state, in_vain)
    for name in case.volunteered:
        session.answer(name, "")
    for _ in range(MOST_STEPS):
        prompt = next_prompt(session.state)
        if not session.follow(prompt):
            return session.run(prompt)
    return session.run(None)


@dataclass(slots=True)
class _CaseSession:
    """A session under way on a case: it follows each prompt, and keeps every event and repair."""

    case: Case
    by: Answers
    state: SessionState
    in_vain: int
    """How many repairs in vain the session may go on after."""
    proposed: list[str] = field(default_factory=list)
    late: list[str] = field(default_factory=list)
    forbidden: list[str] = field(default_factory=list)
    doubted: set[str] = field(default_factory=set)
    """Readings that the session asked to take again."""
    heeded: int = 0

    def follow(self, prompt: Prompt) -> bool:
        """Do what a prompt wants; return whether the session goes on."""
        self._watch(prompt)
        if isinstance(prompt, StopWork):
            self.late += [prompt.danger.id] if _advised(self.state) else []
            self.heeded += 1
            self.state.apply(Heeded(prompt.danger.id))
        elif isinstance(prompt, AskTogether):
            check = prompt.check.id
            said = [self._said(finding.id, check, "no") for finding in prompt.findings]
            self.state.apply(Together(tuple(said)))
        elif isinstance(prompt, AskFinding) and prompt.again:
            self.doubted.update(prompt.again.inconsistency.readings)
            self._take_again(prompt)
        elif isinstance(prompt, AskFinding):
            check = prompt.check.id if prompt.check else ""
            self.answer(prompt.finding.id, check, prompt.fails)
        elif isinstance(prompt, RunAgain):
            self.state.apply(Repaired(prompt.cause.id))
        elif not (isinstance(prompt, ProposeRepair) and self._repair(prompt.cause.id)):
            return False
        return self.heeded < MOST_HEEDED

    def _watch(self, prompt: Prompt) -> None:
        """Note what is put forward against a danger that holds."""
        if not isinstance(prompt, StopWork) and acts_of(prompt) & self.state.dangers.forbidden:
            named = prompt.cause.id if isinstance(prompt, ProposeRepair) else ""
            check = getattr(prompt, "check", None)
            self.forbidden.append(check.id if check else named)

    def answer(self, finding: str, check: str, again: bool = False) -> None:
        """Let a finding be answered."""
        self.state.apply(self._said(finding, check, again=again))

    def _said(self, finding: str, check: str, otherwise: str = "", again: bool = False) -> Event:
        value = self.by.answer(self.state, finding, check) or otherwise
        if value == "":
            return Passed(finding, "the case does not say")
        asked = self.state.rulebook.findings[finding]
        answered = Answered(finding, value, asked.how, check=check, again=again)
        slip = usual_slip(asked, value, self.state)
        if slip is None:
            return answered
        at_odds = {finding} | names_in(slip.when) & self.state.readings.keys()
        self.doubted |= at_odds
        return self._looked_up_again(answered, at_odds & set(self.case.wrong))

    def _looked_up_again(self, answered: Answered, wrong: set[str]) -> Event:
        """Take what was planted wrong back where a slip was guessed; the rest is as it was."""
        earlier = sorted(wrong - {answered.finding})
        gone: list[Event] = [Withdrawn(name) for name in earlier]
        gone += [Passed(name, "it reads otherwise now") for name in sorted(wrong)]
        last = [] if answered.finding in wrong else [answered]
        return Together((*gone, *last)) if len(gone) + len(last) > 1 else (*gone, *last)[0]

    def _take_again(self, prompt: AskFinding) -> None:
        """Take a reading again: a good one stays, and one planted wrong cannot be made out."""
        finding = prompt.finding.id
        if finding in self.case.wrong:
            gone = Passed(finding, "it reads otherwise now")
            self.state.apply(Together((Withdrawn(finding), gone)))
        else:
            reading = self.state.readings[finding]
            check = prompt.check.id if prompt.check else ""
            again = Answered(finding, reading.value, reading.how, check=check, again=True)
            self.state.apply(again)

    def _repair(self, cause: str) -> bool:
        """Make a repair, unless it is in vain once too often or the case tells nothing after it."""
        self.proposed.append(cause)
        vain = set(self.proposed) - set(self.case.truth)
        told = cause not in self.case.truth or cause in self.case.after
        left = not set(self.case.truth) <= set(self.proposed)
        # What is held for a slip before a repair is suspected, though it may not pay to ask again.
        suspect = inconsistency_in(self.state)
        self.doubted.update(suspect.readings if suspect else ())
        if len(vain) > self.in_vain or not (left or told):
            return False
        self.state.apply(Repaired(cause))
        return True

    def run(self, ending: Prompt | None) -> CaseRun:
        """Return how it all went."""
        state, posterior = self.state, self.state.posterior
        raised = tuple(one.danger for one in state.dangers.passages if one.what == "raised")
        checks = tuple(sorted(state.done_checks))
        for name in self.case.wrong:
            if name not in state.readings and name not in self.doubted:
                self.answer(name, "")
        inconsistency = inconsistency_in(self.state)
        self.doubted.update(inconsistency.readings if inconsistency else ())
        return CaseRun(
            self.case,
            posterior.ranking[:5],
            posterior.nothing,
            posterior.unknown,
            raised,
            tuple(self.proposed),
            tuple(self.late),
            tuple(self.forbidden),
            tuple(sorted(self.doubted)),
            checks,
            minutes_of(state.rulebook, checks),
            minutes_of(state.rulebook, self.case.path),
            ending.ending if isinstance(ending, Closing) else None,
        )


def _advised(state: SessionState) -> bool:
    """Return whether anything but the safety look had been done when a danger that it asks for
    came up."""
    safety = state.rulebook.asked_first
    checks = [state.rulebook.checks[name] for name in state.done_checks]
    raised = any(
        state.dangers.held[name].by in state.rulebook.dangers[name].ask_first
        for name in state.dangers.unheeded
    )
    return raised and any(not safety.intersection(check.yields) for check in checks)
