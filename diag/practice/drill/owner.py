"""What comes with a practice unit: its tag in an invented fleet, what its owner tells unasked."""

from __future__ import annotations

from random import Random

from diag.model.frozen import frozen
from diag.model.phrasing import small
from diag.model.rulebook import Rulebook
from diag.practice.units import PracticeUnit
from diag.practice.wording import read_back
from diag.rulebook import parse_answer

FLEETS = (("LIB", "mobile library"), ("ROAD", "road crew's van"))
"""The invented fleet: the letters of its tags, and what each is."""


@frozen
class Arrival:
    """A unit as it comes in."""

    tag: str
    what: str
    heater: str
    complaint: str
    facts: tuple[str, ...]
    """What the owner tells unasked, a sentence each."""


def arrival(book: Rulebook, unit: PracticeUnit, *, seed: int) -> Arrival:
    """Return how a unit comes in; the tag is drawn by seed and number.

    What may tell of a danger is told to who asks for it, as owners do.
    """
    random = Random(f"arrival {seed} {unit.number}")
    letters, what = random.choice(FLEETS)
    findings = {name: book.findings[name] for name in unit.told if name in book.findings}
    told = [
        read_back(finding, parse_answer(unit.told[name], finding))
        for name, finding in findings.items()
        if finding.how == "told" and name not in book.safety_findings
    ]
    night = f"It stood outside last night, at about {unit.weather_c:.0f} C."
    return Arrival(
        f"{letters}-{random.randint(1, 24):02}",
        what,
        small(book.units[unit.kind].title),
        book.complaints[unit.complaint].title,
        (night, *told),
    )
