"""`diag battery`: from a load test to what the unit will see while it ignites."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Mapping, Sequence

from diag.cli.bench.amounts import LONGEST, read_amount, read_error
from diag.cli.bench.battery_ask import (
    CAUTION,
    FURTHER,
    LENGTH,
    NEEDED,
    answer,
    area_mm2,
    asked_for,
    believable,
)
from diag.cli.bench.battery_endurance import endurance
from diag.cli.bench.battery_reach import Reach, limits, sag
from diag.cli.bench.battery_state import (
    Battery,
    battery_of,
    charge_line,
    half_crank,
)
from diag.cli.bench.supply_screen import Screen, as_object, lines
from diag.cli.guard import WrongUse, say
from diag.cli.terminal.printable import printable
from diag.physics.cable import circuit_resistance_ohm
from diag.physics.errors import PhysicsError
from diag.physics.supply_verdict import (
    Measured,
    MeasuredLoad,
    SupplyOutlook,
    SupplyTest,
    supply_outlook,
)

VOLTS_ERROR = "0.5 % + 0.02 V"  # a plain multimeter on its 20 V range: common practice, no source
AMPS_ERROR = "2 % + 0.1 A"  # a plain DC clamp, zeroed: common practice, no source
SYSTEM_24_V = 18.0  # a rested battery above this is taken for a 24 V one

LITHIUM_CAUTION = "caution: charging LiFePO4 below 0 C harms it for good; its papers come first."


BATTERY_SAYS = "the battery's resistance, and what its posts see while the unit ignites"
MORE = (
    (("length", "area"), "the volts at the plug"),
    (("chemistry",), "how cold and empty it may get"),
    (("chemistry", "rested"), "its charge"),
    (("plug-time",), "the sag"),
    (("capacity",), "hours, starts and days"),
    (("cold-crank",), "the load test"),
)
IDLE = {  # options that say nothing without one of these
    "surge": ("plug-time",), "used": ("capacity",), "running": ("capacity",),
    "standby": ("capacity",), "temperature": ("chemistry", "capacity", "cold-crank"),
}  # fmt: skip


def run_battery(
    answers: Mapping[str, str],
    as_json: bool = False,
    ask: Callable[[str], str] | None = None,
    points: Sequence[str] = (),
) -> int:
    """Judge the supply and print it; return 0, whatever the verdict.

    `answers` holds the options that were given, as typed, and `points` further loads. Missing
    readings are asked for at a terminal, through `ask` if that is given. Raises `ValueError` for
    a value that cannot be, and `WrongUse` when readings are missing and nobody can be asked.
    """
    if ask is None and not as_json and sys.stdin.isatty() and sys.stdout.isatty():
        ask = input
    answers = dict(answers)
    if points and not {"under load", "amps"} & set(answers):
        amps, volts = _point(points[0])
        answers |= {"amps": amps, "under load": volts}
        points = points[1:]
    asked = any(each.option not in answers for each in NEEDED)
    if asked:
        if ask is None:
            raise WrongUse(_missing(answers))
        answers = asked_for(answers, ask)
    shown = _mended(answers, points, ask if asked else None)
    cold = LITHIUM_CAUTION if "lifepo4" in answers.get("chemistry", "").lower() else ""
    cautions = tuple(filter(None, (CAUTION, cold)))
    if as_json:
        print(json.dumps(as_object(shown, cautions), indent=2))
    else:
        print("\n".join(lines(shown, cautions[1:] if asked else cautions)))
    return 0


def _mended(
    answers: dict[str, str], points: Sequence[str], ask: Callable[[str], str] | None
) -> Screen:
    """Return what is shown; where readings were asked for, one that is refused is asked again."""
    while True:
        try:
            test, assumed = supply_test(answers, points)
            return screen(answers, test, assumed)
        except ValueError as error:
            named = str(error).removeprefix("`").partition("`")[0]
            refused = next((each for each in (*NEEDED, *FURTHER) if each.name == named), None)
            if ask is None or refused is None:
                raise
            say(str(error))
            answers[refused.option] = answer(refused, ask)


def screen(answers: Mapping[str, str], test: SupplyTest, assumed: Sequence[str]) -> Screen:
    """Return all that the answers tell about a supply; raise `ValueError` for what cannot be."""
    outlook, battery = supply_outlook(test), battery_of(answers, test)
    reach, notes = Reach(), [*_notes(answers), *_line_notes(test, outlook)]
    if "plug-time" in answers:
        reach += sag(answers, test, battery)
    if battery.chemistry is not None:
        reach += limits(test, battery, battery.chemistry)
    if "capacity" in answers:
        reach += endurance(answers, test, battery)
    if "cold-crank" in answers:
        margin, verdict, why = half_crank(answers, test, battery)
        if margin is not None and verdict is not None:
            reach = Reach((margin,), (verdict,)) + reach
        notes += [why] if why else []
    return Screen(
        test, outlook, tuple(assumed), tuple(_assumed(answers, battery, reach)), reach,
        charge_line(battery, test), battery.charge, tuple(notes),
    )  # fmt: skip


def _assumed(answers: Mapping[str, str], battery: Battery, reach: Reach) -> list[str]:
    needs = {"chemistry", "capacity", "cold-crank"} & set(answers)
    assumed = list(reach.assumed)
    if needs and "temperature" not in answers:
        assumed.append(f"battery at {battery.temperature.value:g} C")
    if "capacity" in answers and battery.chemistry is None:
        assumed.append("flooded for its capacity in the cold")
    return assumed


def _missing(answers: Mapping[str, str]) -> str:
    names = [f"`--{each.option.replace(' ', '-')}`" for each in NEEDED]
    lacking = [name for name, each in zip(names, NEEDED, strict=True) if each.option not in answers]
    as_well = " as well" if answers else ""
    return f"with {' and '.join(lacking)}{as_well} I could say {BATTERY_SAYS}"


def _notes(answers: Mapping[str, str]) -> list[str]:
    """Say what more could be said, and with which readings."""
    notes = []
    for names, says in MORE:
        lacking = [f"`--{name}`" for name in names if name not in answers]
        if lacking:
            notes.append(f"with {' and '.join(lacking)} as well I could also say {says}")
    for option, needs in IDLE.items():
        if option in answers and not set(needs) & set(answers):
            listed = " or ".join(f"`--{name}`" for name in needs)
            notes.append(f"`--{option}` says nothing without {listed}")
    if "capacity" in answers:
        more = [("running", "hours"), ("plug-time", "starts"), ("standby", "days of standby")]
        notes += [
            f"with `--{name}` as well I could also say {says}"
            for name, says in more
            if name not in answers
        ]
    return notes


def _line_notes(test: SupplyTest, outlook: SupplyOutlook) -> list[str]:
    """Say when the loads stand too close, badly for the ignition, or off their own line."""
    notes, ohm = [], outlook.resistance_ohm
    if ohm.value <= ohm.error:
        notes.append(
            f"battery resistance: cannot tell, {ohm.value * 1e3:.1f} mohm is inside its error of "
            f"{ohm.error * 1e3:.1f}; take loads further apart, or a finer meter"
        )
    if not test.more:
        return notes
    loads = sorted([test.load_a.value, *(load.amps.value for load in test.more)])
    if not loads[0] <= test.ignition_a <= loads[-1]:
        notes.append(
            f"take loads on both sides of the ignition current, {test.ignition_a:g} A: a battery's "
            f"line is curved, and these stand at {loads[0]:g} to {loads[-1]:g} A"
        )
    if outlook.line.misfit_v > test.load_v.error:
        notes.append(
            f"the loads lie {outlook.line.misfit_v:.2f} V off one line, more than the meter's "
            f"error of {test.load_v.error:.2f} V: take them again, settled"
        )
    return notes


def _point(text: str) -> tuple[str, str]:
    """Return a further load as typed amps and volts: `250 A 11.55 V`, or amps first."""
    words = re.findall(r"[^\s;]+(?:\s+m?[AV](?!\w))?", text[: 2 * LONGEST])
    if len(words) == 2 and len(text) <= 2 * LONGEST:
        first, second = words
        turned = "v" in first.lower() or "a" in second.lower()
        return (second, first) if turned else (first, second)
    raise PhysicsError(
        f"`point` is `{text.strip()[:LONGEST]}`: expected a current and a voltage, such as "
        "`250 A 11.55 V`"
    )


def supply_test(
    answers: Mapping[str, str], points: Sequence[str] = ()
) -> tuple[SupplyTest, tuple[str, ...]]:
    """Return the load test that the typed answers describe, and the names of what was assumed."""
    rest_v, load_v, load_a = (believable(each, answers[each.option]) for each in NEEDED)
    if load_v == rest_v:
        raise ValueError(
            f"`volts under load` equals `volts at rest`, {rest_v:g} V: expected less; load the "
            "battery harder, or read the volts on a finer range"
        )
    twice = 2.0 if rest_v > SYSTEM_24_V else 1.0
    usual = {"ignition": f"{10 / twice:g} A", "cut-out": f"{10.5 * twice:g} V"}
    usual |= {"volts error": VOLTS_ERROR, "amps error": AMPS_ERROR}
    typed = {**usual, **answers}

    def volts(value: float) -> Measured:
        return Measured(value, read_error("voltmeter's error", typed["volts error"], "V", value))

    def amps(value: float) -> Measured:
        return Measured(value, read_error("ammeter's error", typed["amps error"], "A", value))

    more = tuple(
        MeasuredLoad(amps(believable(NEEDED[2], point_a)), volts(believable(NEEDED[1], point_v)))
        for point_a, point_v in map(_point, points)
    )
    test = SupplyTest(
        volts(rest_v),
        volts(load_v),
        amps(load_a),
        read_amount("ignition current", typed["ignition"], "A"),
        read_amount("low-voltage cut-out", typed["cut-out"], "V"),
        _circuit_ohm(answers),
        more,
    )
    return test, tuple(printable(name) for name in usual if name not in answers)


def _circuit_ohm(answers: Mapping[str, str]) -> float | None:
    joints = read_amount("joint resistance", answers.get("joints", "0 ohm"), "ohm")
    if "length" not in answers or "area" not in answers:
        return None
    length_m = read_amount(LENGTH.name, answers["length"], "m")
    return circuit_resistance_ohm(length_m, area_mm2(answers["area"]), joints_ohm=joints)
