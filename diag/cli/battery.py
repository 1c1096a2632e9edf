"""`diag battery`: from a load test to what the unit will see while it ignites."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from diag.cli.amounts import read_amount, read_error
from diag.cli.guard import WrongUse, say
from diag.cli.printable import printable
from diag.cli.supply_screen import as_object, lines
from diag.physics.battery import MAX_VOLTS_V
from diag.physics.cable import circuit_resistance_ohm
from diag.physics.conductor import awg_area_mm2, parse_awg
from diag.physics.supply_verdict import Measured, SupplyTest, supply_outlook

VOLTS_ERROR = "0.5 % + 0.02 V"  # a plain multimeter on its 20 V range: common practice, no source
AMPS_ERROR = "2 % + 0.1 A"  # a plain DC clamp, zeroed: common practice, no source
SYSTEM_24_V = 18.0  # a rested battery above this is taken for a 24 V one

CAUTION = "caution: a spanner across the posts burns and can burst a battery; rings off."


@dataclass(frozen=True, slots=True)
class Asked:
    """One reading that must be there: its option, its name, its unit, and how it is asked for."""

    option: str
    name: str
    unit: str
    question: str


NEEDED = (
    Asked("rest", "volts at rest", "V", "Volts at the posts, all switched off?"),
    Asked("under load", "volts under load", "V", "Volts at the posts while the load draws?"),
    Asked("amps", "load current", "A", "Current that the load draws?"),
)
LENGTH = Asked("length", "cable length one way", "m", "Supply cable, one way (Enter: not known)?")
AREA = Asked("area", "conductor area", "mm2", "Area of one conductor, mm2 or AWG?")
BATTERY_SAYS = "the battery's resistance, and what its posts see while the unit ignites"
PLUG_SAYS = "what the unit's plug will see"


def run_battery(
    answers: Mapping[str, str], as_json: bool = False, ask: Callable[[str], str] | None = None
) -> int:
    """Judge the supply and print it; return 0, whatever the verdict.

    `answers` holds the options that were given, as typed. Missing readings are asked for at a
    terminal, through `ask` if that is given. Raises `ValueError` for a value that cannot be, and
    `WrongUse` when readings are missing and nobody can be asked.
    """
    if ask is None and not as_json and sys.stdin.isatty() and sys.stdout.isatty():
        ask = input
    asked = any(each.option not in answers for each in NEEDED)
    if asked:
        if ask is None:
            raise WrongUse(_missing(answers))
        answers = _asked_for(answers, ask)
    test, assumed = supply_test(answers)
    outlook = supply_outlook(test)
    notes = _notes(answers)
    if as_json:
        print(json.dumps(as_object(test, outlook, assumed, notes), indent=2))
    else:
        cautions = () if asked else (CAUTION,)
        print("\n".join(lines(test, outlook, assumed, (*notes, *cautions))))
    return 0


def _missing(answers: Mapping[str, str]) -> str:
    names = [f"`--{each.option.replace(' ', '-')}`" for each in NEEDED]
    lacking = [name for name, each in zip(names, NEEDED, strict=True) if each.option not in answers]
    as_well = " as well" if answers else ""
    return f"with {' and '.join(lacking)}{as_well} I could say {BATTERY_SAYS}"


def _notes(answers: Mapping[str, str]) -> tuple[str, ...]:
    lacking = [f"`--{name}`" for name in ("length", "area") if name not in answers]
    if not lacking:
        return ()
    return (f"with {' and '.join(lacking)} as well I could also say {PLUG_SAYS}",)


def _asked_for(answers: Mapping[str, str], ask: Callable[[str], str]) -> dict[str, str]:
    """Ask for what is missing, each question until its answer can be read."""
    print(CAUTION)
    print("Let the volts settle: about 20 s at rest, 5 s under a heavy load.")
    full = dict(answers)
    for each in NEEDED:
        if each.option not in full:
            full[each.option] = _answer(each, ask)
    if "length" not in full:
        full["length"] = _answer(LENGTH, ask, may_skip=True)
    if full["length"] and "area" not in full:
        full["area"] = _answer(AREA, ask)
    return {name: text for name, text in full.items() if text}


def _answer(each: Asked, ask: Callable[[str], str], may_skip: bool = False) -> str:
    while True:
        text = ask(f"{each.question} [{each.unit}] ").strip()
        if may_skip and not text:
            return ""
        try:
            _area(text) if each is AREA else _believable(each, text)
        except ValueError as error:
            say(str(error))
        else:
            return text


def _believable(each: Asked, text: str) -> float:
    """Read an answer, and guess the slip when a voltage is beyond any battery."""
    value = read_amount(each.name, text, each.unit)
    if each.unit != "V" or value <= MAX_VOLTS_V:
        if value <= 0:
            raise ValueError(f"`{each.name}` is `{text.strip()}`: expected more than 0 {each.unit}")
        return value
    guess = next((value / by for by in (10, 100, 1000) if 6 <= value / by <= 32), None)
    slip = f", perhaps {guess:.4g} V is meant" if guess else ""
    raise ValueError(f"`{each.name}` is `{text.strip()}`: expected at most {MAX_VOLTS_V:g} V{slip}")


def _area(text: str) -> float:
    if "awg" in text.lower():
        return awg_area_mm2(parse_awg(text.lower().replace("awg", "").strip()))
    return read_amount(AREA.name, text, "mm2")


def supply_test(answers: Mapping[str, str]) -> tuple[SupplyTest, tuple[str, ...]]:
    """Return the load test that the typed answers describe, and the names of what was assumed."""
    rest_v, load_v, load_a = (_believable(each, answers[each.option]) for each in NEEDED)
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

    amps_error = read_error("ammeter's error", typed["amps error"], "A", load_a)
    test = SupplyTest(
        volts(rest_v),
        volts(load_v),
        Measured(load_a, amps_error),
        read_amount("ignition current", typed["ignition"], "A"),
        read_amount("low-voltage cut-out", typed["cut-out"], "V"),
        _circuit_ohm(answers),
    )
    return test, tuple(printable(name) for name in usual if name not in answers)


def _circuit_ohm(answers: Mapping[str, str]) -> float | None:
    joints = read_amount("joint resistance", answers.get("joints", "0 ohm"), "ohm")
    if "length" not in answers or "area" not in answers:
        return None
    length_m = read_amount(LENGTH.name, answers["length"], "m")
    return circuit_resistance_ohm(length_m, _area(answers["area"]), joints_ohm=joints)
