"""A drill: a unit with something wrong, and what follows from each thing that is done to it.

What a drill has come to is a pure function of its unit, which is drawn by seed, and of its deeds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from diag.model.phrasing import capital, in_a_row
from diag.model.rulebook import Cause, Check, Rulebook
from diag.practice.drill.deeds import Deed, DeedKind
from diag.practice.drill.hindrances import Hindrance, Undertaking, hindrance
from diag.practice.drill.hints import hint
from diag.practice.drill.levels import DrillLevel
from diag.practice.drill.outcome import DeedOutcome, DrillStep
from diag.practice.drill.owner import Arrival
from diag.practice.drill.reading_acts import BenchReader
from diag.practice.drill.shaking import shaken
from diag.practice.drill.trade_words import READY
from diag.practice.units import PracticeUnit
from diag.practice.wording import bought_for, minutes
from diag.practice.work import COOLS, Work
from diag.reason.plan.costs import keys_of, setup_costs
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import Answered, Event, Heeded, Repaired
from diag.session.state import SessionState
from diag.workshop.data.repairs import Put
from diag.workshop.heater import PARTS

SHAKES = "shaken while it runs"
"""The finding of the rules that shaking reads."""
POWERED = frozenset(("runs the heater", "powers the heater"))
"""Acts of the rules for which the power is put back on."""


class Drill:
    """A practice unit under somebody's hands."""

    def __init__(
        self,
        book: Rulebook,
        compiled: CompiledRulebook,
        unit: PracticeUnit,
        level: DrillLevel,
        arrival: Arrival,
    ) -> None:
        """Begin: the unit has come in, cold, and nothing is known but what its owner says."""
        self.book, self.unit, self.level, self.arrival = book, unit, level, arrival
        self.state = SessionState(book, book.units[unit.kind], unit.complaint, compiled)
        self.work = Work(book, frozenset({COOLS}))
        self.steps: list[DrillStep] = []
        self.bought: list[str] = []
        self.in_vain: list[str] = []
        """Good parts that were changed."""
        self.repaired: list[str] = []
        """Causes repaired, and parts swapped."""
        self.hint_degree = 0
        """The furthest hint taken."""
        self.last_hint = 0
        """The degree of the hint just taken; 0 once something else was done."""
        self.called: tuple[str, ...] | None = None
        """What was said to be wrong in the end; None while it goes on."""
        self._events: list[Event] = []

    @property
    def ended(self) -> bool:
        """Say whether the learner has said what is wrong."""
        return self.called is not None

    @property
    def stops(self) -> tuple[Hindrance, ...]:
        """Return the dangers and cautions that were run into."""
        found = (step.outcome.stopped for step in self.steps)
        return tuple(one for one in found if one is not None and one.kind != "need")

    @property
    def dangers_missed(self) -> tuple[str, ...]:
        """Return the dangers that were there and that no reading raised."""
        raised = {each.danger for each in self.state.dangers.passages if each.what == "raised"}
        return tuple(sorted(self.unit.dangers - raised))

    def unknown(self, deed: Deed) -> tuple[str, ...]:
        """Return the names of a deed that these rules have not, as after they have changed."""
        book = self.book
        known = {
            "read": book.findings.keys() | book.checks.keys(), "ready": READY.keys(),
            "shake": PARTS.keys(), "swap": self.unit.files.renewed(book.causes),
            "repair": book.causes.keys(), "call": book.causes.keys(), "hint": set[str](),
        }[deed.kind]  # fmt: skip
        return tuple(name for name in deed.names if name not in known)

    def do(self, deed: Deed) -> DeedOutcome:
        """Do one thing; return what came of it."""
        doing: Mapping[DeedKind, Callable[[Deed], DeedOutcome]] = {
            "read": self._read, "shake": self._shake, "ready": self._ready,
            "repair": self._repair, "swap": self._swap, "hint": self._hint, "call": self._call,
        }  # fmt: skip
        before = self.work.minutes, self.work.waited
        self._events = []
        self.last_hint *= deed.kind == "hint"
        outcome = doing[deed.kind](deed)
        outcome.dangers += self._heed()
        spent = self.work.minutes - before[0], self.work.waited - before[1]
        self.steps.append(DrillStep(deed, outcome, tuple(self._events), *spent))
        return outcome

    def status(self) -> str:
        """Return the line that says where the bench stands."""
        spent = minutes(self.work.minutes, self.work.waited)
        starts = self.unit.visit.starts
        parts = f"parts: {in_a_row(self.bought)}" if self.bought else "no parts"
        held = ", ".join(self.book.dangers[name].title for name in sorted(self.state.dangers.held))
        danger = f"; DANGER: {held}" if held else ""
        return f"Bench: {spent}; {starts} start{'s' * (starts != 1)}; {parts}{danger}."

    def apply(self, event: Event) -> None:
        """Take an event into what a session would know."""
        self.state.apply(event)
        self._events.append(event)

    def in_the_way(self, act: Undertaking) -> Hindrance | None:
        """Return what stands in the way of an act; what it shows is known from then on."""
        found = hindrance(self.state, self.unit, self.work, act)
        if found is not None:
            for name, value in found.raised.items():
                self.apply(Answered(name, value, self.book.findings[name].how))
        return found

    def begin(self, *checks: Check) -> None:
        """Begin checks that are one act; what runs the heater has its power on."""
        self.work.begin(*checks)
        if any(POWERED.intersection(check.acts) for check in checks):
            self.work.opened -= {"power off"}

    def _heed(self) -> tuple[str, ...]:
        raised = self.state.dangers.unheeded
        for name in raised:
            self.apply(Heeded(name))
        return raised

    def _read(self, deed: Deed) -> DeedOutcome:
        return BenchReader(self).read(deed)

    def _ready(self, deed: Deed) -> DeedOutcome:
        (key,) = deed.names
        heard = READY[key][0]
        if key in self.work.opened:
            return DeedOutcome(heard, [f"It is so already: {heard}."])
        if key == COOLS:
            self.unit.visit.world.left_to_cool(0.25)
        before = self.work.minutes, self.work.waited
        self.work.ready(key)
        spent = minutes(self.work.minutes - before[0], self.work.waited - before[1])
        return DeedOutcome(heard, [f"Done, in {spent}."])

    def _shake(self, deed: Deed) -> DeedOutcome:
        part = deed.names[0] if deed.names else None
        heard = f"shake {part or 'everything'} while it burns"
        check = next(each for each in self.book.checks.values() if SHAKES in each.yields)
        found = self.in_the_way(Undertaking.of(check))
        if found is not None:
            return DeedOutcome(heard, [], found)
        self.begin(check)
        goes_on = shaken(self.unit, part)
        if goes_on is None:
            return DeedOutcome(heard, ["It does not burn, so that shaking shows nothing."])
        state = "goes on" if goes_on else "stops"
        self.apply(Answered(SHAKES, state, self.book.findings[SHAKES].how, check=check.id))
        said = self.book.findings[SHAKES].choices[state]
        return DeedOutcome(heard, [f"{capital(said)}."], cautions=check.cautions)

    def _repair(self, deed: Deed) -> DeedOutcome:
        cause = self.book.causes[deed.names[0]]
        renewed = {part for part, quantity, _ in self._puts(cause) if not quantity}
        return self._change(cause, f"repair {cause.id}", bought_for(cause.repair), renewed)

    def _puts(self, cause: Cause) -> Sequence[Put]:
        """Return what a repair does to the unit: nothing where the world's files know it not."""
        return self.unit.files.repairs.get(cause.id, ())

    def _swap(self, deed: Deed) -> DeedOutcome:
        (part,) = deed.names
        cause = self._renewing(part)
        return self._change(cause, f"swap {part}", (part,), {part}, part)

    def _renewing(self, part: str) -> Cause:
        """Return the cause whose repair renews a part with the least work, and the likeliest."""
        shares, repairs = self.state.posterior.causes, self.unit.files.repairs
        able = [name for name in self.book.causes if (part, "", "") in repairs.get(name, ())]

        def work(name: str) -> tuple[float, float, str]:
            repair = self.book.causes[name].repair
            opening = sum(setup_costs(self.book)[key] for key in keys_of(self.book, repair))
            return repair.minutes + opening, -shares.get(name, 0.0), name

        return self.book.causes[min(able, key=work)]

    def _change(
        self, cause: Cause, heard: str, parts: Iterable[str], renewed: set[str], only: str = ""
    ) -> DeedOutcome:
        """Do a repair, or swap `only` one part of it, and count good parts."""
        found = self.in_the_way(Undertaking.of(cause))
        if found is not None:
            return DeedOutcome(heard, [], found)
        self.work.repair(cause.repair)
        faulty = {fault.part for fault in self.unit.faults}
        right = any(cause.id in truth for truth in self.unit.truths) and not only
        puts = [put for put in self._puts(cause) if not only or put[0] == only]
        self.unit.put_right(puts)
        bought = list(parts)
        self.bought += bought
        if not right and renewed.isdisjoint(faulty):
            self.in_vain += bought
        self.repaired.append(only or cause.id)
        self.apply(Repaired(cause.id))
        steps = [] if only else [capital(step) for step in cause.repair.do]
        done = f"Done{': ' + in_a_row(bought) if bought else ''}. Run it, to see what that changed."
        return DeedOutcome(heard, [*steps, done], cautions=cause.cautions)

    def _hint(self, deed: Deed) -> DeedOutcome:
        degree, said = hint(self)
        self.last_hint, self.hint_degree = degree, max(self.hint_degree, degree)
        return DeedOutcome(f"hint {degree} of 4", list(said))

    def _call(self, deed: Deed) -> DeedOutcome:
        self.called = deed.names
        named = in_a_row(self.book.causes[name].title for name in deed.names)
        return DeedOutcome(f"call {named or 'nothing wrong'}")
