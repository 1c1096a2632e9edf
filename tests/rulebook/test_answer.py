"""What may be typed as an answer, and the one sentence for what may not."""

from __future__ import annotations

from dataclasses import replace

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.model.quantity import SPELLINGS, UNITS, quantity
from diag.model.rulebook import Finding
from diag.rulebook import Unbelievable, parse_answer
from diag.rulebook.kinds import marks

VOLTS = Finding("v", "?", "quantity", "", unit=UNITS["V"],
                believable=(quantity(0, "V"), quantity(20, "V")))  # fmt: skip
AMPS = Finding("a", "?", "quantity", "", unit=UNITS["A"])
AIR = Finding("t", "?", "quantity", "", unit=UNITS["C"],
              believable=(quantity(-40, "C"), quantity(60, "C")))  # fmt: skip
BEAM = Finding("b", "?", "choice", "", choices={
    "bright": "it dazzles", "dim": "it glows red", "dark": "nothing, or a mere glimmer",
})  # fmt: skip
WET = Finding("w", "?", "yes/no", "", choices={"no": "", "yes": ""})
BLINKS = Finding("n", "?", "count", "", unit=UNITS["1"],
                 believable=(quantity(0, "1"), quantity(20, "1")))  # fmt: skip
FLASHES = Finding("c", "?", "code", "")


@pytest.mark.parametrize(
    ("text", "finding", "value"),
    [
        ("12.4", VOLTS, quantity(12.4, "V")),
        ("12,4 V", VOLTS, quantity(12.4, "V")),
        (" 12400mV ", VOLTS, quantity(12400, "mV")),
        ("12.4 Volts", VOLTS, quantity(12.4, "V")),
        ("−5", AIR, quantity(-5, "C")),
        ("41 °F", AIR, quantity(41, "F")),
        ("3", BLINKS, quantity(3, "1")),
        ("None", BLINKS, quantity(0, "1")),
        ("Y", WET, "yes"),
        ("no", WET, "no"),
        ("dim", BEAM, "dim"),
        ("b", BEAM, "bright"),
        ("3", BEAM, "dark"),
        ("Nothing", BEAM, "dark"),
        ("it glows red", BEAM, "dim"),
    ],
)
def test_accepted(text, finding, value):
    """An answer may leave its unit out, use another, be a prefix or a number of the list, or
    begin with the words beside a choice."""
    assert parse_answer(text, finding) == value


@pytest.mark.parametrize(
    ("text", "finding", "said"),
    [
        ("", VOLTS, "the answer is empty; type one, or say that it is not known"),
        ("NaN", VOLTS, "`NaN` is not a number that a meter can show; type a number in V"),
        ("inf", VOLTS, "`inf` is not a number that a meter can show; type a number in V"),
        ("1e999", VOLTS, "`1e999` is not a number that a meter can show; type a number in V, "
         "without an exponent"),
        ("9" * 10_000, VOLTS, f"`{'9' * 39}…` is too long; an answer has at most 200 characters"),
        ("\x1b[31m5", VOLTS, "`?[31m5` holds a control character; type the answer again"),
        ("[bold]5[/]", VOLTS, "`[bold]5[/]` is not a number that a meter can show; type a number "
         "in V"),
        ("12 A", VOLTS, "`12 A` is a current; a voltage in V is expected"),
        ("12 elephants", VOLTS, "`elephants` is not a known unit of measure; a voltage in V is "
         "expected"),
        ("1,000", AMPS, "`1,000` could be 1 or 1000; write one of them"),
        ("2.5", BLINKS, "`2.5` is not a count; type a whole number such as 3"),
        ("-1", BLINKS, "`-1` is not a count; type a whole number such as 3"),
        ("maybe", WET, "`maybe` is neither yes nor no; type `y` or `n`"),
        ("d", BEAM, "`d` may mean `dim` or `dark`; type more of it"),
        ("it", BEAM, "`it` is none of the choices; type a number from 1 to 3, or its word: "
         "`bright`, `dim`, `dark`"),
        ("0", BEAM, "`0` is none of the choices; type a number from 1 to 3, or its word: "
         "`bright`, `dim`, `dark`"),
        ("4", BEAM, "`4` is none of the choices; type a number from 1 to 3, or its word: "
         "`bright`, `dim`, `dark`"),
        ("brigth", BEAM, "`brigth` is none of the choices; did you mean `bright`?"),
    ],
)  # fmt: skip
def test_refused(text, finding, said):
    """What is no answer gets one sentence that shows at most forty characters of it."""
    with pytest.raises(ValueError, match=r".") as found:
        parse_answer(text, finding)
    assert str(found.value) == said


@pytest.mark.parametrize(
    ("text", "finding", "said"),
    [
        ("124", VOLTS, "`124 V` is beyond the believable 0 V to 20 V; was it 124 mV or was the "
         "decimal point lost, 12.4 V?"),
        ("12400", VOLTS, "`12400 V` is beyond the believable 0 V to 20 V; was it 12400 mV or was "
         "the decimal point lost, 12.4 V?"),
        ("68.0", AIR, "`68 C` is beyond the believable -40 C to 60 C; was it 68 F?"),
        ("-3.5", VOLTS, "`-3.5 V` is beyond the believable 0 V to 20 V; look again at the meter"),
        ("21", BLINKS, "`21` is beyond the believable 0 to 20; look again at the meter"),
    ],
)  # fmt: skip
def test_unbelievable(text, finding, said):
    """A value beyond belief is refused with a guess at the slip."""
    with pytest.raises(Unbelievable) as found:
        parse_answer(text, finding)
    assert str(found.value) == said


@pytest.mark.parametrize(
    ("typed", "value"),
    [("3", "3"), ("3-2", "3-2"), ("3 - 2", "3-2"), ("e10", "E10"), ("err 12", "ERR 12"),
     ("5a", "5A"), ("2 long 3 short", "2 LONG 3 SHORT"), ("2 long, 3 short", "2 LONG, 3 SHORT"),
     ("none", "0"), ("fan", "FAN"), ("lo ba", "LO BA")],
)  # fmt: skip
def test_a_code_holds_a_digit_or_stands_in_the_units_list(typed: str, value: str) -> None:
    """Panels show numbers, letters with numbers, and a few words of their own (common practice)."""
    assert value == parse_answer(typed, FLASHES, ("FAN", "LO BA"))


@pytest.mark.parametrize(
    "typed", ["lit", "fan", "it flashes 3 times", "12.6 V", "12.6V", "9 volts"]
)
def test_words_and_amounts_are_no_codes(typed: str) -> None:
    """One sentence says what a code looks like, and which words the unit's own list has."""
    with pytest.raises(ValueError, match="is no code") as found:
        parse_answer(typed, FLASHES, ("LOW", "3"))
    assert (
        f"`{typed}` is no code, which holds a number (the unit's list also has `LOW`); type it as "
        "shown, such as 3-2 or E10, or 0 if none"
    ) == str(found.value)


@given(st.text(max_size=300), st.sampled_from([VOLTS, AIR, BEAM, WET, BLINKS, FLASHES]))
def test_any_text_is_an_answer_or_one_sentence(text, finding):
    """No text whatever gets past with anything but a value, or one short printable line."""
    try:
        parse_answer(text, finding)
    except ValueError as error:
        assert str(error).isprintable()  # noqa: PT017
        assert len(str(error)) < 250  # noqa: PT017


PINT = {
    "1": "dimensionless", "%": "percent", "C": "degC", "F": "degF", "K": "kelvin",
    "in": "inch", "mm2": "mm**2", "m3": "m**3", "d": "day", "rpm": "1/minute", "l/h": "l/hour",
    "ml/h": "ml/hour", "ml/min": "ml/minute", "m3/h": "m**3/hour", "h": "hour",
    "mohm": "milliohm", "kohm": "kiloohm", "Mohm": "megaohm",
    "mg/m3": "mg/m**3", "kg/m3": "kg/m**3", "km/h": "km/hour",
    "Ah": "A*hour", "mAh": "mA*hour", "Wh": "W*hour", "kWh": "kW*hour",
}  # fmt: skip
ASK = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize("symbol", sorted(UNITS.keys() - {"AWG"}))
def test_conversions_agree_with_pint(symbol):
    """Every unit converts to SI as `pint` converts it; a gauge is no multiple of anything."""
    theirs = ASK.Quantity(12.5, PINT.get(symbol, symbol)).to_base_units()
    si = ASK.Quantity(12.5, PINT.get(symbol, symbol)).to_base_units().magnitude
    if theirs.units == ASK.Unit("gram"):
        si /= 1000
    assert SPELLINGS[symbol].to_si(12.5) == pytest.approx(si, rel=1e-12)


def test_a_lettered_choice_is_answered_by_letter_or_word_and_never_by_number() -> None:
    """Letters stand for states in alphabetical order; a number may be a code, and is refused."""
    finding = replace(BEAM, lettered=True)
    assert [("a", "bright"), ("b", "dark"), ("c", "dim")] == list(marks(finding).items())
    for letter, state in marks(finding).items():
        assert state == parse_answer(letter, finding) == parse_answer(state, finding)
    with pytest.raises(ValueError, match="`2` is none of the choices; type a letter from a to c"):
        parse_answer("2", finding)
