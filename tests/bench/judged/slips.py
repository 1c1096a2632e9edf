"""Slips planted into a unit's readings, and laws of physics that some of them break.

The laws are written here from physics alone, without sight of what the rules call impossible, with
room for both meters' limits: a slip that breaks one is to be named by the rules or refused as
beyond belief. They are Ohm's and Kirchhoff's laws, the conservation of energy, that a burning
heater warms what passes it, and the carbon balance of diesel's dry flue gas (20.95 % oxygen in
air, 15.4 % of carbon dioxide at most: from memory).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import pi
from random import Random

from diag.logic.rests_on import resting_on
from diag.model.quantity import Quantity
from diag.model.rulebook import Rulebook, Value
from diag.session.compiled_rulebook import CompiledRulebook

ReadNumbers = Mapping[str, float]
"""Readings that are numbers, in SI units, by finding."""

_AT_REST, _AT_HEATER_AT_REST = "volts at rest", "volts at the heater at rest"
_TERMINALS, _HEATER = "volts at the terminals while igniting", "volts at the heater while igniting"
_OUT, _BACK = "drop along the positive cable", "drop along the negative cable"
_PLUG_V, _PLUG_OHM = "volts at the glow plug", "glow plug resistance cold"
_AMPS, _O2, _CO2 = "amps while igniting", "oxygen in the exhaust", "carbon dioxide in the exhaust"
_OUTLET, _INLET, _SPEED = "air at the outlet", "air at the inlet", "air speed at the outlet"
_BORE, _RATE, _DOSE = "bore of the duct", "pump rate at full power", "fuel from 100 pulses"
_CAN, _FLUE, _OUTDOORS = "fuel from a can", "exhaust temperature", "air temperature outside"

_STAGES = (
    (_AT_REST, _TERMINALS, "volts while charging"),
    (_AT_HEATER_AT_REST, _HEATER, "volts at the panel"),
    (_AMPS, "amps in fan run-up", "amps at full power", "amps at low power", "standby amps"),
    (_RATE, "pump rate at low power"),
)
"""The same read in another stage of a run."""
_PAIRS = (
    (_TERMINALS, _HEATER), (_O2, _CO2), (_OUTLET, _INLET), (_DOSE, _CAN), (_OUT, _BACK),
    (_AT_REST, _AT_HEATER_AT_REST), (_FLUE, _OUTLET), (_PLUG_V, _HEATER),
)  # fmt: skip
"""What is easily written in each other's place."""


def _heat_w(n: ReadNumbers) -> tuple[float, float]:
    """Give the heat (W) in the air, by the mean speed and its density, and in the fuel."""
    density = 101_325.0 / (287.05 * n[_OUTLET])
    stream = 0.8167 * n[_SPEED] * pi / 4.0 * n[_BORE] ** 2 * density
    return stream * 1006.0 * (n[_OUTLET] - n[_INLET]), n[_RATE] * n[_DOSE] / 100.0 * 835.0 * 43e6


Law = tuple[tuple[str, ...], Callable[[ReadNumbers], bool]]

LAWS: Mapping[str, Law] = {
    "a load never raises the terminals": (
        (_AT_REST, _TERMINALS), lambda n: n[_TERMINALS] > 1.04 * n[_AT_REST]),
    "a wire never raises the volts": (
        (_TERMINALS, _HEATER), lambda n: n[_HEATER] > 1.04 * n[_TERMINALS]),
    "a wire never raises the volts at rest": (
        (_AT_REST, _AT_HEATER_AT_REST), lambda n: n[_AT_HEATER_AT_REST] > 1.04 * n[_AT_REST]),
    "the drops add up to what is lost": (
        (_TERMINALS, _HEATER, _OUT, _BACK),
        lambda n: abs(n[_TERMINALS] - n[_HEATER] - n[_OUT] - n[_BACK])
        > 0.3 * abs(n[_TERMINALS] - n[_HEATER]) + 0.06 * n[_TERMINALS]),
    "the plug has no more than the heater": (
        (_PLUG_V, _HEATER), lambda n: n[_PLUG_V] > 1.06 * n[_HEATER]),
    "a plug passes no more than volts over ohms": (
        (_AMPS, _PLUG_OHM, _TERMINALS),
        lambda n: n[_AMPS] > 1.3 * n[_TERMINALS] / max(n[_PLUG_OHM], 1e-3) + 5.0),
    "a burning heater warms its air": ((_OUTLET, _INLET), lambda n: n[_OUTLET] < n[_INLET] - 6.0),
    "its gas leaves hotter than the air it burns": (
        (_FLUE, _OUTDOORS), lambda n: n[_FLUE] < n[_OUTDOORS] - 4.0),
    "no more heat than the fuel holds": (
        (_SPEED, _OUTLET, _INLET, _BORE, _RATE, _DOSE),
        lambda n: _heat_w(n)[0] > 1.4 * _heat_w(n)[1]),
    "no more through the line than without it": (
        (_DOSE, _CAN), lambda n: n[_DOSE] > 1.4 * n[_CAN] + 0.5e-6),
    "carbon dioxide and oxygen make up the flue gas": (
        (_O2, _CO2), lambda n: abs(n[_CO2] - 0.154 * (0.2095 - n[_O2]) / 0.2095) > 0.02),
    "less oxygen than the air has": ((_O2,), lambda n: n[_O2] > 0.2195),
}  # fmt: skip
"""By name: the readings that it speaks of, and whether these break it."""


KINDS = (
    "decimal point", "sign", "swapped digits", "wrong unit", "swapped pair", "another stage",
)  # fmt: skip
"""How people put down a wrong number."""


def _numbers(values: Mapping[str, Value]) -> ReadNumbers:
    return {n: v.si for n, v in values.items() if isinstance(v, Quantity) and not v.over_range}


def broken_laws(values: Mapping[str, Value]) -> set[str]:
    """Give the laws that readings break; one that is not read breaks none."""
    found = _numbers(values)
    return {
        name for name, (read, breaks) in LAWS.items()
        if all(each in found for each in read) and breaks(found)
    }  # fmt: skip


@dataclass(slots=True)
class PlantedSlips:
    """Hold how many slips of each kind were planted, broke a law, and were named."""

    planted: Counter[str] = field(default_factory=Counter)
    breaking: Counter[str] = field(default_factory=Counter)
    named: Counter[str] = field(default_factory=Counter)
    unnamed: Counter[tuple[str, str]] = field(default_factory=Counter)
    """What broke a law and was not named, by kind and law."""
    clean: Counter[str] = field(default_factory=Counter)
    """Laws that readings without a slip broke: a mistake of the world or of the law."""

    def add(self, other: PlantedSlips) -> None:
        """Take in what another run found."""
        self.planted.update(other.planted)
        self.breaking.update(other.breaking)
        self.named.update(other.named)
        self.unnamed.update(other.unnamed)
        self.clean.update(other.clean)


def _swapped_digits(si: float) -> float:
    text = f"{si:.3g}"
    first = next((i for i in range(len(text) - 1) if text[i : i + 2].isdigit()), None)
    if first is None:
        return si * 10.0
    return float(text[:first] + text[first + 1] + text[first] + text[first + 2 :])


def slips_of(values: Mapping[str, Value], finding: str, random: Random) -> Mapping[str, dict]:
    """Give each kind of slip with a reading: the numbers (SI) that it puts in others' places."""
    numbers = _numbers(values)
    si = numbers[finding]
    kelvin = finding in (_OUTLET, _INLET, _FLUE, _OUTDOORS)
    shown = si - 273.15 if kelvin else si
    back = 273.15 if kelvin else 0.0
    found = {
        "decimal point": {finding: shown * random.choice((0.1, 10.0)) + back},
        "sign": {finding: -shown + back},
        "swapped digits": {finding: _swapped_digits(shown) + back},
        "wrong unit": {finding: (shown * 1.8 + 32.0 if kelvin else shown * 1000.0) + back},
    }
    for kind, places in (("swapped pair", _PAIRS), ("another stage", _STAGES)):
        for names in places:
            others = [each for each in names if each != finding and each in numbers]
            if finding in names and others:
                other = random.choice(others)
                found[kind] = {finding: numbers[other]}
                if kind == "swapped pair":
                    found[kind][other] = si
    return found


def named(
    chain_says: Callable[[Mapping[str, Value]], list[frozenset[str]]],
    values: Mapping[str, Value], slip: Mapping[str, float], book: Rulebook,
) -> bool:  # fmt: skip
    """Say whether a slip is refused as beyond belief, or stands among what cannot be."""
    for name, si in slip.items():
        span = book.findings[name].believable
        if span is not None and not span[0].si <= si <= span[1].si:
            return True
    return any(names & slip.keys() for names in chain_says({**values, **slipped(values, slip)}))


def slipped(values: Mapping[str, Value], slip: Mapping[str, float]) -> dict[str, Value]:
    """Give the readings that a slip puts in the place of others."""
    return {name: Quantity(si, values[name].unit) for name, si in slip.items()}  # type: ignore[union-attr]


def plant(
    values: Mapping[str, Value], book: Rulebook,
    chain_says: Callable[[Mapping[str, Value]], list[frozenset[str]]], random: Random,
) -> PlantedSlips:  # fmt: skip
    """Plant a slip of each kind into a reading that some law speaks of, and see who names it."""
    found = PlantedSlips()
    found.clean.update(broken_laws(values))
    spoken_of = {name for read, _ in LAWS.values() for name in read} & _numbers(values).keys()
    for kind in KINDS:
        planned = [(name, slips_of(values, name, random)) for name in sorted(spoken_of)]
        planned = [(name, slips) for name, slips in planned if kind in slips]
        if not planned:
            continue
        slip = random.choice(planned)[1][kind]
        found.planted[kind] += 1
        broken = broken_laws({**values, **slipped(values, slip)}) - found.clean.keys()
        if not broken:
            continue
        found.breaking[kind] += 1
        if named(chain_says, values, slip, book):
            found.named[kind] += 1
        else:
            found.unnamed.update((kind, law) for law in broken)
    return found


def under(
    compiled: CompiledRulebook, book: Rulebook, names: Mapping[str, object]
) -> frozenset[str]:
    """Give the findings on which names rest."""
    return frozenset(resting_on(names, compiled.below.get)).intersection(book.findings)
