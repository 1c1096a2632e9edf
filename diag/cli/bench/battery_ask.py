"""How `diag battery` asks for its readings, one by one, each until it can be read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from diag.cli.bench.amounts import read_amount
from diag.cli.bench.battery_state import chemistry_of, hours_of
from diag.cli.guard import say
from diag.physics.battery import MAX_VOLTS_V
from diag.physics.conductor import awg_area_mm2, parse_awg
from diag.physics.errors import celsius

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
KIND = Asked("chemistry", "chemistry", "", "Kind: flooded, AGM, gel or LiFePO4 (Enter: leave out)?")
RESTED = Asked("rested", "hours rested", "h", "Hours without charge or load (Enter: not known)?")
FURTHER = (
    KIND,
    RESTED,
    Asked("temperature", "battery temperature", "C", "Its temperature (Enter: 25 C)?"),
    Asked("capacity", "battery capacity", "Ah", "Its capacity (Enter: not known)?"),
    Asked("plug-time", "plug time", "s", "How long the plug heats (Enter: not known)?"),
)


def asked_for(answers: Mapping[str, str], ask: Callable[[str], str]) -> dict[str, str]:
    """Return the answers with what was missing asked for, each until it can be read."""
    print(CAUTION)
    print("Let the volts settle: about 20 s at rest, 5 s under a heavy load.")
    full = dict(answers)
    for each in NEEDED:
        if each.option not in full:
            full[each.option] = answer(each, ask)
    if "length" not in full:
        full["length"] = answer(LENGTH, ask, may_skip=True)
    if full["length"] and "area" not in full:
        full["area"] = answer(AREA, ask)
    for each in FURTHER:
        if each is not KIND and not full[KIND.option]:
            break  # without the kind of battery the rest would tell little
        if each.option not in full:
            full[each.option] = answer(each, ask, may_skip=True)
    return {name: text for name, text in full.items() if text}


def answer(each: Asked, ask: Callable[[str], str], may_skip: bool = False) -> str:
    """Ask one question until its answer can be read; Enter alone skips what may be skipped."""
    while True:
        unit = f" [{each.unit}]" if each.unit else ""
        text = ask(f"{each.question}{unit} ").strip()
        if may_skip and not text:
            return ""
        try:
            _check(each, text)
        except ValueError as error:
            say(str(error))
        else:
            return text


def _check(each: Asked, text: str) -> None:
    """Refuse an answer that cannot be read; what it means together with others comes later."""
    if each is AREA:
        area_mm2(text)
    elif each is KIND:
        chemistry_of(text)
    elif each is RESTED:
        hours_of(text)
    elif each.unit == "C":
        celsius(each.name, read_amount(each.name, text, each.unit))
    else:
        believable(each, text)


def believable(each: Asked, text: str) -> float:
    """Read an answer, and guess the slip when a voltage is beyond any battery."""
    value = read_amount(each.name, text, each.unit)
    if each.unit != "V" or value <= MAX_VOLTS_V:
        if value <= 0:
            raise ValueError(f"`{each.name}` is `{text.strip()}`: expected more than 0 {each.unit}")
        return value
    guess = next((value / by for by in (10, 100, 1000) if 6 <= value / by <= 32), None)
    slip = f", perhaps {guess:.4g} V is meant" if guess else ""
    raise ValueError(f"`{each.name}` is `{text.strip()}`: expected at most {MAX_VOLTS_V:g} V{slip}")


def area_mm2(text: str) -> float:
    """Read an area in mm2, or a gauge that is marked AWG."""
    if "awg" in text.lower():
        return awg_area_mm2(parse_awg(text.lower().replace("awg", "").strip()))
    return read_amount(AREA.name, text, "mm2")
