"""The unit of a lesson on the bench, beside a sound one of the same draw: what each reads."""

from __future__ import annotations

from random import Random

from diag.model.frozen import frozen
from diag.model.quantity import OVER_RANGE, UNITS, Quantity, Unit
from diag.model.rulebook import Rulebook
from diag.practice.lessons.lesson import PLACEHOLDER, WITHOUT_FAULT, Lesson
from diag.practice.world import WorldFiles
from diag.workshop import Heater, World, heater_of
from diag.workshop.amount import OPEN_OHM
from diag.workshop.data.findings import MeasuredFinding
from diag.workshop.meters import SPECIFICATIONS
from diag.workshop.seen import Seen
from diag.workshop.visit import Visit

NOTHING_READ = "nothing to read"
UNKNOWN_DIGITS = 3
SMALL = 0.01
"""A meter that resolves less than this of a unit shows little of it in thousandths."""


class LessonBench:
    """Do the acts of a lesson on its unit, and on a sound one whose numbers were drawn alike.

    Each act is done on the unit as it came in, so that no page hangs on which others were read,
    and nothing errs: what is read is what is so. The same lesson always reads the same.
    """

    def __init__(self, lesson: Lesson, book: Rulebook, world: WorldFiles) -> None:
        self.lesson, self._book, self._world = lesson, book, world
        self._seen: dict[tuple[bool, str], Seen] = {}

    def unit(self, sound: bool = False) -> World:
        """Return the unit as it came in."""
        lesson, random = self.lesson, Random(self.lesson.seed)
        numbers = self._world.classes[lesson.kind]
        heater = heater_of(numbers, random)
        entry = self._world.faults[lesson.fault] if lesson.fault and not sound else None
        return World(heater, Random(lesson.seed), entry.draw(random) if entry else (), numbers)

    def came_in(self, sound: bool = False) -> Heater:
        """Return its parts as they came in."""
        return self.unit(sound).heater

    def seen(self, act: str, sound: bool = False) -> Seen:
        """Return what an act lets be seen."""
        key = (sound, act)
        if key not in self._seen:
            new = self._world.units[self.lesson.kind]
            findings = self._world.findings
            visit = Visit(self.unit(sound), new, findings, Random(self.lesson.seed))
            self._seen[key] = visit.seen(act)
        return self._seen[key]

    def reading(self, finding: str, sound: bool = False) -> float | str | None:
        """Return what a finding truly reads: a number in its reading's unit, a state or None."""
        told = self._world.findings[finding]
        return told.truth(self.seen(told.during, sound))

    def told(self, finding: str, sound: bool = False) -> str:
        """Return a reading as people would say it, as finely as its meter shows."""
        read, reads = self.reading(finding, sound), self._world.findings[finding]
        if read is None:
            return NOTHING_READ
        if isinstance(read, str) or not isinstance(reads, MeasuredFinding):
            return self._book.findings[finding].choices.get(str(read), "") or str(read)
        shown = self._book.findings[finding].unit or UNITS["1"]
        return written(read, UNITS[reads.reading.unit], shown, reads.meter)

    def filled(self, text: str) -> str:
        """Return a text with each placeholder filled in from the unit, the sound one or the rules.

        Raises `KeyError` for a placeholder for which there is nothing, which `read_lessons`
        refuses.
        """
        return PLACEHOLDER.sub(lambda found: self._put(found.group(1)), text)

    def _put(self, name: str) -> str:
        data = self._book.units[self.lesson.kind].data
        if name.startswith(WITHOUT_FAULT):
            return self.told(name.removeprefix(WITHOUT_FAULT), sound=True)
        if name in self._world.findings:
            return self.told(name)
        if name in self._book.thresholds:
            return str(self._book.thresholds[name].at(data))
        return str(data[name.removeprefix("unit ")])


def written(value: float, read_in: Unit, shown_in: Unit, meter: str) -> str:
    """Write a reading in the unit of its finding, rounded to what its meter resolves.

    >>> written(12.7834, UNITS["V"], UNITS["V"], "volts")
    '12.78 V'
    >>> written(0.017, UNITS["A"], UNITS["A"], "small amps")
    '17 mA'
    >>> written(1e7, UNITS["ohm"], UNITS["ohm"], "low ohms")
    'over range'
    """
    if read_in.symbol == "ohm" and value >= OPEN_OHM:
        return OVER_RANGE
    if meter in SPECIFICATIONS:
        step = SPECIFICATIONS[meter].resolution
        value = round(value / step) * step
        if value and step < SMALL and abs(value) < 10.0 * SMALL:
            shown_in = UNITS.get(f"m{shown_in.symbol}", shown_in)
    si = read_in.to_si(value)
    digits = float(f"{shown_in.from_si(si):.{UNKNOWN_DIGITS + 1}g}")
    return str(Quantity(shown_in.to_si(digits), shown_in))


@frozen
class ShownReading:
    """Hold a finding, what the unit reads, and what a sound one reads."""

    finding: str
    here: str
    sound: str


def shown_readings(bench: LessonBench, findings: tuple[str, ...]) -> tuple[ShownReading, ...]:
    """Return the readings of findings on a lesson's unit and on a sound one."""
    return tuple(
        ShownReading(name, bench.told(name), bench.told(name, sound=True)) for name in findings
    )
