"""A whole session on one unit of the workshop, with what it cost and how it ended."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, field

from diag.model.expression import And, Condition, names_in
from diag.model.rulebook import Check, Danger, Rulebook
from diag.practice.readings import taken_value
from diag.practice.units import PracticeUnit
from diag.practice.work import Work
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import (
    Answered,
    Equipped,
    Event,
    Heeded,
    Passed,
    Repaired,
    Together,
)
from diag.session.next_prompt import next_prompt
from diag.session.offer.choosing import time_from_here
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

MOST_PROMPTS = 250
MOST_REPAIRS = 8
Decide = Callable[[SessionState], Prompt]


@dataclass(slots=True)
class Played:
    """How a session went."""

    unit: int
    fault: str
    kind: str
    complaint: str
    truths: tuple[frozenset[str], ...]
    answers: frozenset[str] = frozenset()
    """Causes that answer the complaint where no fault is behind it."""
    minutes: float = 0.0
    """Hands-on, as the rules count them: without the wait for the heater to cool."""
    waited: float = 0.0
    """Minutes on the unit's own clock in which it ran, cooled or stood, hands on it or not."""
    told_of: tuple[str, ...] = ()
    """The three likeliest when it ended, and before them what was repaired."""
    starts_first: int | None = None
    """Starts before the first repair."""
    bought_in_vain: int = 0
    """Repairs in vain that took parts."""
    to_the_right: float | None = None
    """Minutes until all that is wrong was proposed."""
    told: float | None = None
    """Minutes of work told to be ahead when the plan first spoke, and those that it then took."""
    took: float = 0.0
    starts: int = 0
    proposed: list[str] = field(default_factory=list)
    mended_as_well: set[str] = field(default_factory=set)
    """Causes that go with the repairs made, as the rules say."""
    forbidden: list[str] = field(default_factory=list)
    raised: frozenset[str] = frozenset()
    missed: frozenset[str] = frozenset()
    parts_in_vain: float = 0.0
    ending: str = "given up"
    mended: bool = False
    prompts: int = 0
    impossible: tuple[str, ...] = ()
    said_sound: bool = False
    path: list[tuple[float, str, str]] = field(default_factory=list)
    """Each check begun and repair made, with the minutes spent by its end."""

    @property
    def answered(self) -> bool:
        """Say whether the complaint, with no fault behind it, was answered so and by nothing else.

        Such an end says of the unit only what the complaint shows.
        """
        return bool(self.proposed) and self.answers.issuperset(self.proposed)

    @property
    def right_first(self) -> bool:
        """Say whether the first repair was right; of a sound unit, if it is called so.

        Where it goes on elsewhere before any repair, the likeliest that is told stands for it.
        """
        if not self.truths:
            return self.said_sound
        told = self.told_of[:1] if self.ending == "goes on elsewhere" else ()
        return self.answered or any({*(self.proposed or told)[:1]} & truth for truth in self.truths)

    @property
    def all_found(self) -> bool:
        """Say whether all that is wrong was proposed in the end, or goes with what was."""
        done = self.mended_as_well.union(self.proposed)
        return self.answered or all(truth & done for truth in self.truths)

    @property
    def among_three(self) -> bool:
        """Say whether one of what was wrong is told as one of the three likeliest, or repaired."""
        return any(truth & {*self.told_of, *self.proposed} for truth in self.truths)

    @property
    def untrue(self) -> bool:
        """Say whether it ended by saying more than is so."""
        claims = self.ending in ("nothing wrong", "proved") and not self.answered
        return claims and not self.mended


@dataclass(slots=True)
class Player:
    """Answer prompts from a unit and count what they cost."""

    book: Rulebook
    unit: PracticeUnit
    state: SessionState
    played: Played
    work: Work

    def follow(self, prompt: Prompt) -> bool:
        """Do what a prompt wants; return whether the session goes on."""
        if not isinstance(prompt, StopWork) and acts_of(prompt) & self.state.dangers.forbidden:
            check = getattr(prompt, "check", None)
            cause = getattr(prompt, "cause", None)
            self.played.forbidden.append(check.id if check else cause.id if cause else "")
        if getattr(prompt, "choice", None) is not None and self.played.told is None:
            self.played.told = time_from_here(self.state).work
            self.played.took = -self.work.minutes
        if isinstance(prompt, StopWork):
            self.state.apply(Heeded(prompt.danger.id))
        elif isinstance(prompt, AskTogether):
            self.begin(prompt.check)
            said = [self.said(each.id, prompt.check.id) for each in prompt.findings]
            self.state.apply(Together(tuple(said)))
        elif isinstance(prompt, AskFinding):
            again = prompt.again is not None or prompt.fails
            if prompt.check and (again or prompt.opening):
                self.begin(prompt.check, *prompt.members)
            elif prompt.check and prompt.check.id not in self.work.checks:
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

    def begin(self, *checks: Check) -> None:
        """Begin a check, or several that share a run: their minutes are paid, the run is new."""
        self.work.begin(*checks)
        self.played.path += [(self.work.minutes, "check", each) for each in self.work.checks]
        self.unit.visit.begin([name for each in checks for name in each.yields])

    def _join(self, check: Check) -> None:
        """Take another check's readings: in the run under way, where it shares that."""
        if not self.work.joins(check):
            self.begin(check)
            return
        self.work.join(check)
        self.played.path.append((self.work.minutes, "check", check.id))

    def said(self, finding: str, check: str, again: bool = False) -> Event:
        """Answer a finding, or pass over it where nothing can be read."""
        value = taken_value(self.book, self.unit, finding)
        if value is None:
            goes_on = check if check and self.book.checks[check].run else ""
            return Passed(finding, "it cannot be read", goes_on)
        how = self.state.reach.how(self.book.findings[finding])
        return Answered(finding, value, how, check=check, again=again)

    def _repair(self, cause: str) -> bool:
        played, repair = self.played, self.book.causes[cause].repair
        if not played.proposed:
            played.starts_first = self.unit.visit.starts
        played.proposed.append(cause)
        played.mended_as_well.update(repair.mends_as_well)
        self.work.repair(repair)
        played.path.append((self.work.minutes, "repair", cause))
        right = any(cause in truth for truth in (*played.truths, played.answers))
        if not right:
            played.parts_in_vain += sum(repair.parts.values())
            played.bought_in_vain += bool(repair.parts)
        self.unit.put_right(self.unit.files.repairs.get(cause, ()))
        self._proof_run()
        if played.to_the_right is None and played.truths and played.all_found:
            played.to_the_right = self.work.minutes
        self.state.apply(Repaired(cause))
        return len(played.proposed) < MOST_REPAIRS

    def _proof_run(self) -> None:
        self.work.ran()
        self.unit.visit.begin(())


def play(
    book: Rulebook, unit: PracticeUnit, compiled: CompiledRulebook,
    decide: Decide = next_prompt, equipped: Equipped | None = None,
) -> Played:  # fmt: skip
    """Hold a session on a unit to its end, with what is at hand or all; return how it went."""
    arrived_s = unit.visit.world.state.at_s
    data = book.units[unit.kind]
    state = SessionState(book, data, unit.complaint, compiled)
    played = Played(unit.number, unit.fault, unit.kind, unit.complaint, unit.truths, unit.answers)
    player = Player(book, unit, state, played, Work(book))
    if equipped is not None:
        state.apply(equipped)
    prompt: Prompt | None = None
    for number in range(MOST_PROMPTS):
        prompt = decide(state)
        played.prompts = number
        if not player.follow(prompt):
            break
    if isinstance(prompt, Closing):
        played.ending = prompt.ending.kind
    played.told_of = tuple(name for name, _ in state.posterior.ranking[:3])
    played.starts = unit.visit.starts
    played.minutes = player.work.minutes
    played.took += played.minutes
    played.waited = (unit.visit.world.state.at_s - arrived_s) / 60.0
    played.mended = unit.mended
    played.raised = frozenset(p.danger for p in state.dangers.passages if p.what == "raised")
    played.missed = unit.dangers - told_by(book, played.raised)
    no_fault = [name for name in played.proposed if book.causes[name].no_fault]
    played.said_sound = played.ending in ("nothing wrong", "proved") and no_fault == played.proposed
    played.impossible = tuple(rule.id for rule, _ in state.impossible)
    return played


def told_by(book: Rulebook, raised: Collection[str]) -> frozenset[str]:
    """Return the dangers of which those that were raised tell: themselves, and what they cover.

    One covers another that forbids no more and needs no more read to be released: whoever heeds it
    has heeded both.
    """
    dangers = book.dangers
    return frozenset(raised).union(
        name
        for name, one in dangers.items()
        for other in (dangers[each] for each in raised)
        if set(one.forbids) <= set(other.forbids) and _read(book, one) <= _read(book, other)
    )


def _read(book: Rulebook, danger: Danger) -> set[Condition]:
    """Return what must be read, and not only told, for a danger to be released."""
    whole = danger.released_when
    parts = whole.items if isinstance(whole, And) else (whole,)
    told = {name for name, one in book.findings.items() if one.how == "told"}
    return {part for part in parts if not told.issuperset(names_in(part))}
