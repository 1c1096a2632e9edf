"""What a rulebook knows, as frozen data. Nothing here evaluates, reads or prints."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal as OneOf
from typing import NamedTuple

from diag.model.expression import Condition, Formula, Term, names_in
from diag.model.frozen import frozen
from diag.model.origin import Origin as Origin
from diag.model.problem import Place
from diag.model.quantity import Quantity, Unit
from diag.model.settings import Scales
from diag.model.threshold import Threshold
from diag.model.unit_data import NOWHERE as NOWHERE
from diag.model.unit_data import UnitData as UnitData
from diag.model.unit_data import UnitDatum as UnitDatum
from diag.model.unit_data import UnitLimit as UnitLimit
from diag.model.work import Measure, SharedRun, UsualSlip, Workplace
from diag.model.work import Repair as Repair

Kind = OneOf["yes/no", "choice", "count", "code", "quantity"]
How = OneOf["told", "seen", "measured"]
Value = str | Quantity
"""The answer to a finding: a state, or a quantity; a count is a quantity of unit `1`."""


@frozen
class Finding:
    """One thing that can be asked, seen or measured."""

    id: str
    ask: str
    kind: Kind
    area: str
    how: How = "seen"
    help: str = ""
    measure: Measure | None = None
    choices: Mapping[str, str] = field(default_factory=dict)
    """State to what it looks like, in order; the first is as it should be."""
    unit: Unit | None = None
    believable: tuple[Quantity, Quantity] | None = None
    slips: tuple[UsualSlip, ...] = ()
    words: tuple[str, ...] = ()
    asked_when: Condition | None = None
    fixed: bool = False
    """True for a fact that no repair changes, as how long a thing is."""
    lettered: bool = False
    """True for a choice that is listed by letters, so that no number is taken for a code."""
    place: Place = NOWHERE

    @property
    def states(self) -> tuple[str, ...]:
        """Return the states of a choice or a yes/no, the first as it should be."""
        return tuple(self.choices)


@frozen
class Check:
    """One act at the bench that yields findings."""

    id: str
    do: str
    area: str
    minutes: float
    yields: tuple[str, ...]
    tools: tuple[str, ...] = ()
    needed_for: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Tool to the findings that need it, where the others can be read without."""
    access: str = "ask"
    there: tuple[str, ...] = ()
    """Who or what must be there for it."""
    needs: tuple[str, ...] = ()
    undoes: tuple[str, ...] = ()
    """Needs that have to be brought about again after it."""
    cautions: tuple[str, ...] = ()
    acts: tuple[str, ...] = ()
    """What doing it does to the unit; a danger may forbid it."""
    held_back: bool = False
    """True where it is for dangers alone; if it does anything it waits for a repair or the end."""
    together: str = ""
    """A question that asks all the yes/no findings at once; empty when asked one by one."""
    waits: float = 0.0
    """Minutes beyond its own in which nobody need be there."""
    uses: tuple[str, ...] = ()
    """Runs of which it makes one by itself, without sharing it."""
    run: str = ""
    """What it shares with other checks, which are then taken together; empty for nothing."""
    possible_when: Condition | None = None
    place: Place = NOWHERE


@frozen
class Sign:
    """A discrete state concluded by rules; its first state is as it should be."""

    id: str
    states: tuple[str, ...]
    area: str
    title: str = ""
    leak: Mapping[str, float] = field(default_factory=dict)
    """Leak: probability that a state other than the first shows with no cause at all."""
    defects: Mapping[str, str] = field(default_factory=dict)
    """State that is a fault in plain sight, to the cause that it is."""
    supersedes: tuple[str, ...] = ()
    counts_beside: Mapping[str, str] = field(default_factory=dict)
    """Other sign to why both count, although one rests on all readings of the other."""
    is_finding: bool = False
    """True for a choice finding that is evidence as it stands: its reading is its state."""
    looked_up: str = ""
    """A count finding whose number the unit's own code list turns into a state."""
    place: Place = NOWHERE


class Fact(NamedTuple):
    """Something concluded: a sign's state, a danger, a cause ruled out, or what cannot be."""

    kind: OneOf["sign", "danger", "excluded", "impossible"]
    name: str
    state: str

    def __str__(self) -> str:
        return f"{self.name} is {self.state}"


@frozen
class Rule:
    """When the condition holds, the fact follows."""

    id: str
    when: Condition
    then: Fact
    why: str = ""
    origin: Origin | None = None
    place: Place = NOWHERE


@frozen
class Figure:
    """A number computed from readings, unit data and other figures.

    `terms` are a formula's inputs in its order, or else the single sum of the rule file.
    """

    id: str
    unit: Unit
    terms: tuple[Term, ...]
    formula: Formula | None = None
    title: str = ""
    origin: Origin | None = None
    place: Place = NOWHERE


@frozen
class Proof:
    """What must hold in the run after a repair."""

    condition: Condition


@frozen
class Cause:
    """A fault, or a state of use that is taken for one."""

    id: str
    title: str
    area: str
    odds: float
    shows: Mapping[str, Mapping[str, float]]
    """Sign to state to link strength."""
    repair: Repair
    complaints: Mapping[str, float] = field(default_factory=dict)
    quiet: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """What it must not show: sign to states."""
    comes_and_goes: float = 1.0
    """The chance at any one look that it shows at all; 1 where it is always there."""
    brought_out_by: tuple[str, ...] = ()
    """Signs that bring out what comes and goes: these show it at full strength."""
    any_of: tuple[str, ...] = ()
    """Signs of its variants, of which a unit has one."""
    confused_with: Mapping[str, str] = field(default_factory=dict)
    """Other cause to the finding or sign that tells the two apart."""
    proof: tuple[Proof, ...] = ()
    cautions: tuple[str, ...] = ()
    no_fault: bool = False
    """True where the unit itself is sound and its use or weather explains the complaint."""
    explain: str = ""
    tell_owner: str = ""
    status: OneOf["draft", "trial", "proven"] = "draft"
    origin: Origin | None = None
    place: Place = NOWHERE


@frozen
class Danger:
    """A reason to stop work, from the reading that raises it until later ones release it."""

    id: str
    title: str
    raised_when: Condition
    released_when: Condition
    do_now: tuple[str, ...]
    resume_when: str
    """The same as `released_when`, in words for people."""
    forbids: tuple[str, ...] = ()
    """The acts that nobody does while it holds."""
    ask_first: tuple[str, ...] = ()
    heard_as: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    """Finding and state that raise it, to the words by which people tell of that."""
    licensed: str = ""
    place: Place = NOWHERE


@frozen
class WordGroup:
    """Words any of which will do in a phrase, and words that must not stand near them."""

    words: tuple[str, ...]
    but_not: tuple[str, ...] = ()


@frozen
class Complaint:
    """What the owner says is wrong."""

    id: str
    title: str
    words: tuple[str, ...] = ()
    intake: tuple[str, ...] = ()
    """Checks done first, in order: a few cheap questions."""
    proof: tuple[Proof, ...] = ()
    """What shows that the complaint is gone: its own opposite."""
    lesser_proof: tuple[Proof, ...] = ()
    """What shows nearly as much where not all of the proof can be read."""
    place: Place = NOWHERE


@frozen
class Rulebook:
    """All that was read, linked and checked; every mapping is by id, in order of id."""

    scales: Scales
    findings: Mapping[str, Finding]
    checks: Mapping[str, Check]
    signs: Mapping[str, Sign]
    rules: tuple[Rule, ...]
    figures: Mapping[str, Figure]
    causes: Mapping[str, Cause]
    dangers: Mapping[str, Danger]
    complaints: Mapping[str, Complaint]
    units: Mapping[str, UnitData]
    unit_data: Mapping[str, UnitDatum]
    unit_limits: tuple[UnitLimit, ...]
    cautions: Mapping[str, str]
    acts: Mapping[str, str]
    """What checks, repairs and runs do to a unit, each in a sentence; dangers forbid them."""
    strata: Mapping[str, int]
    """Sign (or danger, or excluded cause) to the layer in which its rules are run."""
    hash: str = ""
    drafts: frozenset[str] = frozenset()
    """Causes that were left out, since they are still being written."""
    thresholds: Mapping[str, Threshold] = field(default_factory=dict)
    """Limits by name, already written out in the conditions and sums that name them."""
    word_groups: Mapping[str, WordGroup] = field(default_factory=dict)
    """Words that stand for each other in phrases, by the name that phrases give them."""
    heard_as: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    """Finding and state to the phrases that tell of it, beside what dangers say themselves."""
    profiles: Mapping[str, Workplace] = field(default_factory=dict)
    """Who works where and with what; none: all is at hand."""
    runs: Mapping[str, SharedRun] = field(default_factory=dict)
    told_as: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """Phrases with `;` between: by finding and state (or none: numbers), or none and complaint."""
    word_weights: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """What words weigh where no phrase is heard, by what they tell of."""
    word_counts: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """How often words were said, keys as of `told_as`: counts before their words, `;` between."""

    @property
    def tools(self) -> tuple[str, ...]:
        """Return every tool that a check names, in order."""
        return tuple(sorted({tool for check in self.checks.values() for tool in check.tools}))

    @property
    def areas(self) -> list[str]:
        """Return the areas that have a cause, in order."""
        return sorted({cause.area for cause in self.causes.values()})

    @property
    def asked_first(self) -> frozenset[str]:
        """Return the findings that dangers want asked before anything else."""
        return frozenset(name for danger in self.dangers.values() for name in danger.ask_first)

    @property
    def safety_findings(self) -> frozenset[str]:
        """Return the findings that may tell of a danger: asked first, or in what raises one."""
        raising = (rule.when for rule in self.rules if rule.then.kind == "danger")
        return self.asked_first | self.findings.keys() & frozenset(names_in(*raising))
