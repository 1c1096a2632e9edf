"""What a finding reads: the act that it takes, the reading or the looks, the meter, mistakes."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random
from types import MappingProxyType

from diag.model.amounts import excerpt
from diag.model.problem import DataEntry, DataKey, Problem
from diag.model.problem import Path as Way
from diag.workshop.amount import WorkshopError
from diag.workshop.data.readings import Criterion, SeenValue, condition_in, reading_in
from diag.workshop.data.written import near, number_in
from diag.workshop.meters import SPECIFICATIONS
from diag.workshop.seen import Seen

TABLE: Mapping[str, DataKey] = MappingProxyType(
    {
        "during": DataKey(),
        "reads": DataKey(),
        "meter": DataKey(),
        "looks": DataKey("rows"),
        "otherwise": DataKey(),
        "mistaken": DataKey("mapping"),
    }
)
"""The keys of a finding in a file."""
UNTOLD: Mapping[str, DataKey] = MappingProxyType(
    {"answer": DataKey(required=True), "why": DataKey(required=True)}
)
"""The keys of a finding that nothing in the world tells."""
REST = "a look"
CANNOT_TELL = "?"


@dataclass(frozen=True, slots=True)
class MeasuredFinding:
    """Hold a finding that is a number: the act, the reading, and the meter where there is one."""

    during: str
    reading: SeenValue
    meter: str = ""

    def truth(self, seen: Seen) -> float | str | None:
        """Give what it would read without any error of meter or man."""
        return self.reading.of(seen)


@dataclass(frozen=True, slots=True)
class LookedFinding:
    """Hold a finding that is a look: the act, states by condition, and how it is mistaken."""

    during: str
    looks: Sequence[tuple[str, Criterion]]
    otherwise: str
    mistaken: Mapping[str, tuple[str, float]]

    @property
    def states(self) -> frozenset[str]:
        """Give the states that it can tell."""
        named = {state for state, _ in self.looks} | {self.otherwise}
        mistaken = {other for other, _ in self.mistaken.values()}
        return frozenset((named | mistaken) - {CANNOT_TELL})

    def state(self, seen: Seen) -> str | None:
        """Give the state that it is in; None where it cannot be told."""
        holding = (state for state, holds in self.looks if holds(seen))
        state = next(holding, self.otherwise)
        return None if state == CANNOT_TELL else state

    def truth(self, seen: Seen) -> str | None:
        """Give what it would read without any error of man."""
        return self.state(seen)

    def taken_for(self, state: str, random: Random) -> str:
        """Give what a state is taken for by people, who now and then mistake it."""
        other, chance = self.mistaken.get(state, (state, 0.0))
        return other if random.random() < chance else state


FindingReads = MeasuredFinding | LookedFinding


def findings_of(
    entries: Mapping[str, DataEntry], acts: Collection[str]
) -> tuple[Mapping[str, FindingReads], tuple[Problem, ...]]:
    """Make of entries what each finding reads, and say what is wrong with those that are none."""
    found, problems = dict[str, FindingReads](), list[Problem]()
    for entry in entries.values():
        wrong = list(_mistakes(entry, acts))
        problems += wrong
        if not wrong:
            found[entry.id] = _made(entry)
    return MappingProxyType(found), tuple(sorted(problems))


def _mistakes(entry: DataEntry, acts: Collection[str]) -> Iterator[Problem]:
    values = entry.values
    during = values.get("during", REST)
    if during not in acts:
        message = f"nothing is done as `{excerpt(during)}`"
        yield entry.problem(("during",), message, near(during, acts))
    if ("reads" in values) == ("otherwise" in values):
        yield entry.problem((), "a finding `reads` a number, or has a look `otherwise`, one of two")
        return
    if values.get("meter", "volts") not in SPECIFICATIONS:
        message = f"there is no meter `{excerpt(values['meter'])}`"
        yield entry.problem(("meter",), message, near(values["meter"], SPECIFICATIONS))
    for way, text, read in _texts(entry):
        try:
            read(text)
        except WorkshopError as error:
            yield entry.problem(way, str(error))


def _texts(entry: DataEntry) -> Iterator[tuple[Way, str, Callable[[str], object]]]:
    """Yield every text of an entry with where it stands and what reads it."""
    values = entry.values
    if "reads" in values:
        yield ("reads",), values["reads"], reading_in
    for number, (state, text) in enumerate(values.get("looks", ())):
        yield ("looks", number, state), text, condition_in
    for state, text in values.get("mistaken", {}).items():
        yield ("mistaken", state), text, _taken


def _taken(text: str) -> tuple[str, float]:
    """Read `dirty 3 %`: a state and how often another is taken for it; raises `WorkshopError`."""
    state, _, share = text.removesuffix(" %").rpartition(" ")
    chance = number_in(share, "1") / 100.0
    if not text.endswith(" %") or not state or not 0.0 <= chance <= 1.0:
        raise WorkshopError(f"`{excerpt(text)}`: expected a state and 0 % to 100 %")
    return state, chance


def _made(entry: DataEntry) -> FindingReads:
    values = entry.values
    during = values.get("during", REST)
    if "reads" in values:
        return MeasuredFinding(during, reading_in(values["reads"]), values.get("meter", ""))
    looks = tuple((state, condition_in(text)) for state, text in values.get("looks", ()))
    mistaken = {state: _taken(text) for state, text in values.get("mistaken", {}).items()}
    return LookedFinding(during, looks, values["otherwise"], MappingProxyType(mistaken))
