"""What people type, turned into a value of a finding, or one sentence that says why not."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from diag.model.amounts import CODE_ALONE, NotAnAmount, amount, excerpt
from diag.model.quantity import DIMENSIONLESS, POINT, Quantity, plain_number, quantity
from diag.model.rulebook import Finding, UnitData, Value
from diag.rulebook.kinds import KINDS

LONGEST = 200
_USUAL = {"V": ("mV",), "A": ("mA",), "C": ("F",), "F": ("C",), "ohm": ("mohm", "kohm")}
"""Units that a meter may have been switched to, unseen."""


class Unbelievable(ValueError):
    """An answer that is well formed but lies beyond what can be believed."""


def parse_answer(text: str, finding: Finding, codes: Collection[str] = ()) -> Value:
    """Turn what was typed into the value of a finding; `codes` are those of the unit's own list.

    Raises `ValueError` with one sentence, or its subclass `Unbelievable`.
    """
    if not text.strip():
        raise ValueError("the answer is empty; type one, or say that it is not known")
    if any(not char.isprintable() for char in text.strip()):
        raise ValueError(f"`{excerpt(text)}` holds a control character; type the answer again")
    text = text.strip()
    if len(text) > LONGEST:
        raise ValueError(
            f"`{excerpt(text)}` is too long; an answer has at most {LONGEST} characters"
        )
    value = KINDS[finding.kind].read(text, finding)
    if isinstance(value, Quantity):
        _believe(value, text, finding)
    elif finding.kind == "code" and value not in codes:
        _check_code(value, text, codes)
    return value


def _check_code(value: str, text: str, codes: Collection[str]) -> None:
    """Refuse what is neither in the unit's list nor looks like a code: words, and amounts."""
    if CODE_ALONE.fullmatch(value) and not _measures(text):
        return
    letters = ", ".join(f"`{one}`" for one in codes if one.isalpha())
    own = f" (the unit's list also has {letters})" if letters else ""
    raise ValueError(
        f"`{excerpt(text)}` is no code, which holds a number{own}; type it as shown, such as 3-2 "
        "or E10, or 0 if none"
    )


def _measures(text: str) -> bool:
    """Return whether a text is an amount with a unit: `12.6V` or `9 V`, though not `5A`."""
    try:
        return amount(text).dimension != DIMENSIONLESS and not text.isalnum()
    except NotAnAmount:
        return False


def _believe(value: Quantity, text: str, finding: Finding) -> None:
    if finding.believable is None or value.over_range:
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
    if isinstance(value, str) or value.over_range or unit_data is None:
        return value
    if finding not in unit_data.instrument_errors:
        return value
    fraction, fixed = unit_data.instrument_errors[finding]
    return replace(value, error=fraction * abs(value.value) * value.unit.factor + fixed.si)
