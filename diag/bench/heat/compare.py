"""Runs or heaters side by side for the same heat: fuel, current, noise."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from diag.bench.amounts import read_amount, read_error
from diag.bench.figures import (
    DerivedFigure,
    Judgement,
    Measurement,
    derive,
    judge,
    rounded,
    weakest,
)
from diag.bench.heat.inputs import WANTED_HEAT
from diag.bench.report import BenchReport, to_learn
from diag.model.amounts import AMOUNT_IN_TEXT, unit_spelt
from diag.model.frozen import frozen
from diag.model.quantity import UNITS
from diag.physics.errors import above, between
from diag.physics.heat.compare import Delivery, Level, delivery

SHAPE = "'LIB-03: 1.1 kW 0.15 l/h 0.9 A 38 dB; 2.2 kW 0.3 l/h 3 A'"
NEEDED = ("kW", "l/h", "A")
# Usual errors of a measured level: common practice, no source.
USUAL_ERRORS = MappingProxyType(
    {"heat": "6 %", "fuel": "4 %", "current": "2 % + 0.1 A", "noise": "1.5"}
)
LONGEST_NAME = 12
SOURCE = "straight lines between the measured levels"


@frozen
class Run:
    """A heater's name and its measured levels."""

    name: str
    levels: tuple[Level, ...]


@frozen
class Aspect:
    """One thing to compare: its unit, its value in a delivery, and what less of it is called.

    `key` is the value's name in the plain data of a delivery.
    """

    name: str
    unit: str
    key: str
    value: Callable[[Delivery], float | None]
    less: str


ASPECTS = (
    Aspect("fuel", "l/h", "fuel_l_per_h", lambda one: one.fuel_l_per_h, "burns less fuel"),
    Aspect("current", "A", "current_a", lambda one: one.current_a, "draws less current"),
    Aspect("noise", "dB", "noise_db", lambda one: one.noise_db, "is quieter"),
)


def compared_runs(
    runs: Sequence[Run], wanted: str | None = None, errors: Mapping[str, str] = MappingProxyType({})
) -> BenchReport:
    """Return what is told about two runs or more for the same heat, typed or the most of all.

    `errors` overrides the usual error of heat, fuel, current or noise. Raises `ValueError` for a
    name that stands twice and a heat that cannot be.
    """
    names = [run.name for run in runs]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"`run` is `{name}` twice: expected a name of its own for each")
    most = min(max(level.heat_kw for level in run.levels) for run in runs)
    heat_kw = most if wanted is None else read_amount(WANTED_HEAT.name, wanted, "kW")
    above(WANTED_HEAT.name, heat_kw, "kW", most=200.0)
    return _compared(runs, heat_kw, wanted is None, {**USUAL_ERRORS, **errors})


def read_run(text: str) -> Run:
    """Read a run as people write it: a name, a colon, levels parted by `;`.

    Raises `ValueError` with one sentence for what cannot be read.

    >>> read_run("LIB-03: 2,2 kW 0.3 l/h 3 A").levels
    (Level(heat_kw=2.2, fuel_l_per_h=0.3, current_a=3.0, noise_db=None),)
    """
    name, colon, rest = text.partition(":")
    name = " ".join(name.split())
    if not colon or not name or len(name) > LONGEST_NAME:
        raise ValueError(
            f"`run` is `{text.strip()[:60]}`: expected a name of at most {LONGEST_NAME} "
            f"characters, a colon and its levels, such as {SHAPE}"
        )
    levels = tuple(_level(name, each) for each in rest.split(";") if each.strip())
    if not levels:
        raise ValueError(
            f"`run` is `{text.strip()}`: expected levels behind the colon, such as {SHAPE}"
        )
    return Run(name, levels)


def _level(name: str, text: str) -> Level:
    found: dict[str, float] = {}
    left = AMOUNT_IN_TEXT.sub("", text).replace(",", "").strip()
    for value, symbol in AMOUNT_IN_TEXT.findall(text):
        if symbol.lower() in ("db", "dba"):
            noise = read_amount(f"noise of {name}", value.rstrip(",."), "1")
            found["dB"] = between(f"noise of {name}", noise, "dB", least=0.0, most=150.0)
            continue
        spelt = unit_spelt(symbol)
        kin = [u for u in NEEDED if spelt and UNITS[u].dimension == spelt.dimension]
        if not kin:
            left = left or symbol
            continue
        text_of = f"{value.rstrip(',.')} {symbol}"
        found[kin[0]] = read_amount(f"level of {name}", text_of, kin[0])
    if left or any(unit not in found for unit in NEEDED):
        raise ValueError(
            f"`level of {name}` is `{text.strip()[:60]}`: expected heat in kW, fuel in l/h, "
            "current in A and, if known, noise in dB"
        )
    above(f"heat of {name}", found["kW"], "kW", most=200.0)
    return Level(found["kW"], found["l/h"], found["A"], found.get("dB"))


def _compared(
    runs: Sequence[Run], heat_kw: float, chosen: bool, errors: Mapping[str, str]
) -> BenchReport:
    given = [delivery(run.name, run.levels, heat_kw) for run in runs]
    short = [one.name for one in given if one.heat_kw < heat_kw]
    said: list[Judgement] = []
    figures: list[DerivedFigure] = []
    for aspect in ASPECTS:
        made = {one.name: _figure(aspect, one, errors) for one in given}
        figures += [each for each in made.values() if each is not None]
        known = [each for name, each in made.items() if each is not None and name not in short]
        if len(known) > 1:
            said.append(_least(aspect, known))
    return BenchReport(
        figures=figures,
        judgements=said,
        assumed=["the most heat that all can give"] if chosen else [],
        notes=_notes(given, short, heat_kw),
        extra={"wanted_kw": heat_kw, "deliveries": [_as_object(one) for one in given]},
    )


def _notes(given: Sequence[Delivery], short: Sequence[str], heat_kw: float) -> list[str]:
    notes = [
        f"{name} cannot give {heat_kw:g} kW, so it is left out of what is said" for name in short
    ]
    if any(one.noise_db is None for one in given):
        notes.append(to_learn("the noise in dB of every level", "which is quieter"))
    if any(one.manner == "on and off" for one in given):
        notes.append("a heater that switches on and off also spends fuel and current on its starts")
    return notes


def _manner(one: Delivery) -> str:
    return one.manner if one.running_share >= 1 else f"on {100 * one.running_share:.0f} % of time"


def _as_object(one: Delivery) -> dict[str, object]:
    return {
        "name": one.name,
        "manner": one.manner,
        "heat_kw": one.heat_kw,
        "running_share": one.running_share,
        "fuel_l_per_h": one.fuel_l_per_h,
        "current_a": one.current_a,
        "noise_db": one.noise_db,
        "fuel_l_per_kwh": one.fuel_l_per_kwh,
        "charge_ah_per_kwh": one.charge_ah_per_kwh,
    }


def _figure(aspect: Aspect, one: Delivery, errors: Mapping[str, str]) -> DerivedFigure | None:
    """Return one value with its error: at the same heat, the error of the heat counts as well."""
    value = aspect.value(one)
    if value is None:
        return None
    name, unit = f"{aspect.name} of {one.name}", aspect.unit
    text = errors[aspect.name]
    if unit == "dB":
        half = read_error("error of noise", text.lower().replace("db", ""), "1", value)
        reading = Measurement(name, value, half, unit)
        return derive(name, unit, lambda db: db, (reading,), formula="as measured", source=SOURCE)
    cost = Measurement(name, value, read_error(f"error of {aspect.name}", text, unit, value), unit)
    half_kw = read_error("error of heat", errors["heat"], "kW", one.heat_kw)
    heat = Measurement(f"heat of {one.name}", one.heat_kw, half_kw, "kW")
    how = f"at {one.heat_kw:g} kW, {_manner(one)}"
    return derive(
        name,
        unit,
        lambda spent, kw: spent / kw * one.heat_kw,
        (cost, heat),
        formula=how,
        source=SOURCE,
    )


def _least(aspect: Aspect, known: Sequence[DerivedFigure]) -> Judgement:
    """Name the run that takes least, or say that its lead is inside the error."""
    first, second = sorted(known, key=lambda each: each.value)[:2]
    readings = [each.measurement() for each in (first, second)]
    lead = derive("lead", aspect.unit, lambda one, other: other - one, readings, source=SOURCE)
    size = f"by {rounded(lead.value, lead.error, aspect.unit)}"
    name = first.name.removeprefix(f"{aspect.name} of ")
    if judge(lead) == "clear yes" and lead.value > 0:
        return Judgement(aspect.name, name, f"{name} {aspect.less} {size}", _blurs(lead, known))
    worst = _blurs(lead, known)
    again = f"; take `{worst}` again, more carefully" if worst else ""
    sentence = f"cannot tell which {aspect.less}: they differ {size}{again}"
    return Judgement(aspect.name, "cannot tell", sentence, worst)


def _blurs(lead: DerivedFigure, known: Sequence[DerivedFigure]) -> str | None:
    """Return the reading behind the figure that blurs a lead most."""
    for each in known:
        if each.name == weakest(lead):
            return weakest(each)
    return None
