"""How far a supply carries: the sag of an ignition, how cold and how empty it may get."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from diag.bench.amounts import read_amount
from diag.bench.battery.inputs import CAPACITY, GLOW_PLUG_TIME, SURGE_AMPS
from diag.bench.battery.state import Battery
from diag.bench.figures import (
    DerivedFigure,
    Judgement,
    Measurement,
    derive,
    improve,
    judge,
    weakest,
)
from diag.bench.inputs import measured
from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError
from diag.physics.supply.charge import (
    TABLE_SPREAD_V,
    Chemistry,
    resistance_factor,
    rest_volts_v,
)
from diag.physics.supply.ignition import (
    IgnitionLoad,
    Limit,
    Phase,
    coldest_ignition_c,
    emptiest_ignition_percent,
    ignition_charge_ah,
    ignition_profile,
    ignition_sag,
)
from diag.physics.supply.verdict import SupplyTest, line_readings, line_through

SURGE = 1.5  # first surge against settled current: common practice, no source
HALF_FULL = 50.0
WIDE = {"C": 10.0, "%": 15.0}  # a limit known no better than this gets its own sentence
FROST = {
    "lead": ("where its acid may freeze", "US Army TM 5-3820-256-24-4 Table 2, less 3 K"),
    "LiFePO4": ("where its BMS may cut off", "battery manuals, from memory"),
}
LITTLE_V = 0.02  # a limit with more than this to spare is not set by the cut-off
DERATING = "Ohm's law; derating by cold and charge: common practice, from memory"
AGAIN = {
    "volts at rest": "rested, with a finer meter or range",
    "load current": "with the clamp zeroed, or with a better one",
    "current": "with the clamp zeroed, or with a better one",
}


@frozen
class Reach:
    """The figures and judgements of one part, and what of it was assumed."""

    figures: tuple[DerivedFigure, ...] = ()
    judgements: tuple[Judgement, ...] = ()
    assumed: tuple[str, ...] = ()

    def __add__(self, other: Reach) -> Reach:
        """Return both parts as one."""
        return Reach(
            self.figures + other.figures,
            self.judgements + other.judgements,
            self.assumed + other.assumed,
        )


def _line(test: SupplyTest) -> tuple[Measurement, ...]:
    def again(name: str) -> str:
        settled = "settled, with a finer meter or range"
        return AGAIN.get(name, AGAIN["current"] if name.startswith("current") else settled)

    return tuple(
        Measurement(each.name, each.value, each.error, each.unit, again=again(each.name))
        for each in line_readings(test)
    )


def ignition_phases(answers: Mapping[str, str], test: SupplyTest) -> tuple[Phase, Phase]:
    """Return the surge and the settled stretch of an ignition; raise `ValueError` if it cannot."""
    seconds = measured(GLOW_PLUG_TIME, answers[GLOW_PLUG_TIME.option]).value
    surge_a = SURGE * test.ignition_a
    if SURGE_AMPS.option in answers:
        surge_a = read_amount(SURGE_AMPS.name, answers[SURGE_AMPS.option], "A")
        if surge_a < test.ignition_a:
            raise PhysicsError(
                f"`surge current` is {surge_a:g} A: expected at least the ignition current, "
                f"{test.ignition_a:g} A"
            )
    return ignition_profile(seconds, surge_a, test.ignition_a)


def sag(answers: Mapping[str, str], test: SupplyTest, battery: Battery) -> Reach:
    """Return the volts left at the end of surge and settled stretch, and what the surge does."""
    phases = ignition_phases(answers, test)
    fall = 0.0
    if battery.chemistry and "capacity" in answers:
        full, empty = (rest_volts_v(battery.chemistry, p, battery.nominal_v) for p in (100, 0))
        fall = (full - empty) / measured(CAPACITY, answers["capacity"]).value
    readings, circuit = _line(test), test.circuit_ohm or 0.0
    where = "terminals" if test.circuit_ohm is None else "connector"

    def left(place: int) -> Callable[..., float]:
        return lambda *now: (
            ignition_sag(line_through(now), circuit, phases, fall)[place].appliance_v
        )

    try:
        left(0)(*(each.value for each in readings))
    except PhysicsError as error:  # more than the supply can drive: a verdict, not a slip
        return Reach(judgements=(Judgement("first surge", "clear no", f"first surge: {error}"),))
    figures = []
    for place, phase in enumerate(phases):
        name = f"{where}, {('first surge', 'settled')[place]}"
        how = f"{phase.current_a:g} A for {phase.seconds:g} s"
        if place:
            how += f", {ignition_charge_ah(phases):.2g} Ah a start"
        figures.append(derive(name, "V", left(place), readings, formula=how, source="Ohm's law"))
    margin = derive(
        "margin of the surge", "V", lambda *now: left(0)(*now) - test.cut_off_v, readings,
        source="Ohm's law",
    )  # fmt: skip
    verdict = _surge_verdict(margin, readings, phases[0], where)
    assumed = () if SURGE_AMPS.option in answers else (f"surge {phases[0].current_a:g} A",)
    return Reach(tuple(figures), (verdict,), assumed)


def _surge_verdict(
    margin: DerivedFigure, readings: tuple[Measurement, ...], surge: Phase, where: str
) -> Judgement:
    said = judge(margin)
    size = f"{abs(margin.value):.2f} V +- {margin.error:.2f}"
    sentences = {
        "clear yes": f"first surge: the {where} would keep {size} above the cut-off",
        "clear no": f"first surge: the {where} would dip {size} below the cut-off; the "
        f"heater starts only if its cut-off waits longer than {surge.seconds:g} s",
        "cannot tell": f"first surge: cannot tell, {size} "
        f"{'above' if margin.value >= 0 else 'below'} the cut-off is inside the error; "
        f"{improve(margin, readings)}",
    }
    return Judgement("first surge", said, sentences[said], weakest(margin))


@frozen
class Limited:
    """A limit by its name and unit, what holds while it is sought, and its readings."""

    name: str
    unit: str
    at: str
    frost: tuple[str, str]
    readings: tuple[Measurement, ...]


def _tables(chemistry: Chemistry, nominal_v: float) -> tuple[Measurement, Measurement]:
    """Return what the derating and rest tables may be out by: a factor, and V to add."""
    spread_v = TABLE_SPREAD_V.get(chemistry, 0.2) * nominal_v / 12.0
    by_test, at_rest = "by a load test there, not tables", "at rest there"
    return (
        Measurement("resistance in the cold", 1.0, 0.1, "1", again=by_test),
        Measurement("volts when emptier", 0.0, spread_v, "V", again=at_rest),
    )


def limits_of(test: SupplyTest, battery: Battery, chemistry: Chemistry) -> Reach:
    """Return how cold and how empty the battery may get before ignition fails."""
    known = battery.charge_reading
    charge = known or Measurement("charge", HALF_FULL, 0.0, "%")
    readings = (*_line(test), charge, battery.temperature, *_tables(chemistry, battery.nominal_v))

    def asked(now: Sequence[float]) -> tuple[float, float, float, IgnitionLoad]:
        *points, percent, warm_c, derating, shift_v = now
        # A battery whose charge is not known is taken as full when tested: the careful way.
        tested = resistance_factor(chemistry, warm_c, percent if known else 100.0)
        ohm = line_through(points).resistance_ohm / tested * derating
        load = IgnitionLoad(test.ignition_a, test.circuit_ohm or 0.0, test.cut_off_v + shift_v)
        return percent, warm_c, ohm, load

    def coldest(*now: float) -> Limit:
        percent, _, ohm, load = asked(now)
        return coldest_ignition_c(ohm, load, chemistry, percent, battery.nominal_v)

    def emptiest(*now: float) -> Limit:
        _, warm_c, ohm, load = asked(now)
        return emptiest_ignition_percent(ohm, load, chemistry, warm_c, battery.nominal_v)

    def spare_v(now: Sequence[float], temperature_c: float, percent: float) -> float:
        _, _, ohm, load = asked(now)
        ohm *= resistance_factor(chemistry, temperature_c, percent)
        emf_v = rest_volts_v(chemistry, percent, battery.nominal_v)
        return emf_v - (ohm + load.circuit_ohm) * load.current_a - load.cut_off_v

    frost = FROST["LiFePO4" if chemistry == "LiFePO4" else "lead"]
    at = Limited("coldest start", "C", f"at {charge.value:.0f} % charge", frost, readings)
    cold = _limited(at, coldest, lambda edge, now: spare_v(now, edge, asked(now)[0]))
    at = Limited("emptiest start", "%", f"at {battery.temperature.value:g} C", frost, readings)
    empty = _limited(at, emptiest, lambda edge, now: spare_v(now, asked(now)[1], edge))
    assumed = () if known else (f"{charge.value:.0f} % charge for the coldest start",)
    return cold + empty + Reach(assumed=assumed)


def _limited(
    of: Limited, limit: Callable[..., Limit], spare_v: Callable[[float, Sequence[float]], float]
) -> Reach:
    """Return a limit as a figure, or as a sentence when it always or never holds."""
    found = limit(*(each.value for each in of.readings))
    if found.kind != "ends":
        edge = found.value
        margin = derive(of.name, "V", lambda *now: spare_v(edge, now), of.readings, source=DERATING)
        return Reach(judgements=(_edge_verdict(of, found, margin),))
    spare = spare_v(found.value, [each.value for each in of.readings])
    where, source = ("the cut-off", DERATING) if spare < LITTLE_V else of.frost
    how = f"{of.at}, to {where}"
    made = derive(
        of.name, of.unit, lambda *now: limit(*now).value, of.readings, formula=how, source=source
    )
    if made.error <= WIDE[of.unit]:
        return Reach((made,))
    wide = (
        f"{of.name}: cannot tell closer than +- {made.error:.0f} {of.unit}; "
        f"{improve(made, of.readings)}"
    )
    return Reach((made,), (Judgement(of.name, "cannot tell", wide, weakest(made)),))


def _edge_verdict(of: Limited, found: Limit, margin: DerivedFigure) -> Judgement:
    """Say that ignition holds, or fails, as far as the tables go, if that is clear."""
    edge = f"{found.value:g} {of.unit}"
    size = f"{margin.value:.2f} V +- {margin.error:.2f}"
    if judge(margin) == "cannot tell":
        sentence = (
            f"{of.name}: cannot tell, {of.at} and {edge} the margin is {size}, inside its error; "
            f"{improve(margin, of.readings)}"
        )
        return Judgement(of.name, "cannot tell", sentence, weakest(margin))
    sentence = f"{of.name}: {of.at} ignition holds even at {edge}, by {size}"
    if of.unit == "%":
        sentence += ", going by volts alone: an empty battery keeps them for a moment only"
    if found.kind == "never":
        sentence = f"{of.name}: {of.at} ignition fails even at {edge}, margin {size}"
    return Judgement(of.name, found.kind, sentence)
