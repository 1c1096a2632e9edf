"""What people type, turned into a value of a finding, or one sentence that says why not."""

from __future__ import annotations

import re
from dataclasses import replace

from diag.model.quantity import POINT, SPELLINGS, Quantity, Unit, plain_number, quantity
from diag.model.rulebook import Finding, UnitData, Value
from diag.rulebook.yaml.scalars import nearest, noun, noun_in, shown

LONGEST = 200
_NUMBER = re.compile(r"([-+]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+))\s*(.*)", re.DOTALL)
_TWO_WAYS = re.compile(r"[-+]?[1-9][0-9]{0,2},[0-9]{3}")
_USUAL = {"V": ("mV",), "A": ("mA",), "C": ("F",), "F": ("C",), "ohm": ("mohm", "kohm")}
"""Units that a meter may have been switched to, unseen."""


class Unbelievable(ValueError):
    """An answer that is well formed but lies beyond what can be believed."""


def parse_answer(text: str, finding: Finding) -> Value:
    """Turn what was typed into the value of a finding.

    Raises `ValueError` with one sentence, or its subclass `Unbelievable`.
    """
    if not text.strip():
        raise ValueError("the answer is empty; type one, or say that it is not known")
    if any(not char.isprintable() for char in text.strip()):
        raise ValueError(f"`{shown(text)}` holds a control character; type the answer again")
    text = text.strip()
    if len(text) > LONGEST:
        raise ValueError(f"`{shown(text)}` is too long; an answer has at most {LONGEST} characters")
    if finding.kind == "yes/no":
        return _yes_or_no(text)
    if finding.kind == "choice":
        return _choice(text, finding)
    value = _count(text) if finding.kind == "count" else _quantity(text, finding.unit)
    _believe(value, text, finding)
    return value


def _yes_or_no(text: str) -> str:
    answers = {"yes": "yes", "y": "yes", "no": "no", "n": "no"}
    if text.lower() not in answers:
        raise ValueError(f"`{shown(text)}` is neither yes nor no; type `y` or `n`")
    return answers[text.lower()]


def _choice(text: str, finding: Finding) -> str:
    states, typed = finding.states, " ".join(text.lower().split())
    if typed in states:
        return typed
    if re.fullmatch(r"[0-9]{1,3}", typed):
        if not 1 <= int(typed) <= len(states):
            raise ValueError(f"`{typed}` is not a number from 1 to {len(states)}")
        return states[int(typed) - 1]
    begun = [state for state in states if state.startswith(typed)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        listed = " or ".join(f"`{state}`" for state in begun)
        raise ValueError(f"`{shown(text)}` may mean {listed}; type more of it")
    looks = [state for state, look in finding.choices.items() if look.lower().startswith(typed)]
    if len(looks) == 1:
        return looks[0]
    near = nearest(typed, states) or f"type a number from 1 to {len(states)}"
    raise ValueError(f"`{shown(text)}` is none of the choices; {near}")


def _count(text: str) -> Quantity:
    if text.lower() in ("none", "no"):
        return quantity(0, "1")
    if not re.fullmatch(r"\+?[0-9]{1,9}", text):
        raise ValueError(f"`{shown(text)}` is not a count; type a whole number such as 3")
    return quantity(int(text), "1")


def _quantity(text: str, unit: Unit | None) -> Quantity:
    assert unit is not None
    example = f"type a number in {unit.symbol}" if unit.symbol != "1" else "type a number"
    match = _NUMBER.fullmatch(text.replace("−", "-"))
    if not match or re.match(r"[eE][-+]?[0-9]", match[2]):
        what = "is not a number that a meter can show"
        raise ValueError(f"`{shown(text)}` {what}; {example}, without an exponent")
    if _TWO_WAYS.fullmatch(match[1]):
        plain = match[1].replace(",", "")
        point = match[1].replace(",", ".")
        raise ValueError(f"`{match[1]}` can be read two ways; type `{plain}` or `{point}`")
    typed = _unit(match[2].strip(), unit)
    number = float(match[1].replace(",", "."))
    try:
        read = quantity(number, typed.symbol)
    except ValueError:
        message = f"`{shown(text)}` is not a number that a meter can show; {example}"
        raise ValueError(message) from None
    if read.dimension != unit.dimension:
        raise ValueError(f"`{shown(text)}` is {noun(read.dimension)}; {noun_in(unit)} is expected")
    return read


def _unit(symbol: str, usual: Unit) -> Unit:
    if not symbol:
        return usual
    if symbol in SPELLINGS:
        return SPELLINGS[symbol]
    # Short symbols are told apart by their case (mV and MV); long names are not.
    if len(symbol) > 3 and symbol.lower() in SPELLINGS:
        return SPELLINGS[symbol.lower()]
    raise ValueError(
        f"`{shown(symbol)}` is not a known unit of measure; {noun_in(usual)} is expected"
    )


def _believe(value: Quantity, text: str, finding: Finding) -> None:
    if finding.believable is None:
        return
    low, high = finding.believable
    if low.si <= value.si <= high.si:
        return
    guesses = _guesses(value, text, low.si, high.si)
    guess = f"; {' or '.join(guesses)}?" if guesses else "; look again at the meter"
    raise Unbelievable(f"`{value}` is beyond the believable {low} to {high}{guess}")


def _guesses(value: Quantity, text: str, low: float, high: float) -> list[str]:
    """Name the slips that would bring a value back into what can be believed."""
    guesses = []
    for symbol in _USUAL.get(value.unit.symbol, ()):
        other = quantity(value.value, symbol)
        if low <= other.si <= high:
            guesses.append(f"was it {other}")
    if value.unit.dimension == POINT or value.unit.symbol == "1":
        factors: tuple[int, ...] = (10,)
    else:
        factors = (10, 100, 1000)
    if "." not in text and "," not in text:
        for factor in factors:
            number = value.value / factor
            if value.unit.symbol != "1" and low <= value.unit.to_si(number) <= high:
                unit = value.unit.symbol
                guesses.append(f"was the decimal point lost, {plain_number(number)} {unit}")
                break
    return guesses


def with_error(value: Value, finding: str, unit_data: UnitData | None) -> Value:
    """Return a reading with what its meter may be out by, as the unit's data say."""
    if isinstance(value, str) or unit_data is None or finding not in unit_data.instrument_errors:
        return value
    fraction, fixed = unit_data.instrument_errors[finding]
    return replace(value, error=fraction * abs(value.value) * value.unit.factor + fixed.si)
