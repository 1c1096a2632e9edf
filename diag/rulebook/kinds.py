"""The kinds of finding: how each is written in a rule file, asked, and answered.

Whoever must know what a kind means asks this table; a new kind is a new row.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from string import ascii_lowercase
from typing import Any

from diag.model.amounts import NotAnAmount, amount, code, count, excerpt, noun_in
from diag.model.frozen import frozen
from diag.model.quantity import UNITS, Quantity, Unit, quantity
from diag.model.rulebook import Finding, Kind, Value
from diag.rulebook.yaml.scalars import nearest

States = dict[str, str]
"""State to what it looks like, in order; the first is as it should be."""
MOST_WORDS = 5
"""Choices up to which all their words are said again to whoever typed none of them."""


@frozen
class FindingKind:
    """What a rule file says of a kind, and how its answer is asked for and read."""

    keys: tuple[str, ...]
    """Keys of an entry that only some kinds have, this one among them."""
    needs: str
    """The one of them without which there is no such finding; empty for none."""
    states: Callable[[Mapping[str, Any]], States]
    """From an entry's values as read to its states; none for a number."""
    unit: Callable[[Mapping[str, Any]], Unit | None]
    """From an entry's values as read to the unit of its answers; None where it has states."""
    read: Callable[[str, Finding], Value]
    """From what was typed to the value; raises `ValueError` with one sentence."""
    hint: Callable[[Finding], str]
    """The answer that is expected, in a word, where the question does not show it."""
    is_number: bool = False
    is_coded: bool = False
    """Whether it is a code, or a count of one, which a unit's own list can turn into a state."""
    needs_unit_in_text: bool = False
    """Whether a number in running text is its answer only together with a unit."""
    is_listed: bool = False
    """Whether the states are put before the person by number or letter."""
    is_denied_by_no: bool = False
    """Whether to deny it is to answer with the first state, and to name it with the other."""


def _read_yes_or_no(text: str, _: Finding) -> str:
    answers = {"yes": "yes", "y": "yes", "no": "no", "n": "no"}
    if text.lower() not in answers:
        raise ValueError(f"`{excerpt(text)}` is neither yes nor no; type `y` or `n`")
    return answers[text.lower()]


def _read_choice(text: str, finding: Finding) -> str:
    states, typed = finding.states, " ".join(text.lower().split())
    if typed in states:
        return typed
    marked = marks(finding)
    if typed in marked:
        return marked[typed]
    if typed.isascii() and typed.isdigit() and len(typed) <= 3:
        raise ValueError(f"`{typed}` is none of the choices; type {_any_of(marked)}")
    begun = [state for state in states if state.startswith(typed)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        listed = " or ".join(f"`{state}`" for state in begun)
        raise ValueError(f"`{excerpt(text)}` may mean {listed}; type more of it")
    # Whole words alone: a `no` is not the beginning of `nobody knows`.
    begins = re.compile(rf"{re.escape(typed)}(?!\w)", re.IGNORECASE)
    looks = [state for state, look in finding.choices.items() if begins.match(look)]
    if len(looks) == 1:
        return looks[0]
    guess = nearest(typed, states)
    near = guess if guess.endswith("?") else f"type {_any_of(marked)}"
    raise ValueError(f"`{excerpt(text)}` is none of the choices; {near}")


def marks(finding: Finding) -> Mapping[str, str]:
    """Return mark to state, in the order in which the states of a choice are put before people.

    Numbers go in the order of the rule file, letters in that of the alphabet.
    """
    if finding.lettered:
        return dict(zip(ascii_lowercase, sorted(finding.choices), strict=False))
    return {str(number): state for number, state in enumerate(finding.choices, 1)}


def _any_of(marked: Mapping[str, str]) -> str:
    """Say what may be typed, in the order in which it is listed; a long list is not said again."""
    first, *_, last = marked
    kind = "number" if first.isdigit() else "letter"
    words = ", ".join(f"`{state}`" for state in marked.values())
    named = f": {words}" if len(marked) <= MOST_WORDS else ""
    return f"a {kind} from {first} to {last}, or its word{named}"


def _read_count(text: str, _: Finding) -> Quantity:
    if text.lower() in ("none", "no"):
        return quantity(0, "1")
    try:
        return quantity(count(text), "1")
    except NotAnAmount as error:
        raise ValueError(f"{error.message}; type a whole number such as 3") from None


def _read_code(text: str, _: Finding) -> str:
    try:
        return code(text)
    except NotAnAmount as error:
        raise ValueError(error.message) from None


def _read_quantity(text: str, finding: Finding) -> Quantity:
    unit = finding.unit
    assert unit is not None
    sign, _, digits = text.strip().partition(" ")
    try:
        return amount(f"-{digits.strip()}" if sign.lower() == "minus" else text, unit)
    except NotAnAmount as error:
        if error.why == "shape":
            example = f"type a number in {unit.symbol}" if unit.symbol != "1" else "type a number"
            what = "is not a number that a meter can show"
            exponent = text[:1].isdigit() and "e" in text.lower()
            plain = ", without an exponent" if exponent else ""
            message = f"`{excerpt(text)}` {what}; {example}{plain}"
            raise ValueError(message) from None
        if error.why == "unit":
            raise ValueError(f"{error.message}; {noun_in(unit)} is expected") from None
        raise


def _symbol(finding: Finding) -> str:
    return finding.unit.symbol if finding.unit and finding.unit.symbol != "1" else ""


def _none_or_blank(finding: Finding) -> str:
    span = finding.believable
    return "0 if none" if span is None or span[0].si <= 0 else ""


def _two_states(values: Mapping[str, Any]) -> States:
    sound = values.get("as it should be", "yes")
    return {sound: "", "no" if sound == "yes" else "yes": ""}


def _choices(values: Mapping[str, Any]) -> States:
    choices: States = values.get("choices", {})
    return choices


def _no_states(_: Mapping[str, Any]) -> States:
    return {}


def _no_unit(_: Mapping[str, Any]) -> None:
    return None


KINDS: Mapping[Kind, FindingKind] = {
    "quantity": FindingKind(
        keys=("unit", "believable"),
        needs="unit",
        states=_no_states,
        unit=lambda values: values.get("unit"),
        read=_read_quantity,
        hint=_symbol,
        is_number=True,
        needs_unit_in_text=True,
    ),
    "count": FindingKind(
        keys=("believable",),
        needs="",
        states=_no_states,
        unit=lambda _: UNITS["1"],
        read=_read_count,
        hint=_none_or_blank,
        is_number=True,
        is_coded=True,
    ),
    "code": FindingKind(
        keys=(),
        needs="",
        states=_no_states,
        unit=_no_unit,
        read=_read_code,
        hint=lambda _: "0 if none",
        is_coded=True,
    ),
    "choice": FindingKind(
        keys=("choices", "lettered", "shows anyway", "is"),
        needs="choices",
        states=_choices,
        unit=_no_unit,
        read=_read_choice,
        hint=lambda _: "",
        is_listed=True,
    ),
    "yes/no": FindingKind(
        keys=("as it should be", "shows anyway", "is"),
        needs="as it should be",
        states=_two_states,
        unit=_no_unit,
        read=_read_yes_or_no,
        hint=lambda _: "yes/no",
        is_denied_by_no=True,
    ),
}
