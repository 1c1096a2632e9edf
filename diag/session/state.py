"""The state of a session: a pure function of rulebook, unit, complaint and journal."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from diag.logic.rests_on import resting_on
from diag.model.reading import Reading, agree
from diag.model.rulebook import Fact, Rule, Rulebook, UnitData
from diag.reason.belief.belief import Belief, Evidence, Posterior, RepairDone
from diag.reason.belief.conflict import Conflict
from diag.reason.chain.engine import Chain
from diag.rulebook import with_error
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.dangers.watch import Conclusions, DangerWatch
from diag.session.evidence import cannot_be, evidence_of, outdated
from diag.session.journal.effective import effective
from diag.session.journal.events import (
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
    Undone,
    Withdrawn,
    flat,
)
from diag.session.journal.known import not_known, still_known
from diag.session.journal.recalled import Recalled
from diag.session.offer.reach import AtHand
from diag.session.proof.run import Proving, RepairResult, proving, shown_unsound
from diag.session.weighed import begun, belief_of, conflict_of

Known = TypeVar("Known")


class SessionState:
    """What was said and done so far, what follows from it, and what is believed."""

    def __init__(
        self,
        rulebook: Rulebook,
        unit: UnitData,
        complaint: str,
        compiled: CompiledRulebook | None = None,
    ) -> None:
        """Begin with nothing said; one `compiled` of this rulebook and unit may be shared."""
        self.compiled = compiled or CompiledRulebook.of(rulebook, unit)
        self.rulebook = rulebook
        self.unit = unit
        self.opened_with = complaint
        self.journal: list[Event] = []
        self._begin()

    def _begin(self) -> None:
        """Forget what the journal's entries came to."""
        self.recalled = Recalled()
        self._complain((self.opened_with,) if self.opened_with else ())
        self.chain = Chain(self.compiled.network, self.unit)
        self.readings: dict[str, Reading] = {}
        self.moments: dict[str, int] = {}  # finding to its reading; passes and repairs count, too
        self.confirmed: set[str] = set()  # findings taken again with the same answer
        self.passed: dict[str, str] = {}
        self.passes: dict[str, list[int]] = {}  # finding to the stages at which it was passed over
        self.passed_at: dict[str, int] = {}  # finding to the moment at which it was, last
        self.declined: set[str] = set()
        self.repairs: list[RepairDone] = []
        self.results: list[RepairResult] = []
        self.in_proof: str = ""  # the cause just repaired whose proof is not judged yet
        self.proved: str = ""  # the cause whose repair was proved, and the complaint with it
        self.notes: list[str] = []
        self.left_out: list[str] = []  # sentences on entries that say nothing to this rulebook
        self.check: str = ""  # the check under way: that of the latest answer
        self.chosen: str = ""  # the check that the user wants now, until a repair
        self.done_checks: dict[str, None] = {}  # in the order in which they were begun
        self.begun: list[str] = []  # the same, each as often as it was begun
        self.before: frozenset[Evidence] = frozenset()  # of earlier stages, as it stood at repairs
        self._repaired_at: list[int] = []
        self.dangers = DangerWatch(self.compiled.watched)
        self.now = self.chain  # from the readings of this stage, and from what no repair changes
        self.reach = AtHand(self.rulebook)
        self._moment = 0
        self._forget()

    def _forget(self) -> None:
        self._known: dict[str, Any] = {}

    def _once(self, what: str, work_out: Callable[[], Known]) -> Known:
        """Return what was worked out already since the latest act, or work it out now."""
        if what not in self._known:
            self._known[what] = work_out()
        known: Known = self._known[what]
        return known

    @property
    def proof_failed(self) -> bool:
        """Return whether the proof of a repair has failed, or that of a sound unit."""
        return any(repair.failed for repair in self.repairs) or shown_unsound(self)

    @property
    def stage(self) -> int:
        """Return how many repairs have been done."""
        return len(self.repairs) + (1 if self.in_proof else 0)

    def apply(self, event: Event) -> None:
        """Take in one act: at once, or by going through the journal anew where it looks back."""
        self.journal.append(event)
        if any(isinstance(one, Undone | Corrected | Withdrawn) for one in flat(event)):
            self._go_through()
        else:
            for one in flat(event):
                self._take(one)

    def replay(self, events: Iterable[Event]) -> SessionState:
        """Take in many acts; return the state itself."""
        self.journal.extend(events)
        self._go_through()
        return self

    def _go_through(self) -> None:
        self._begin()
        gone = [one.why for one in self.journal if isinstance(one, LeftOut)]
        self.left_out.extend(filter(None, gone))
        for entry in effective(self.journal):
            self._take(entry.event)

    def _take(self, event: Event) -> None:
        self._forget()
        strange = not_known(event, self.rulebook)
        if strange:
            self.left_out.append(strange)
            return
        if isinstance(event, Answered):
            self._answer(event)
        elif isinstance(event, Passed):
            self.passed[event.finding] = event.reason
            self.check = event.check if event.check in self.rulebook.checks else self.check
            self.passes.setdefault(event.finding, []).append(self.stage)
            self._moment += 1
            self.passed_at[event.finding] = self._moment
        elif isinstance(event, Complained):
            self._complain(event.complaints)
        elif isinstance(event, Chosen):
            self._choose(event.check)
        elif isinstance(event, Noted):
            self.notes.append(event.text)
        elif isinstance(event, Heeded):
            self.dangers.heed(event.danger)
        elif isinstance(event, Declined):
            self.declined.add(event.cause)
        elif isinstance(event, Equipped):
            before, self.reach = self.reach, AtHand(self.rulebook, event)
            for name in self.reach.regains(before, self.passed):
                del self.passed[name], self.passes[name]
        elif isinstance(event, Recalled):
            self.recalled, gone = still_known(event, self.rulebook)
            self.left_out += gone
            self._complain(self.complaints)
        elif isinstance(event, Repaired):
            self._repair(event.cause)
        self._judge()
        self._forget()

    def _complain(self, complaints: tuple[str, ...]) -> None:
        self.complaints = tuple(dict.fromkeys(complaints))
        self.complaint = self.complaints[0] if complaints else ""
        self.start = begun(self.rulebook, self.compiled, self.complaints, self.recalled)

    def _choose(self, check: str) -> None:
        self.check, self.chosen = "", check
        for name in self.rulebook.checks[check].yields:
            self.passed.pop(name, None)

    def _answer(self, event: Answered) -> None:
        name, before = event.finding, self.readings.pop(event.finding, None)
        same = before is not None and agree(before.value, event.value)
        if event.again and same:
            self.confirmed.add(name)
        elif not same or (before is not None and before.stage < self.stage):
            self.confirmed.discard(name)
        self.readings[name] = Reading(name, event.value, event.how, event.when, self.stage)
        self._moment += 1
        self.moments[name] = self._moment
        self.passed.pop(name, None)
        value = with_error(event.value, name, self.unit)
        self.chain.tell(name, value)
        if self.now is not self.chain:
            self.now.tell(name, value)
        if event.check in self.rulebook.checks and not event.again:
            self.begun += [event.check] if event.check != self.check else []
            self.check = event.check
            self.done_checks[event.check] = None
        self.dangers.read(name, self._moment, Conclusions(self.chain, self.under, self.since))

    def since(self, moment: int) -> Chain:
        """Return what follows from the readings taken after a moment alone."""
        chain = Chain(self.compiled.network, self.unit)
        later = [name for name, taken in self.moments.items() if taken > moment]
        chain.tell_all({name: self.chain.told[name] for name in later})
        return chain

    def repaired_since(self, moment: int) -> bool:
        """Tell whether a repair was made after a moment."""
        return any(taken >= moment for taken in self._repaired_at)

    def _repair(self, cause: str) -> None:
        self._judge(at_once=True)
        self.before = frozenset(self.evidence())
        self.in_proof, self.proved = cause, ""
        self.check = self.chosen = ""
        self._moment += 1
        self._repaired_at.append(self._moment)
        findings, told = self.rulebook.findings, self.chain.told
        self.now = Chain(self.compiled.network, self.unit)
        self.now.tell_all({name: told[name] for name in self.readings if findings[name].fixed})

    @property
    def proving(self) -> Proving:
        """Return how the proof of the repair under way, or of a sound unit, stands."""
        return proving(self)

    def _judge(self, at_once: bool = False) -> None:
        """Judge the proof under way once it is read, or `at_once`.

        What nobody could read leaves it open: a reading may still come.
        """
        if not self.in_proof:
            return
        stands = self.proving
        result = stands.result
        if not at_once and (stands.open or not (result.proved or result.failed)):
            return
        self.results.append(result)
        came_out = result.failed, result.holds, result.going_on
        self.repairs.append(RepairDone(result.cause, len(self.repairs), *came_out))
        self.in_proof = self.check = ""
        self.declined.clear()
        if result.proved:
            self.proved = result.cause

    def evidence(self) -> tuple[Evidence, ...]:
        """Return what counts as evidence: earlier stages as they stood, then signs as they are."""
        return self._once("evidence", lambda: tuple(evidence_of(self)))

    @property
    def renewable(self) -> frozenset[str]:
        """Return the findings to be looked at anew: what a repair may have changed since.

        That is what the signs of a repaired cause rest on, where it was read before the repair
        and not just told. To read anything else twice would count one oddity twice.
        """
        return self._once("renewable", lambda: frozenset(outdated(self)))

    @property
    def impossible(self) -> tuple[tuple[Rule, frozenset[str]], ...]:
        """Return what cannot be yet is, as rules with the readings that they rest on."""
        return self._once("impossible", lambda: tuple(cannot_be(self)))

    def under(self, names: Iterable[str]) -> frozenset[str]:
        return frozenset(resting_on(names, self._below)).intersection(self.rulebook.findings)

    def grounds_of(self, sign: str, state: str) -> tuple[frozenset[str], ...]:
        """Return, for each support of a state, the findings on which it rests."""
        if self.rulebook.signs[sign].is_finding:
            return (frozenset({sign}),)
        return tuple(self.under(names) for names in self._supports(sign, state))

    def _supports(self, sign: str, state: str) -> tuple[tuple[str, ...], ...]:
        fact = Fact("sign", sign, state)
        return tuple(tuple(support.used) for support in self.chain.supports(fact))

    def _below(self, name: str) -> Iterable[str] | None:
        """Return what a figure, or a sign as it stands, rests on directly."""
        if name in self.rulebook.findings or name not in self.rulebook.signs:
            return self.compiled.below.get(name)
        states = sorted(self.chain.states(name))
        return (part for state in states for used in self._supports(name, state) for part in used)

    @property
    def belief(self) -> Belief:
        """Return the belief after all that was said and done."""
        return self._once("belief", lambda: belief_of(self, int(shown_unsound(self))))

    @property
    def posterior(self) -> Posterior:
        """Return the probabilities of what is wrong now."""
        return self._once("posterior", self.belief.remaining)

    @property
    def conflict(self) -> Conflict:
        """Return how badly the readings of this stage, thus of one unit, fit together."""
        return self._once("conflict", lambda: conflict_of(self))
