"""Units drawn from a rulebook's own model, and the work on them until a repair is proved.

A unit is a complaint and what is wrong: nothing, one cause or two, drawn by the belief that a
session begins with. What a check shows is drawn as the model says, with the slips of a reading
that is only told or seen. Chances hang on the unit and the sign alone, so that every policy meets
the same unit: common random numbers.

A repair mends its cause for sure. Then comes the proof run, which fails while a cause is left, and
seldom, `repair fails`, though none is. A good part changed costs its minutes and its parts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from math import exp
from random import Random

from diag.authoring.settling import Bench
from diag.authoring.tree import opening
from diag.model.rulebook import Check, Repair, Rulebook
from diag.model.settings import Settings
from diag.reason.belief.belief import Belief, Evidence, Priors, RepairDone, start
from diag.reason.belief.links import Links
from diag.reason.belief.posterior import Posterior
from diag.reason.plan.costs import keys_of, opened_after, setup_costs, undone_by_proof
from diag.reason.plan.decision_problem import NOTHING, CandidateCheck

MOST_ACTS = 150
HAND_OVER = "hand over"
Act = tuple[str, str]
"""`check`, `repair` (of `nothing wrong`: the proof run alone) or `hand over`, and the name."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One drawn unit: its number, the complaint and the indices of the causes that are present."""

    number: int
    complaint: str
    wrong: frozenset[int]


@dataclass(frozen=True, slots=True)
class Situation:
    """Where the work on a unit stands, as far as the one who works on it knows."""

    belief: Belief
    done: tuple[str, ...] = ()
    opened: frozenset[str] = frozenset()
    seen: frozenset[str] = frozenset()

    @property
    def key(self) -> object:
        """Return what every decision follows from."""
        repairs = (self.belief.repairs, self.belief.failed_runs)
        done = frozenset(self.done)
        return (self.belief.complaint, self.belief.said, done, self.opened, repairs)

    @property
    def repaired(self) -> frozenset[str]:
        """Return the causes repaired so far."""
        return frozenset(repair.cause for repair in self.belief.repairs)

    @property
    def failed(self) -> bool:
        """Return whether a proof run has failed."""
        return bool(self.belief.repairs or self.belief.failed_runs)

    def posterior(self) -> Posterior:
        """Return what is believed to be wrong now, failed proof runs taken in."""
        return self.belief.remaining()


Policy = Callable[["Workshop", Situation], Act]


@dataclass(frozen=True, slots=True)
class Workshop:
    """A rulebook at work on drawn units of one kind."""

    rulebook: Rulebook
    links: Links
    priors: Priors
    bench: Bench
    seed: int
    decided: dict[tuple[Policy, object], Act] = field(default_factory=dict)

    @classmethod
    def of(cls, rulebook: Rulebook, seed: int) -> Workshop:
        """Set up the workshop of a rulebook, for its first unit."""
        priors = Priors.from_settings(rulebook.scales.settings)
        bench = Bench(rulebook, next(iter(rulebook.units.values())))
        return cls(rulebook, bench.compiled.links, priors, bench, seed)

    def draw(self, count: int) -> list[Unit]:
        """Draw units by how often each complaint comes in and what is then wrong.

        A fault that the rulebook does not know is never drawn: no policy could mend it.
        """
        begins = {name: start(self.links, self.priors, name) for name in self.rulebook.complaints}
        weights = [b.log_weights(b.leading_pairs()).total() for b in begins.values()]
        chance, units = Random(self.seed), []
        for number in range(count):
            name = chance.choices(list(begins), [exp(w) for w in weights])[0]
            believed = begins[name].posterior()
            ways = [((), believed.nothing), *believed.pair.items()]
            ways += [((index,), share) for index, share in enumerate(believed.single)]
            wrong = chance.choices([way for way, _ in ways], [share for _, share in ways])[0]
            units.append(Unit(number, name, frozenset(wrong)))
        return units

    def minutes(self, unit: Unit, policy: Policy) -> float:
        """Work on a unit until a repair is proved or it is handed over; return the minutes."""
        stands = Situation(start(self.links, self.priors, unit.complaint))
        left, spent = unit.wrong, 0.0
        for name in opening(self.rulebook, unit.complaint):
            stands, cost = self.look(stands, unit, left, name)
            spent += cost
        sound = 0
        for _ in range(MOST_ACTS):
            key = (policy, stands.key)
            if key not in self.decided:
                self.decided[key] = policy(self, stands)
            kind, name = self.decided[key]
            if kind == HAND_OVER:
                return spent + self.settings.hand_over_minutes
            if kind == "check":
                stands, cost = self.look(stands, unit, left, name)
                spent += cost
                continue
            stands, cost = self._repaired(stands, name)
            spent += cost
            left -= self.mended_by(name)
            if not left:
                sound += 1
                chance = Random(f"{self.seed} {unit.number} sound run {sound}").random()
                if chance >= self.priors.repair_fails:
                    return spent
            stands = self._failed(stands, name)
        raise RuntimeError(f"unit {unit.number} is not done after {MOST_ACTS} acts")

    def offers(self, stands: Situation) -> list[CandidateCheck]:
        """Return the checks not done yet that would settle a sign, with the signs."""
        found = []
        for check in self.rulebook.checks.values():
            if check.id not in stands.done:
                signs = self.brought(stands, check.id)
                if signs:
                    trust = dict.fromkeys(signs, self._sureness(check))
                    found.append(CandidateCheck(check, check.yields, trust))
        return found

    def brought(self, stands: Situation, check: str) -> tuple[str, ...]:
        """Return the signs that a check would settle now and that nothing seen makes redundant."""
        signs = self.rulebook.signs
        covered = {name for sign in stands.seen for name in signs[sign].supersedes}
        settled = self.bench.signs([*stands.done, check])
        return tuple(s for s in settled if s not in stands.seen and s not in covered)

    def mended_by(self, name: str) -> frozenset[int]:
        """Return the index of the cause that a repair mends; none for the proof run alone."""
        return frozenset() if name == NOTHING else frozenset({self.links.cause_index[name]})

    @property
    def settings(self) -> Settings:
        """Return the rulebook's settings."""
        return self.rulebook.scales.settings

    def least(self, unit: Unit) -> float:
        """Return the minutes with perfect insight: the repairs of what is wrong, and one run."""
        spent, opened = self.settings.proof_run_minutes, frozenset[str]()
        for cause in sorted(unit.wrong):
            repair = self.rulebook.causes[self.links.causes[cause]].repair
            spent += repair.cost + self._access(repair, opened)
            opened |= keys_of(self.rulebook, repair)
        return spent

    def _access(self, act: Check | Repair, opened: Iterable[str]) -> float:
        costs = setup_costs(self.rulebook)
        return sum(costs[key] for key in keys_of(self.rulebook, act) - frozenset(opened))

    def look(
        self, stands: Situation, unit: Unit, left: frozenset[int], name: str
    ) -> tuple[Situation, float]:
        """Do a check on a unit with these causes left; return what follows, and the minutes."""
        check = self.rulebook.checks[name]
        cost = check.minutes + self._access(check, stands.opened)
        signs, stage = self.brought(stands, name), len(stands.belief.repairs)
        said = [
            Evidence(sign, self._state(unit, left, sign, sure), sure, stage)
            for sure in [self._sureness(check)]
            for sign in signs
        ]
        belief = stands.belief.observe(*said) if said else stands.belief
        opened = opened_after(self.rulebook, name, stands.opened)
        seen = stands.seen | {*signs}
        done = (*stands.done, name)
        return replace(stands, belief=belief, done=done, opened=opened, seen=seen), cost

    def _state(self, unit: Unit, left: frozenset[int], sign: str, sure: float) -> str:
        """Return the state that a unit shows, or, by a slip of whoever tells it, any at all."""
        table = self.links.table(sign)
        chance = Random(f"{self.seed} {unit.number} {sign}")
        shown, slip, slipped = chance.random(), chance.random(), chance.choice(table.states)
        if slip > sure:
            return slipped
        for state, share in zip(table.states, table.chances(left), strict=True):
            shown -= share
            if shown < 0:
                return state
        return table.states[0]

    def _sureness(self, check: Check) -> float:
        scale = self.rulebook.scales.reliability
        return min(scale[self.rulebook.findings[name].how] for name in check.yields)

    def _repaired(self, stands: Situation, name: str) -> tuple[Situation, float]:
        cost, opened = self.settings.proof_run_minutes, stands.opened
        if name != NOTHING:
            repair = self.rulebook.causes[name].repair
            cost += repair.cost + self._access(repair, opened)
            opened |= keys_of(self.rulebook, repair)
        return replace(stands, opened=opened - undone_by_proof(self.rulebook)), cost

    def _failed(self, stands: Situation, name: str) -> Situation:
        """Take a failed run into belief; one more without a repair is one more of the last one."""
        belief = stands.belief
        if name == NOTHING and not belief.repairs:
            return replace(stands, belief=belief.after_failed_runs(belief.failed_runs + 1))
        last = belief.repairs[-1].cause if name == NOTHING else name
        done = RepairDone(last, len(belief.repairs), failed=True)
        return replace(stands, belief=belief.with_repairs((*belief.repairs, done)))
