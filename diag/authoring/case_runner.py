"""A session answered by a worked case instead of a person."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

from diag.model.case import Case
from diag.model.rulebook import Rulebook, Value
from diag.reason.plan.costs import minutes_of
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.events import (
    Answered,
    DangerCleared,
    Event,
    Judged,
    Passed,
    Repaired,
    Withdrawn,
)
from diag.session.inconsistent import inconsistency_in
from diag.session.next_prompt import due_judgement, next_prompt
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    RunAgain,
    StopWork,
)
from diag.session.state import SessionState

MOST_STEPS = 200


@dataclass(frozen=True, slots=True)
class CaseRun:
    """How a session on a case ended, and whether it found the truth."""

    case: Case
    ranking: tuple[tuple[str, float], ...]
    nothing: float
    unknown: float
    dangers: tuple[str, ...]
    proposed: tuple[str, ...]
    """The repairs proposed, in order."""
    late_dangers: tuple[str, ...]
    """Dangers raised only after a repair or another check had been proposed."""
    suspects: tuple[str, ...]
    """Readings that the tool asks to take again."""
    checks: tuple[str, ...]
    minutes: float
    ending: Prompt

    @property
    def failures(self) -> tuple[str, ...]:
        """Say in one sentence each what is not as the case wants it; empty when all is well."""
        said = []
        ranked = dict.fromkeys((*self.proposed, *(name for name, _ in self.ranking)))
        first = list(ranked)[: 1 if len(self.case.truth) < 2 else 3]
        missed = [name for name in self.case.truth if name not in first]
        if missed:
            lost = ", ".join(f"`{name}`" for name in missed)
            leading = ", ".join(f"`{name}` {share:.2f}" for name, share in self.ranking[:3])
            said.append(f"{lost} is not found; leading are {leading}")
        if not self.case.truth and self.ranking and self.ranking[0][1] >= self.nothing:
            name, share = self.ranking[0]
            said.append(f"nothing is wrong, yet `{name}` leads with {share:.2f}")
        said += [
            f"danger `{name}` is not raised"
            for name in self.case.dangers
            if name not in self.dangers
        ]
        said += [f"danger `{name}` is raised too late" for name in self.late_dangers]
        if self.case.wrong and not set(self.case.wrong) & set(self.suspects):
            planted = ", ".join(f"`{name}`" for name in self.case.wrong)
            said.append(f"the wrong reading {planted} is not suspected")
        return tuple(said)


class Answers(Protocol):
    """Who answers a session in a person's stead."""

    @property
    def proves(self) -> bool:
        """Return whether it can tell what the run after a repair reads."""

    def answer(self, state: SessionState, finding: str, check: str) -> Value | None:
        """Return what a finding of a check reads now, None where that cannot be told."""


@dataclass(frozen=True, slots=True)
class AsWritten:
    """Answers with what the case says that each check would show."""

    case: Case
    proves: bool = False

    def answer(self, state: SessionState, finding: str, check: str) -> Value | None:
        """Return the reading that the case gives, which is none of what it reads after a repair."""
        again = state.stage and finding in state.readings
        return None if again else self.case.readings.get(finding)


def run_case(
    rulebook: Rulebook,
    case: Case,
    answers: Answers | None = None,
    in_vain: int = 0,
    compiled: CompiledRulebook | None = None,
) -> CaseRun:
    """Answer a whole session from the case, up to its last repair or the end.

    With two causes, the repair of the first does not mend the unit, and the session goes on; so
    it does after as many failed repairs as `in_vain`. A planted wrong reading that was not asked
    for is volunteered at the end, to be suspected all the same. Cases of one unit may share its
    `compiled`.
    """
    state = SessionState(rulebook, rulebook.units[case.unit], case.complaint, compiled)
    session = _CaseSession(case, answers or AsWritten(case), state, in_vain)
    for name in case.volunteered:
        session.answer(name, "")
    prompt = next_prompt(session.state)
    for _ in range(MOST_STEPS):
        if not session.follow(prompt):
            return session.run(prompt)
        prompt = next_prompt(session.state)
    return session.run(Closing("unknown"))


@dataclass(slots=True)
class _CaseSession:
    """A session under way on a case: it follows each prompt, and keeps every event and repair."""

    case: Case
    by: Answers
    state: SessionState
    in_vain: int
    """How many failed repairs the session may go on after."""
    said: list[Event] = field(default_factory=list)
    repairs: list[Event] = field(default_factory=list)
    proposed: list[str] = field(default_factory=list)
    late: list[str] = field(default_factory=list)
    doubted: set[str] = field(default_factory=set)
    """Readings that the session asked to take again."""

    def follow(self, prompt: Prompt) -> bool:
        """Do what a prompt wants; return whether the session goes on."""
        if isinstance(prompt, StopWork):
            self.late += [prompt.danger.id] if _advised(self.state) else []
            self.take(DangerCleared(prompt.danger.id))
        elif isinstance(prompt, AskTogether):
            for finding in prompt.findings:
                self.answer(finding.id, prompt.check.id, otherwise="no")
        elif isinstance(prompt, AskFinding) and prompt.again:
            self.doubted.update(prompt.again.inconsistency.readings)
            self._take_again(prompt)
        elif isinstance(prompt, AskFinding):
            self.answer(prompt.finding.id, prompt.check.id if prompt.check else "")
        elif isinstance(prompt, RunAgain):
            self.take(Repaired(prompt.cause.id))
        elif not (isinstance(prompt, ProposeRepair) and self._repair(prompt.cause.id)):
            return False
        if self.state.in_proof and (not self.by.proves or due_judgement(self.state)):
            self.take(Judged(self.state.in_proof, held=False))
        return True

    def take(self, event: Event) -> None:
        """Take in one event."""
        done = isinstance(event, Repaired | Judged)
        (self.repairs if done else self.said).append(event)
        self.state.apply(event)

    def answer(self, finding: str, check: str, otherwise: str = "") -> None:
        """Let a finding be answered.

        What does not prove a repair tells of the unit as it came in, whenever it is asked: its
        answers count as given before the repairs.
        """
        value = self.by.answer(self.state, finding, check) or otherwise
        if value == "":
            self.take(Passed(finding, "the case does not say"))
        else:
            how = self.state.rulebook.findings[finding].how
            self.take(Answered(finding, value, how, check=check))
        if self.repairs and not self.by.proves:
            old = self.state
            anew = SessionState(old.rulebook, old.unit, old.complaint, old.compiled)
            self.state = anew.replay([*self.said, *self.repairs])
            self.state.check = old.check

    def _take_again(self, prompt: AskFinding) -> None:
        """Take a reading again: a good one stays, and one planted wrong cannot be made out."""
        finding = prompt.finding.id
        if finding in self.case.wrong:
            self.take(Withdrawn(finding))
            self.take(Passed(finding, "it reads otherwise now"))
        else:
            reading = self.state.readings[finding]
            check = prompt.check.id if prompt.check else ""
            self.take(Answered(finding, reading.value, reading.how, check=check, again=True))

    def _repair(self, cause: str) -> bool:
        """Make a repair, unless one has failed once too often or the last that the unit needs."""
        self.proposed.append(cause)
        vain = set(self.proposed) - set(self.case.truth)
        goes_on = len(vain) <= self.in_vain and not set(self.case.truth) <= set(self.proposed)
        if goes_on:
            self.take(Repaired(cause))
        return goes_on

    def run(self, ending: Prompt) -> CaseRun:
        """Return how it all went."""
        state, posterior = self.state, self.state.posterior
        raised, checks = state.raised_dangers(), tuple(sorted(state.done_checks))
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
            tuple(sorted(self.doubted)),
            checks,
            minutes_of(state.rulebook, checks),
            ending,
        )


def _advised(state: SessionState) -> bool:
    """Return whether anything but the safety look had been done when a danger that it asks for
    came up."""
    safety = state.rulebook.asked_first
    checks = [state.rulebook.checks[name] for name in state.done_checks]
    raised = [
        name
        for danger in state.open_dangers()
        for name in state.rulebook.dangers[danger].ask_first
        if name in state.readings
    ]
    return bool(raised) and any(not safety.intersection(check.yields) for check in checks)
