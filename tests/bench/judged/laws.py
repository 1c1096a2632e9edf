"""All that a unit reads, put before the rules at once: what they call impossible, what unsound."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from random import Random

from diag.model.rulebook import Fact, Rulebook, Value
from diag.practice.readings import as_value
from diag.practice.units import SOUND_UNIT, PracticeUnit, draw_unit
from diag.reason.chain.engine import Chain
from diag.rulebook import parse_answer, with_error
from diag.session.compiled_rulebook import CompiledRulebook
from diag.workshop.data.findings import REST
from tests.bench.judged.slips import PlantedSlips, plant, under
from tests.workshop.shipped import shipped_findings, shipped_untold, shipped_world

ACTS = (REST, "pumping", "pumping from a can", "a start", "a full run", "a low run", "a switch-off")
"""What is done with each unit, in this order: all runs are one, watched from its start."""
HELPED = ("a start with a charger", "a start with all else off", "a start with the cap off",
          "a start from a full tank", "a start after a reset", "a start with another panel",
          "three starts")  # fmt: skip
"""Acts that take a start each."""


@dataclass(slots=True)
class Broken:
    """Hold what the rules made of many units' readings."""

    units: int = 0
    impossible: Counter[str] = field(default_factory=Counter)
    unsound: Counter[tuple[str, str]] = field(default_factory=Counter)
    dangers: Counter[str] = field(default_factory=Counter)
    slips: PlantedSlips = field(default_factory=PlantedSlips)
    examples: dict[str, tuple[int, str, dict[str, str]]] = field(default_factory=dict)

    def add(self, other: Broken) -> None:
        """Take in what another run found."""
        self.units += other.units
        self.slips.add(other.slips)
        for mine, theirs in (
            (self.impossible, other.impossible),
            (self.unsound, other.unsound),
            (self.dangers, other.dangers),
        ):
            mine.update(theirs)  # type: ignore[arg-type]
        self.examples = {**other.examples, **self.examples}


def readings_of(unit: PracticeUnit, book: Rulebook, acts: Sequence[str] = ACTS) -> dict[str, Value]:
    """Read every finding that these acts tell, the untold ones with their usual answers."""
    found: dict[str, Value] = {}
    wanted = [name for name, told in shipped_findings().items() if told.during in acts]
    unit.visit.begin(wanted)
    for name in sorted(wanted, key=lambda each: acts.index(shipped_findings()[each].during)):
        told = shipped_findings()[name]
        if name not in book.findings:
            continue
        read = unit.visit.tell(name)
        number = isinstance(read, float | int)
        value = as_value(read, told, book, name) if number else read  # type: ignore[arg-type, assignment]
        if value is not None:
            found[name] = value
    for name, answer in {**shipped_untold(), **unit.told}.items():
        found[name] = parse_answer(answer, book.findings[name])
    return found


def chain_of(
    readings: Mapping[str, Value], book: Rulebook, compiled: CompiledRulebook, kind: str
) -> Chain:
    """Give what the rules conclude from all readings at once."""
    chain = Chain(compiled.network, book.units[kind])
    data = book.units[kind]
    chain.tell_all({name: with_error(value, name, data) for name, value in readings.items()})
    return chain


def broken_by(
    seed: int, numbers: Iterator[int] | range, book: Rulebook,
    compiled: Mapping[str, CompiledRulebook], only: str = "", acts: Sequence[str] = ACTS,
) -> Broken:  # fmt: skip
    """Draw units without slips; count what the rules call impossible, or unsound of a sound one."""
    found = Broken()
    for number in numbers:
        unit = draw_unit(shipped_world(), seed, number, exact=True, only=only)
        readings = readings_of(unit, book, acts)
        chain = chain_of(readings, book, compiled[unit.kind], unit.kind)
        found.units += 1

        def says(values: Mapping[str, Value], unit: PracticeUnit = unit) -> list[frozenset[str]]:
            told = chain_of(values, book, compiled[unit.kind], unit.kind)
            return [under(compiled[unit.kind], book, one.used) for one in told.impossible]

        found.slips.add(plant(readings, book, says, Random(f"slip {seed} {number}")))
        for one in chain.impossible:
            _note(found, found.impossible, one.rule.id, unit, one.used, readings)
        if unit.fault != SOUND_UNIT:
            continue
        for sign, about in book.signs.items():
            for state in chain.states(sign) - {about.states[0]}:
                fact = Fact("sign", sign, state)
                used = {name for support in chain.supports(fact) for name in support.used}
                _note(found, found.unsound, (sign, state), unit, used, readings)
        for danger in chain.dangers:
            _note(found, found.dangers, danger, unit, (), readings)
    return found


def _note(
    found: Broken,
    counts: Counter,
    what: object,
    unit: PracticeUnit,
    used: Collection[str],
    readings: Mapping[str, Value],
) -> None:  # type: ignore[type-arg]
    counts[what] += 1
    shown = {name: str(readings[name]) for name in used if name in readings}
    found.examples.setdefault(
        str(what), (unit.number, f"{unit.kind} {unit.weather_c:.0f} C {unit.fault}", shown)
    )
