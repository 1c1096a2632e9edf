"""The state of a session: a pure function of rulebook, unit, complaint and journal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diag.model.code_list import unit_rules
from diag.model.knowledge import Fact, Rulebook, UnitData
from diag.model.reading import Reading
from diag.reason.belief import Belief, Evidence, Posterior, Priors, RepairDone, start
from diag.reason.chain import Chain
from diag.reason.figure import names_of
from diag.reason.links import compile_links
from diag.reason.network import compile_rules
from diag.rulebook import with_error
from diag.session.journal import (
    Answered,
    Declined,
    Event,
    HazardCleared,
    Judged,
    Noted,
    Passed,
    Repaired,
    Withdrawn,
)


class State:
    """What was said and done so far, what follows from it, and what is believed."""

    def __init__(self, rulebook: Rulebook, unit: UnitData, complaint: str) -> None:
        self.rulebook = rulebook
        self.unit = unit
        self.complaint = complaint
        self.rules = (*rulebook.rules, *unit_rules(rulebook, unit))
        self.chain = Chain(compile_rules(self.rules, rulebook.figures, rulebook.signs), unit)
        self.readings: dict[str, Reading] = {}
        self.passed: dict[str, str] = {}
        self.cleared: set[str] = set()
        self.declined: set[str] = set()
        self.repairs: list[RepairDone] = []
        self.in_proof: str = ""
        """The cause just repaired whose proof has not been judged yet."""
        self.proved: str = ""
        """The cause whose repair was proved."""
        self.notes: list[str] = []
        self.check: str = ""
        """The check under way: that of the latest answer."""
        self.done_checks: set[str] = set()
        self.before: frozenset[Evidence] = frozenset()
        """Evidence of earlier stages, as it stood when each repair was done."""
        links = compile_links(rulebook.signs, rulebook.causes)
        self.start = start(links, Priors.from_settings(rulebook.scales.settings), complaint)
        self._belief: Belief | None = None
        self._renewable: frozenset[str] | None = None

    @property
    def stage(self) -> int:
        """Return how many repairs have been done."""
        return len(self.repairs) + (1 if self.in_proof else 0)

    def apply(self, event: Event) -> None:
        """Take in one event."""
        self._belief = self._renewable = None
        if isinstance(event, Answered):
            self._answer(event)
        elif isinstance(event, Withdrawn):
            self.readings.pop(event.finding, None)
            self.chain.withdraw(event.finding)
        elif isinstance(event, Passed):
            self.passed[event.finding] = event.reason
        elif isinstance(event, Noted):
            self.notes.append(event.text)
        elif isinstance(event, HazardCleared):
            self.cleared.add(event.hazard)
        elif isinstance(event, Declined):
            self.declined.add(event.cause)
        elif isinstance(event, Repaired):
            self._repair(event.cause)
        elif isinstance(event, Judged):
            self._judge(event)

    def replay(self, events: Iterable[Event]) -> State:
        """Take in many events; return the state itself."""
        for event in events:
            self.apply(event)
        return self

    def _answer(self, event: Answered) -> None:
        self.readings.pop(event.finding, None)
        reading = Reading(event.finding, event.value, event.how, event.when, self.stage)
        self.readings[event.finding] = reading
        self.passed.pop(event.finding, None)
        self.chain.tell(event.finding, with_error(event.value, event.finding, self.unit))
        if event.check:
            self.check = event.check
            self.done_checks.add(event.check)

    def _repair(self, cause: str) -> None:
        self.before = frozenset(self.evidence())
        self.in_proof = cause
        self.check = ""

    def _judge(self, event: Judged) -> None:
        self.repairs.append(RepairDone(event.cause, len(self.repairs), not event.held))
        self.in_proof = ""
        self.declined.clear()
        if event.held:
            self.proved = event.cause

    def raised_hazards(self) -> tuple[str, ...]:
        """Return the hazards that the readings raise, in order of id."""
        return tuple(sorted(self.chain.hazards))

    def open_hazards(self) -> tuple[str, ...]:
        """Return the hazards raised and not cleared."""
        return tuple(name for name in self.raised_hazards() if name not in self.cleared)

    def evidence(self) -> Iterator[Evidence]:
        """Yield what counts as evidence: earlier stages as they stood, then signs as they are."""
        stage = self.stage
        yield from self.before
        for sign in self.rulebook.signs:
            for state in sorted(self.chain.states(sign)):
                reliability, taken = self._standing(sign, state)
                if taken == stage or not stage:
                    yield Evidence(sign, state, reliability, taken)

    def _standing(self, sign: str, state: str) -> tuple[float, int]:
        """Return how far a sign's state can be relied on, and the stage it speaks of.

        A support is as reliable as its weakest reading and as old as its oldest: what mixes
        readings from before and after a repair says nothing of the unit as it is now. Of
        several supports the strongest counts.
        """
        scale = self.rulebook.scales.reliability
        best = (0.0, 0)
        for names in self.grounds_of(sign, state):
            taken = [self.readings[name] for name in names if name in self.readings]
            if taken:
                weakest = min(scale[reading.how] for reading in taken)
                best = max(best, (weakest, min(reading.stage for reading in taken)))
        return best

    @property
    def renewable(self) -> frozenset[str]:
        """Return the findings to be looked at anew: what a repair may have changed since.

        That is what the signs of a repaired cause rest on, where it was read before the repair
        and not just told. To read anything else twice would count one oddity twice.
        """
        if self._renewable is None:
            self._renewable = frozenset(self._outdated())
        return self._renewable

    def _outdated(self) -> Iterator[str]:
        signs = {sign for done in self.repairs for sign in self.rulebook.causes[done.cause].shows}
        for sign in sorted(signs):
            for state in self.chain.states(sign):
                for name in frozenset().union(*self.grounds_of(sign, state)):
                    reading = self.readings.get(name)
                    if reading and reading.stage < self.stage and reading.how != "told":
                        yield name

    def grounds_of(self, sign: str, state: str) -> tuple[frozenset[str], ...]:
        """Return, for each support of a state, the findings on which it rests."""
        if self.rulebook.signs[sign].is_finding:
            return (frozenset({sign}),)
        return tuple(
            frozenset().union(*(self._findings_under(name, frozenset()) for name in names))
            for names in self._supports(sign, state)
        )

    def _supports(self, sign: str, state: str) -> tuple[tuple[str, ...], ...]:
        fact = Fact("sign", sign, state)
        return tuple(tuple(support.used) for support in self.chain.supports(fact))

    def _findings_under(self, name: str, seen: frozenset[str]) -> frozenset[str]:
        if name in self.rulebook.findings:
            return frozenset({name})
        if name in seen:
            return frozenset()
        if name in self.rulebook.figures:
            terms = self.rulebook.figures[name].terms
            below = [part for term in terms for part in names_of(term)]
        elif name in self.rulebook.signs:
            below = [
                part
                for state in self.chain.states(name)
                for support in self._supports(name, state)
                for part in support
            ]
        else:
            return frozenset()
        return frozenset().union(*(self._findings_under(part, seen | {name}) for part in below))

    @property
    def belief(self) -> Belief:
        """Return the belief after all that was said and done."""
        if self._belief is None:
            self._belief = (
                self.start.excluding(self.chain.excluded)
                .with_repairs(self.repairs)
                .seen(self.evidence())
            )
        return self._belief

    @property
    def posterior(self) -> Posterior:
        """Return the probabilities of what is wrong now."""
        return self.belief.remaining()
