"""A whole session on one unit of the workshop, with what it cost and how it ended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import isinf

from diag.model.quantity import OVER_RANGE, UNITS, Quantity
from diag.model.rulebook import Check, Repair, Rulebook, Value
from diag.practice.units import PracticeUnit
from diag.reason.plan.costs import keys_of, minutes_of, opened_after, setup_costs, undone_by_proof
from diag.rulebook import parse_answer
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import Answered, Event, Heeded, Passed, Repaired, Together
from diag.session.next_prompt import next_prompt, time_from_here
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
from diag.session.state import SessionState
from diag.workshop.data.findings import MeasuredFinding
from diag.workshop.data.repairs import mend

MOST_PROMPTS = 250
COOLS = "heater cold"
"""The need of the rules that is a wait."""
MOST_REPAIRS = 8
Decide = Callable[[SessionState], Prompt]
CanDo = Callable[[Check, Rulebook], bool]
"""Say whether a check can be done with the tools and places there are."""


def anything(check: Check, book: Rulebook) -> bool:
    """Say that any check can be done."""
    return True


@dataclass(slots=True)
class Played:
    """How a session went."""

    unit: int
    fault: str
    kind: str
    complaint: str
    truths: tuple[frozenset[str], ...]
    minutes: float = 0.0
    """Hands-on, as the rules count them: without the wait for the heater to cool."""
    waited: float = 0.0
    """Minutes on the unit's own clock in which it ran, cooled or stood, hands on it or not."""
    barred: int = 0
    """Findings passed over for want of a tool or place."""
    to_the_right: float | None = None
    """Minutes until all that is wrong was proposed."""
    told: float | None = None
    """Minutes of work told to be ahead when the plan first spoke, and those that it then took."""
    took: float = 0.0
    starts: int = 0
    proposed: list[str] = field(default_factory=list)
    forbidden: list[str] = field(default_factory=list)
    raised: frozenset[str] = frozenset()
    missed: frozenset[str] = frozenset()
    parts_in_vain: float = 0.0
    ending: str = "given up"
    mended: bool = False
    prompts: int = 0
    impossible: tuple[str, ...] = ()
    said_sound: bool = False

    @property
    def right_first(self) -> bool:
        """Say whether the first repair was right; of a sound unit, if it is called so."""
        if not self.truths:
            return self.said_sound
        return bool(self.proposed) and any(self.proposed[0] in truth for truth in self.truths)

    @property
    def all_found(self) -> bool:
        """Say whether all that is wrong was proposed in the end."""
        return all(truth & set(self.proposed) for truth in self.truths)

    @property
    def untrue(self) -> bool:
        """Say whether it ended by saying more than is so."""
        return self.ending in ("nothing wrong", "proved") and not self.mended


@dataclass(slots=True)
class Player:
    """Answer prompts from a unit and count what they cost."""

    book: Rulebook
    unit: PracticeUnit
    state: SessionState
    played: Played
    can: CanDo = anything
    opened: frozenset[str] = frozenset()
    checks: tuple[str, ...] = ()
    """The checks under way: several where they share a run."""

    def follow(self, prompt: Prompt) -> bool:
        """Do what a prompt wants; return whether the session goes on."""
        if not isinstance(prompt, StopWork) and acts_of(prompt) & self.state.dangers.forbidden:
            check = getattr(prompt, "check", None)
            cause = getattr(prompt, "cause", None)
            self.played.forbidden.append(check.id if check else cause.id if cause else "")
        if getattr(prompt, "choice", None) is not None and self.played.told is None:
            self.played.told = time_from_here(self.state).work
            self.played.took = -self.played.minutes
        if isinstance(prompt, StopWork):
            self.state.apply(Heeded(prompt.danger.id))
        elif isinstance(prompt, AskFinding | AskTogether) and self.barred(prompt):
            self._pass_over(prompt)
        elif isinstance(prompt, AskTogether):
            self.begin(prompt.check)
            said = [self.said(each.id, prompt.check.id) for each in prompt.findings]
            self.state.apply(Together(tuple(said)))
        elif isinstance(prompt, AskFinding):
            again = prompt.again is not None or prompt.fails
            if prompt.check and (again or prompt.opening):
                self.begin(prompt.check, *prompt.members)
            elif prompt.check and prompt.check.id not in self.checks:
                self._join(prompt.check)
            check = prompt.check.id if prompt.check else ""
            self.state.apply(self.said(prompt.finding.id, check, again))
        elif isinstance(prompt, RunAgain):
            self._proof_run()
            self.state.apply(Repaired(prompt.cause.id))
        elif isinstance(prompt, ProposeRepair):
            return self._repair(prompt.cause.id)
        else:
            return False
        return True

    def barred(self, prompt: AskFinding | AskTogether) -> bool:
        """Say whether a tool or place is wanting for what is asked."""
        return prompt.check is not None and not self.can(prompt.check, self.book)

    def _pass_over(self, prompt: AskFinding | AskTogether) -> None:
        together = isinstance(prompt, AskTogether)
        asked = prompt.findings if isinstance(prompt, AskTogether) else (prompt.finding,)
        passed = tuple(Passed(each.id, "no tool or place for it") for each in asked)
        self.played.barred += len(passed)
        self.state.apply(Together(passed) if together else passed[0])

    def begin(self, *checks: Check) -> None:
        """Begin a check, or several that share a run: their minutes are paid, the run is new."""
        self.checks = tuple(dict.fromkeys(each.id for each in checks))
        self.played.minutes += minutes_of(self.book, self.checks, self.opened)
        for name in self.checks:
            self._open(self.book.checks[name])
        self.unit.visit.begin([name for each in checks for name in each.yields])

    def _join(self, check: Check) -> None:
        """Take another check's readings: in the run under way, where it shares that."""
        runs = {self.book.checks[name].run for name in self.checks}
        if not check.run or check.run not in runs:
            self.begin(check)
            return
        self.checks = (*self.checks, check.id)
        self.played.minutes += minutes_of(self.book, [check.id], self.opened)
        self.played.minutes -= self.book.runs[check.run].minutes
        self._open(check)

    def _open(self, check: Check) -> None:
        self.played.minutes -= self._cooling(check) + self._left_alone(check)
        self.opened = opened_after(self.book, check.id, self.opened)

    def _cooling(self, act: Check | Repair) -> float:
        """Return the minutes that an act is billed for letting the heater cool: they are waits."""
        return sum(setup_costs(self.book)[key] for key in self._new(act) & {COOLS})

    def _left_alone(self, check: Check) -> float:
        """Return what a check is billed for minutes in which nobody need be there."""
        return self.book.scales.settings.price_of_waiting * check.waits

    def _new(self, act: Check | Repair) -> frozenset[str]:
        return keys_of(self.book, act) - self.opened

    def said(self, finding: str, check: str, again: bool = False) -> Event:
        """Answer a finding, or pass over it where nothing can be read."""
        value = self.value(finding)
        if value is None:
            return Passed(finding, "it cannot be read")
        how = self.book.findings[finding].how
        return Answered(finding, value, how, check=check, again=again)

    def value(self, finding: str) -> Value | None:
        """Give the value that people would enter; None for nothing, or what cannot be believed."""
        found = self.book.findings[finding]
        if finding in self.unit.told:
            return parse_answer(self.unit.told[finding], found)
        told = self.unit.files.findings.get(finding)
        if told is None:
            return parse_answer(self.unit.files.untold[finding], found)
        read = self.unit.visit.tell(finding)
        if read is None or isinstance(read, str):
            return read
        assert isinstance(told, MeasuredFinding)
        return as_value(read, told.reading.unit, self.book, finding)

    def _repair(self, cause: str) -> bool:
        played, repair = self.played, self.book.causes[cause].repair
        played.proposed.append(cause)
        played.minutes += repair.minutes - self._cooling(repair)
        played.minutes += sum(setup_costs(self.book)[key] for key in self._new(repair))
        right = any(cause in truth for truth in played.truths)
        if not right:
            played.parts_in_vain += sum(repair.parts.values())
        mend(self.unit.visit.world, self.unit.files.repairs[cause])
        if self.unit.visit.lock_came:
            self.unit.visit.unlock()
        self._proof_run()
        if played.to_the_right is None and played.truths and played.all_found:
            played.to_the_right = played.minutes
        self.state.apply(Repaired(cause))
        return len(played.proposed) < MOST_REPAIRS

    def _proof_run(self) -> None:
        self.opened -= undone_by_proof(self.book)
        self.checks = ()
        self.unit.visit.begin(())


def as_value(read: float, unit: str, book: Rulebook, finding: str) -> Value | None:
    """Give a number as the finding wants it; None where nobody would believe it."""
    found = book.findings[finding]
    if found.unit is None:
        return None
    if isinf(read):
        return parse_answer(OVER_RANGE, found)
    value = Quantity(UNITS[unit].to_si(read), found.unit)
    span = found.believable
    return value if span is None or span[0].si <= value.si <= span[1].si else None


def play(
    book: Rulebook, unit: PracticeUnit, compiled: CompiledRulebook,
    decide: Decide = next_prompt, can: CanDo = anything,
) -> Played:  # fmt: skip
    """Hold a session on a unit to its end; return how it went."""
    arrived_s = unit.visit.world.state.at_s
    data = book.units[unit.kind]
    state = SessionState(book, data, unit.complaint, compiled)
    played = Played(unit.number, unit.fault, unit.kind, unit.complaint, unit.truths)
    player = Player(book, unit, state, played, can)
    prompt: Prompt | None = None
    for number in range(MOST_PROMPTS):
        prompt = decide(state)
        played.prompts = number
        if not player.follow(prompt):
            break
    if isinstance(prompt, Closing):
        played.ending = prompt.ending.kind
    played.starts = unit.visit.starts
    played.took += played.minutes
    played.waited = (unit.visit.world.state.at_s - arrived_s) / 60.0
    played.mended = unit.mended
    played.raised = frozenset(p.danger for p in state.dangers.passages if p.what == "raised")
    played.missed = unit.dangers - played.raised
    no_fault = [name for name in played.proposed if book.causes[name].no_fault]
    played.said_sound = played.ending in ("nothing wrong", "proved") and no_fault == played.proposed
    played.impossible = tuple(rule.id for rule, _ in state.impossible)
    return played
