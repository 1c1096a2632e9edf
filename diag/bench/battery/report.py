"""All that the typed answers tell about a supply."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.bench.battery.endurance import endurance
from diag.bench.battery.inputs import (
    CAPACITY,
    CHEMISTRY,
    COLD_CRANK,
    GLOW_PLUG_TIME,
    IDLE,
    LOAD_AMPS,
    MORE,
    NEEDED,
    TEMPERATURE,
    TERMINALS,
    WITH_CAPACITY,
    point_of,
)
from diag.bench.battery.reach import Reach, limits_of, sag
from diag.bench.battery.state import Battery, battery_of, charge_line, frost, half_crank
from diag.bench.battery.sums import supply_test
from diag.bench.battery.verdicts import line_notes, supply_limits, supply_sentence
from diag.bench.inputs import Input, InputGroup
from diag.bench.report import to_learn
from diag.bench.thresholds import Thresholds
from diag.model.frozen import frozen
from diag.physics.supply.charge import ChargeBand, NoChargeBand
from diag.physics.supply.verdict import Measured, SupplyOutlook, SupplyTest, supply_outlook

CAUTION = "A spanner across the terminals can burn you or burst the battery. Take rings off."
LITHIUM_CAUTION = (
    "Never charge LiFePO4 below 0 C: it is damaged for good. Below about -20 C its BMS may cut it "
    "off altogether. Follow its manual."
)
FROST_CAUTION = (
    "A lead battery that may be frozen is neither charged nor loaded: it can burst. A flat one "
    "freezes at -9 C, a half full one at -26 C."
)
LOAD_TEST = InputGroup(
    "the battery's resistance, and what its terminals see while the heater ignites", NEEDED
)
OHM = "Ohm's law"
SOURCES = {
    "battery resistance": "rest and one load, or a line through several: Ohm's law",
    "cables and joints": "IEC 60228:2004 Table 3, class 5, 20 C",
    "margin to cut-off": f"{OHM}; errors by JCGM 100:2008 eq. 10",
}


@frozen
class SupplyFigure:
    """One figure of the supply: name, value with error in its unit, its sum with the numbers."""

    name: str
    of: Measured
    unit: str
    formula: str

    @property
    def source(self) -> str:
        """Return whose formula it is."""
        return SOURCES.get(self.name, OHM)


@frozen
class SupplyReport:
    """The load test, its outlook and figures, what reaches further, the charge, notes.

    `assumed` names the options that were taken as usual, `also_assumed` says the rest in words.
    `cautions` begins with the one that is shown before anything is asked.
    """

    test: SupplyTest
    outlook: SupplyOutlook
    sentence: str
    figures: tuple[SupplyFigure, ...]
    assumed: tuple[str, ...]
    also_assumed: tuple[str, ...]
    reach: Reach
    charge_line: tuple[str, str] | None
    charge: ChargeBand | NoChargeBand | None
    notes: tuple[str, ...]
    cautions: tuple[str, ...]


def with_first_point(
    answers: Mapping[str, str], points: Sequence[str]
) -> tuple[dict[str, str], Sequence[str]]:
    """Take the first further load for the load test where none was given; raises `ValueError`."""
    if not points or {TERMINALS.option, LOAD_AMPS.option} & set(answers):
        return dict(answers), points
    amps, volts = point_of(points[0])
    return {**answers, LOAD_AMPS.option: amps, TERMINALS.option: volts}, points[1:]


def supply_report(
    answers: Mapping[str, str], points: Sequence[str], thresholds: Thresholds
) -> SupplyReport:
    """Return all that the answers tell about a supply; raise `ValueError` for what cannot be.

    `answers` holds typed texts by option, `points` further loads as typed.
    """
    test, assumed = supply_test(answers, points)
    battery = battery_of(answers, test)
    limits = supply_limits(thresholds, battery.nominal_v)
    outlook = supply_outlook(test, limits.reserve_v)
    reach, why = _reach(answers, test, battery)
    cold: tuple[str, ...] = (LITHIUM_CAUTION,) if battery.chemistry == "LiFePO4" else ()
    if battery.chemistry != "LiFePO4" and battery.temperature.value < 0.0:
        cold = (FROST_CAUTION,)
    return SupplyReport(
        test=test,
        outlook=outlook,
        sentence=supply_sentence(test, outlook, limits),
        figures=_figures(test, outlook, assumed),
        assumed=assumed,
        also_assumed=tuple(_assumed(answers, battery, reach)),
        reach=reach,
        charge_line=charge_line(battery, test),
        charge=battery.charge,
        notes=(*_notes(answers), *line_notes(test, outlook), *why),
        cautions=(CAUTION, *cold),
    )


def _reach(
    answers: Mapping[str, str], test: SupplyTest, battery: Battery
) -> tuple[Reach, tuple[str, ...]]:
    """Return what reaches beyond the load test, and why one part of it was not judged."""
    iced, why = frost(battery), ""
    reach = Reach(judgements=(iced,)) if iced else Reach()
    if COLD_CRANK.option in answers:
        margin, judgement, why = half_crank(answers, test, battery)
        if margin is not None and judgement is not None:
            reach += Reach((margin,), (judgement,))
    if GLOW_PLUG_TIME.option in answers:
        reach += sag(answers, test, battery)
    if battery.chemistry is not None:
        reach += limits_of(test, battery, battery.chemistry)
    if CAPACITY.option in answers:
        reach += endurance(answers, test, battery)
    return reach, (why,) if why else ()


def _figures(
    test: SupplyTest, outlook: SupplyOutlook, assumed: Sequence[str]
) -> tuple[SupplyFigure, ...]:
    ohm, rest, load, amps = outlook.resistance_ohm, test.rest_v, test.load_v, test.load_a

    def mark(option: str) -> str:
        return " (assumed)" if option in assumed else ""

    milli = f"{ohm.value * 1e3:.1f} mohm"
    sum_, start_v = f"({rest.value:g} V - {load.value:g} V) / {amps.value:g} A", f"{rest.value:g} V"
    if test.more:
        start_v = f"{outlook.line.emf_v:.2f} V"
        sum_ = f"line through {1 + len(test.more)} loads, from {start_v}"
    igniting = f"{test.ignition_a:g} A{mark('ignition-amps')}"
    figures = [
        SupplyFigure("battery resistance", ohm, "ohm", sum_),
        SupplyFigure(
            "terminals at ignition", outlook.terminals_v, "V",
            f"{start_v} - {milli} x {igniting}",
        ),
    ]  # fmt: skip
    if outlook.appliance_v is not None and test.circuit_ohm is not None:
        circuit, less = Measured(test.circuit_ohm), f"{test.circuit_ohm * 1e3:.1f} mohm"
        there = f"less {less} x {igniting}"
        figures += [
            SupplyFigure("cables and joints", circuit, "ohm", "there and back, at 20 C"),
            SupplyFigure("connector at ignition", outlook.appliance_v, "V", there),
        ]
    over = f"over cut-off of {test.cut_off_v:g} V{mark('cut-off')}"
    return (*figures, SupplyFigure("margin to cut-off", outlook.margin_v, "V", over))


def _assumed(answers: Mapping[str, str], battery: Battery, reach: Reach) -> list[str]:
    needs = {CHEMISTRY.option, CAPACITY.option, COLD_CRANK.option} & set(answers)
    assumed = list(reach.assumed)
    if needs and TEMPERATURE.option not in answers:
        assumed.append(f"battery at {battery.temperature.value:g} C")
    if CAPACITY.option in answers and battery.chemistry is None:
        assumed.append("flooded for its capacity in the cold")
    return assumed


def _notes(answers: Mapping[str, str]) -> list[str]:
    """Say what more could be said, and with which readings."""
    notes = []
    for inputs, says in MORE:
        lacking = [each for each in inputs if each.option not in answers]
        if lacking:
            notes.append(to_learn(" and ".join(map(_option, lacking)), says))
    for each, needs in IDLE.items():
        if each.option in answers and not {need.option for need in needs} & set(answers):
            listed = " or ".join(map(_option, needs))
            notes.append(f"`--{each.option}` says nothing without {listed}")
    if CAPACITY.option in answers:
        notes += [
            to_learn(f"`--{each.option}`", says)
            for each, says in WITH_CAPACITY
            if each.option not in answers
        ]
    return notes


def _option(each: Input) -> str:
    return f"`--{each.option}`"
