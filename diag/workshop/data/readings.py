"""Readings and conditions as data files write them, to functions of what was seen.

A reading is a fact (`fuel pumped`), a reading at rest (`standby amps`), a quantity of a part
(`filter clogging`), or a channel of a run: `amps, typical in glow or fuel after 20 s`. A condition
compares one: `filter clogging above 0.6`, `volts ..., below 11.2 of 12` (scaled by the nominal
volts), `battery kind is LiFePO4`, or says `reaches no full`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import isnan
from statistics import median

from diag.model.amounts import excerpt
from diag.workshop.amount import Amount, WorkshopError
from diag.workshop.control.states import PHASES
from diag.workshop.data.written import near, number_in, quantity_in
from diag.workshop.heater import QUANTITIES, read
from diag.workshop.run.trace import CHANNELS, Trace, reading_of
from diag.workshop.seen import FACTS, MORE_CHANNELS, Seen
from diag.workshop.standing import STANDING, standing

_CHANNEL = re.compile(
    r"(?P<channel>.+?), (?P<how>lowest|highest|typical|last) in (?P<phases>[^,]+?)"
    r"(?: after (?P<skipped>\S+) s)?"
)
_COMPARED = re.compile(r"(?P<reading>.+) (?P<sign>above|below|is) (?P<limit>\S+)(?P<of> of 12)?")
_HOW: dict[str, Callable[[list[float]], float]] = {
    "lowest": min,
    "highest": max,
    "typical": median,
    "last": lambda values: values[-1],
}
_LAST_OF = 25  # moments: what is read last is the middle of the last seconds


@dataclass(frozen=True, slots=True)
class SeenValue:
    """Hold how a reading follows from what was seen, and its unit; None where it is none."""

    unit: str
    of: Callable[[Seen], float | str | None]


Criterion = Callable[[Seen], bool]


def reading_in(text: str) -> SeenValue:
    """Read a reading as it is written; raises `WorkshopError` for one that there is not.

    >>> reading_in("standby amps").unit
    'A'
    """
    found = _CHANNEL.fullmatch(text)
    if found:
        return _channel(found)
    if text in FACTS:
        return SeenValue(FACTS[text].unit, FACTS[text].of)
    if text in STANDING:
        return SeenValue(STANDING[text].unit, lambda seen: standing(seen.heater, text))
    try:
        part, quantity = quantity_in(text)
    except WorkshopError as error:
        known = {*FACTS, *STANDING, *CHANNELS, *MORE_CHANNELS}
        advice = near(text, known)
        raise WorkshopError(f"nothing is read as `{excerpt(text)}`: {advice or error}") from None
    takes = QUANTITIES[part][quantity].takes
    unit = takes.unit if isinstance(takes, Amount) else "1"
    return SeenValue(unit, lambda seen: read(seen.heater, part, quantity))


def _channel(found: re.Match[str]) -> SeenValue:
    """Make the reading of a channel over some phases of a run."""
    channel, how = found["channel"], _HOW[found["how"]]
    last = found["how"] == "last"
    phases = tuple(found["phases"].split(" or "))
    for phase in phases:
        if phase not in PHASES:
            raise WorkshopError(f"there is no phase `{excerpt(phase)}`: {near(phase, PHASES)}")
    skipped_s = number_in(found["skipped"] or "0", "s")
    if channel in MORE_CHANNELS:
        unit, more = MORE_CHANNELS[channel]
    else:
        plain = reading_of(channel)
        unit = "V" if channel.startswith("volts: ") else CHANNELS[channel][0]
        more = lambda moment, _: plain(moment)  # noqa: E731

    def of(seen: Seen) -> float | None:
        moments = first_stretch(seen.trace, phases, last).settled(skipped_s).moments
        values = [more(moment, seen.heater) for moment in moments]
        values = [value for value in values if not isnan(value)]
        if not values:
            return None
        return median(values[-_LAST_OF:]) if last else how(values)

    return SeenValue(unit, of)


def first_stretch(trace: Trace, phases: tuple[str, ...], whole: bool = False) -> Trace:
    """Give the moments of the first time that a run is in some phases, or all such moments."""
    if whole:
        return trace.during(*phases)
    found = []
    for moment in trace:
        if moment.phase in phases:
            found.append(moment)
        elif found:
            break
    return Trace(found)


def condition_in(text: str) -> Criterion:
    """Read a condition as it is written; raises `WorkshopError`."""
    if text.startswith("reaches "):
        phase = text.removeprefix("reaches ").removeprefix("no ")
        if phase not in PHASES:
            raise WorkshopError(f"there is no phase `{excerpt(phase)}`: {near(phase, PHASES)}")
        wanted = not text.startswith("reaches no ")
        return lambda seen: (phase in seen.trace.phases) is wanted
    found = _COMPARED.fullmatch(text)
    if found is None:
        raise WorkshopError(
            f"`{excerpt(text)}` is no condition: expected `<reading> above <number>`, `below`, "
            "`is`, or `reaches <phase>`"
        )
    reading, sign, limit = reading_in(found["reading"]), found["sign"], found["limit"]
    if sign == "is" and not limit[:1].isdigit():
        return lambda seen: reading.of(seen) == limit
    return _compared(reading, sign, number_in(limit, "1"), found["of"] is not None)


def _compared(reading: SeenValue, sign: str, limit: float, scaled: bool) -> Criterion:
    def holds(seen: Seen) -> bool:
        value = reading.of(seen)
        if value is None or isinstance(value, str):
            return False
        wanted = limit * seen.heater.battery.nominal_v / 12.0 if scaled else limit
        return (
            value > wanted
            if sign == "above"
            else (value < wanted if sign == "below" else value == wanted)
        )

    return holds
