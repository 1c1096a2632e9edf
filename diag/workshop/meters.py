"""Meters that err as their makers say they may, and people who now and then misread them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from random import Random
from types import MappingProxyType

from diag.workshop.amount import WorkshopError


@dataclass(frozen=True, slots=True)
class Specification:
    """Hold a range's published limits: share of reading, digits, resolution, and its end.

    `least_error` is a floor in the unit of the reading; `leads` is what its leads add to ohms.
    Limits are taken as rectangular (JCGM 100, 4.3.7).
    """

    unit: str
    of_reading: float
    digits: float
    resolution: float
    most: float
    least_error: float = 0.0
    leads: float = 0.0

    def limit(self, true: float) -> float:
        """Give how far (unit of the reading) a reading may be off and still be within limits.

        >>> round(SPECIFICATIONS["volts"].limit(12.6), 3)
        0.093
        """
        scaled = max(self.of_reading * abs(true), self.least_error)
        return scaled + self.digits * self.resolution


SPECIFICATIONS: Mapping[str, Specification] = MappingProxyType(
    {
        # Hand multimeter: 0.5 % + 3 digits; ohms 0.8 % + 2 digits, leads 0.2 to 0.5 ohm.
        "volts": Specification("V", 0.005, 3.0, 0.01, 60.0),
        "low ohms": Specification("ohm", 0.008, 2.0, 0.1, 200.0, leads=0.3),
        "ohms": Specification("ohm", 0.008, 2.0, 1.0, 2000.0, leads=0.3),
        "kilohms": Specification("ohm", 0.008, 2.0, 10.0, 2_000_000.0, leads=0.3),
        # Its leads held together first, and what they show taken off.
        "nulled ohms": Specification("ohm", 0.008, 3.0, 0.01, 200.0),
        "small amps": Specification("A", 0.012, 3.0, 0.001, 10.0),
        # Clamp: 2.0 % + 5 digits of 0.01 A.
        "clamp amps": Specification("A", 0.02, 5.0, 0.01, 100.0),
        # Thermocouple K class 2: 2.5 K or 0.75 %, with its reader's 1 K.
        "thermocouple": Specification("C", 0.0075, 10.0, 0.1, 1200.0, least_error=2.5),
        # Vane: 3 % + 0.2 m/s (memory).
        "vane": Specification("m/s", 0.03, 2.0, 0.1, 40.0),
        # From memory: electrochemical cells, a cylinder, a stopwatch by hand, smoke pump.
        "carbon dioxide": Specification("%", 0.0, 3.0, 0.1, 20.0),
        "carbon monoxide in air": Specification("ppm", 0.05, 2.0, 1.0, 2_000.0),
        "pulse count": Specification("Hz", 0.01, 2.0, 0.01, 20.0),
        "tape": Specification("m", 0.0, 1.0, 0.05, 50.0),
        "caliper": Specification("mm", 0.0, 1.0, 0.1, 300.0),
        "caliper on copper": Specification("mm2", 0.05, 1.0, 0.1, 100.0),
        "oxygen": Specification("%", 0.0, 3.0, 0.1, 25.0),
        "carbon monoxide": Specification("ppm", 0.05, 10.0, 1.0, 10_000.0),
        "cylinder": Specification("ml", 0.01, 1.0, 0.2, 100.0),
        "stopwatch": Specification("s", 0.0, 3.0, 0.1, 36_000.0),
        "smoke spot": Specification("1", 0.0, 1.0, 0.5, 9.0),
    }
)
"""Ranges by name, with limits from makers' pages where not said otherwise."""


@dataclass(frozen=True, slots=True)
class Mistakes:
    """Hold how often people slip or get no reading at all, 0 for never, and if looks deceive."""

    slip: float = 0.0
    dropout: float = 0.0
    looks: bool = False


NO_MISTAKES = Mistakes()


@dataclass(frozen=True, slots=True)
class Meter:
    """Hold one meter: its specification, and the error of scale that all its readings share.

    `scale` is between -1 and 1, a share of the published limit.
    """

    specification: Specification
    scale: float

    def read(self, true: float, random: Random, mistakes: Mistakes = NO_MISTAKES) -> float | None:
        """Read a true value; infinity is over range, None is no reading.

        The digits part is drawn anew for each reading, half a digit of it being the rounding.
        """
        spec = self.specification
        if random.random() < mistakes.dropout:
            return None
        shown = true + spec.leads
        if abs(shown) > spec.most:
            return inf
        shown += self.scale * max(spec.of_reading * abs(shown), spec.least_error)
        spread = max(0.0, spec.digits - 0.5) * spec.resolution
        shown = round((shown + random.uniform(-spread, spread)) / spec.resolution)
        value = round(shown * spec.resolution, 6)
        if true >= 0.0 and spec.unit == "ppm":
            value = max(value, 0.0)  # a gas meter shows no less than nothing
        return _slipped(value, random) if random.random() < mistakes.slip else value


def _slipped(value: float, random: Random) -> float:
    """Misread as people do: the point one place off, two digits swapped, or the wrong sign."""
    kind = random.choice(("point up", "point down", "swapped", "sign"))
    if kind == "point up":
        return value * 10.0
    if kind == "point down":
        return value / 10.0
    if kind == "sign":
        return -value
    text = f"{abs(value):g}"
    places = [i for i in range(len(text) - 1) if (text[i] + text[i + 1]).isdigit()]
    if not places:
        return value * 10.0
    at = random.choice(places)
    swapped = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    return float(swapped) if value >= 0.0 else -float(swapped)


def meter(name: str, random: Random) -> Meter:
    """Take a meter out of the drawer; raises `WorkshopError` for a name that there is not.

    >>> meter("volts", Random(1)).specification.unit
    'V'
    """
    if name not in SPECIFICATIONS:
        raise WorkshopError(
            f"there is no meter `{name}`: expected one of {', '.join(SPECIFICATIONS)}"
        )
    return Meter(SPECIFICATIONS[name], random.uniform(-1.0, 1.0))
