"""Typed numbers: one text, one value, wherever it is typed."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.bench.amounts import read_amount
from diag.model.amounts import NotAnAmount, amount, count, meter_error, unit_spelt
from diag.model.expression import Compare, Literal
from diag.model.problem import ProblemsFound
from diag.model.quantity import SPELLINGS, UNITS, Quantity, quantity
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook, load_unit_file, parse_answer, read_readings
from diag.rulebook.language import clauses, grammar

ASK = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
SCALES = """\
source: invented
likelihood: {words: {probable: 0.85}}
share: {words: {rare: 0.01}}
anyway: {words: {seldom: 0.02}}
reliability: {words: {seen: 0.9}}
access: {words: {owner: 0}}
"""
ASKED = {"volts": "V", "amps": "A", "ohms": "ohm", "warmth": "C", "area": "mm2"}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    """Load a rulebook with a finding and a unit datum for each dimension."""
    folder = tmp_path_factory.mktemp("amounts")
    lines = ["source: invented", "findings:"]
    for name, unit in ASKED.items():
        span = f"-99999 {unit} to 99999999 {unit}"
        lines.append(f"  {name}: {{ask: How?, kind: quantity, unit: {unit}, believable: {span}}}")
    lines.append("unit data:")
    lines += [f"  rated {name}: {{ask: How?, unit: {unit}}}" for name, unit in ASKED.items()]
    (folder / "scales.yaml").write_text(SCALES, encoding="utf-8")
    (folder / "all.yaml").write_text("\n".join(lines), encoding="utf-8")
    return load_rulebook([folder], {})


def by_answer(text: str, name: str, book: Rulebook, _: Path) -> float:
    value = parse_answer(text, book.findings[name])
    assert isinstance(value, Quantity)
    return value.si


def by_readings(text: str, name: str, book: Rulebook, _: Path) -> float:
    value = read_readings(f"{name}: '{text}'", "readings", book)[name]
    assert isinstance(value, Quantity)
    return value.si


def by_unit_file(text: str, name: str, book: Rulebook, folder: Path) -> float:
    file = folder / "unit.yaml"
    data = f"unit: X\ntitle: x\nsource: invented\ndata: {{rated {name}: '{text}'}}\n"
    file.write_text(data, encoding="utf-8")
    return load_unit_file(file, book).data[f"rated {name}"].si


def by_option(text: str, name: str, _: Rulebook, __: Path) -> float:
    return UNITS[ASKED[name]].to_si(read_amount(name, text, ASKED[name]))


def by_condition(text: str, name: str, _: Rulebook, __: Path) -> float:
    node = clauses.condition(f"{name} < {text}").condition
    assert isinstance(node, Compare)
    assert isinstance(node.right, Literal)
    return node.right.quantity.si


def by_sum(text: str, _: str, __: Rulebook, ___: Path) -> float:
    node = grammar.parse(text)
    assert isinstance(node, Literal)
    return node.quantity.si


PLACES = {
    "session answer": by_answer,
    "readings file": by_readings,
    "unit file": by_unit_file,
    "bench option": by_option,
    "condition": by_condition,
    "sum": by_sum,
}
SAME = {
    ("volts", "12,4 V"): 12.4,
    ("volts", "12.4Volts"): 12.4,
    ("volts", "12 VOLTS"): 12.0,
    ("volts", "12400 mV"): 12.4,
    ("amps", "7.9 Amp"): 7.9,
    ("amps", "7.9 amps"): 7.9,
    ("amps", "500 ma"): 0.5,
    ("amps", "30 µA"): 30e-6,
    ("ohms", "0.6 Ohm"): 0.6,
    ("ohms", "1 Mohm"): 1e6,
    ("ohms", "1.2 MΩ"): 1.2e6,
    ("ohms", "1M ohm"): 1e6,
    ("ohms", "1 mohm"): 1e-3,
    ("ohms", "5 mΩ"): 5e-3,
    ("ohms", "4.7 kOhm"): 4700.0,
    ("warmth", "40 degF"): 277.5944444,
    ("warmth", "-5 C"): 268.15,
    ("warmth", "-5 °C"): 268.15,
    ("area", "2,5 mm2"): 2.5e-6,
    # ASTM B258: 0.127 mm times 92^((36 - 12)/39) is 2.053 mm, of 3.31 mm2.
    ("area", "12 AWG"): 3.3088e-6,
}
Place = Callable[[str, str, Rulebook, Path], float]


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize(("asked", "si"), SAME.items(), ids=[text for _, text in SAME])
def test_one_text_is_one_value_in_every_place(
    place: Place, asked: tuple[str, str], si: float, book: Rulebook, tmp_path: Path
) -> None:
    """A prompt, an option, a rule, a unit and a file of readings read the same number."""
    name, text = asked
    assert si == pytest.approx(place(text, name, book, tmp_path), rel=1e-5)


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("12,400 V", "`12,400` could be 12.4 or 12400"),
        ("00000199 V", "`00000199 V` is not a number that a meter can show"),
        ("1234567890123 V", "`1234567890123 V` is not a number that a meter can show"),
        ("12 MV", "MV"),
    ],
)
def test_what_is_refused_is_refused_in_every_place(
    place: Place, text: str, said: str, book: Rulebook, tmp_path: Path
) -> None:
    """Two readings, idle zeros, endless digits and a mega that nobody means pass nowhere."""
    with pytest.raises((ProblemsFound, ValueError), match=r".") as found:
        place(text, "volts", book, tmp_path)
    assert said in str(found.value)


SPELT = sorted(SPELLINGS.keys() - {"1", "AWG", "awg"})
BASES = {"V": "volt", "A": "ampere", "W": "watt", "ohm": "ohm"}
PREFIXES = {"": 1.0, "m": 1e-3, "k": 1e3, "M": 1e6, "u": 1e-6}


@given(
    st.sampled_from(sorted(BASES)),
    st.sampled_from(sorted(PREFIXES)),
    st.integers(-99999, 99999).map(lambda n: n / 100),
)
def test_prefixes_are_as_pint_reads_them(base: str, prefix: str, number: float) -> None:
    """A prefix means what `pint` says, or the unit is not known: never another power of ten."""
    text = f"{number} {prefix}{base}"
    try:
        read = amount(text)
    except NotAnAmount as error:
        assert error.why == "unit"  # noqa: PT017
        return
    theirs = ASK.Quantity(number, f"{prefix}{base}").to_base_units().magnitude
    if "W" in base or base in ("V", "ohm"):
        theirs = ASK.Quantity(number, f"{prefix}{base}").to(BASES[base]).magnitude
    assert theirs == pytest.approx(read.si, rel=1e-12, abs=1e-15)


@given(
    st.sampled_from(SPELT),
    st.integers(-999999, 999999).map(lambda n: n / 1000),
    st.sampled_from(["", " ", "  "]),
    st.sampled_from([".", ","]),
)
def test_amounts_round_trip(name: str, number: float, gap: str, point: str) -> None:
    """What is written with any spelling of a unit is read back, unless it can be read two ways."""
    whole, _, part = f"{number:.3f}".partition(".")
    part = part.rstrip("0")
    text = f"{whole}{point}{part}{gap}{name}" if part else f"{whole}{gap}{name}"
    if point == "," and len(part) == 3 and whole.lstrip("-") != "0":
        if len(whole.lstrip("-")) <= 3:
            with pytest.raises(NotAnAmount, match="could be"):
                amount(text)
        return
    assert quantity(float(f"{number:.3f}"), name) == amount(text)


@given(st.sampled_from(sorted(SPELLINGS)), st.data())
def test_case_decides_only_for_milli_and_mega(name: str, data: st.DataObject) -> None:
    """However its letters are written, a unit is itself; but of `m` and `M` each keeps its own."""
    mixed = "".join(data.draw(st.sampled_from((c.lower(), c.upper()))) for c in name)
    found = unit_spelt(mixed)
    if name[0] in "mM" and mixed[0] != name[0]:
        unit = SPELLINGS[name]
        swapped = found is not None and found.dimension == unit.dimension
        assert found is None or found == unit or swapped
    elif "ß" not in mixed:
        assert SPELLINGS[name] == found


def test_no_two_units_share_a_spelling() -> None:
    """Every spelling that may be typed belongs to the unit that lists it."""
    for name, unit in SPELLINGS.items():
        assert unit == unit_spelt(name)


@pytest.mark.parametrize("gauge", [-3, 0, 12, 36, 40])
def test_gauges_agree_with_their_table(gauge: int) -> None:
    """Diameters in mm are those of ASTM B258's table (from memory): 4/0, 1/0, 12, 36 and 40."""
    mm = {-3: 11.684, 0: 8.2515, 12: 2.0525, 36: 0.127, 40: 0.0799}[gauge]
    spelt = f"{1 - gauge}/0 AWG" if gauge < 1 else f"{gauge} AWG"
    area = amount(spelt).si
    assert mm == pytest.approx(math.sqrt(area * 4 / math.pi) * 1e3, rel=2e-3)
    assert gauge == pytest.approx(UNITS["AWG"].from_si(area))


@pytest.mark.parametrize(
    "text", ["²", "5²", "٣", "1_0", "12.", "1e5", "", ".", "-", "1.2.3", "5 5"]
)
def test_what_is_no_number(text: str) -> None:
    """What only looks like a number is refused in one printable sentence."""
    with pytest.raises(NotAnAmount) as found:
        amount(text, UNITS["V"])
    assert str(found.value).isprintable()


@given(st.text(max_size=80))
def test_any_text_is_an_amount_or_one_sentence(text: str) -> None:
    """No text does anything but give a quantity or a short printable sentence."""
    for read in (amount, count, meter_error):
        try:
            read(text)  # type: ignore[operator]
        except NotAnAmount as error:
            assert str(error).isprintable()  # noqa: PT017
            assert len(str(error)) < 200  # noqa: PT017


LONG = ["1" * 100_000, " " * 100_000, "1," * 50_000, "-" * 100_000, "o" * 100_000]
LONG += ["1 " * 50_000, "1" + " " * 100_000 + "V", "1 % +" * 20_000, "a" * 100_000]


@pytest.mark.parametrize("text", LONG, ids=lambda text: text[:4])
def test_long_texts_are_refused_at_once(text: str) -> None:
    """A hundred thousand characters take no longer than to look at each of them once."""
    begun = time.process_time()
    for read in (amount, count, meter_error, grammar.condition):
        with pytest.raises(ValueError, match=r"."):
            read(text)  # type: ignore[operator]
    for inner in (f"a <{text}", f"a is{text}b <", f"a {text} b"):
        with suppress(grammar.Mistake):
            grammar.condition(inner)
    assert time.process_time() - begun < 2


@given(
    st.sampled_from(sorted(SPELLINGS)),
    st.from_regex(r"-?(0|[1-9][0-9]{0,11})(\.[0-9]{1,12})?", fullmatch=True),
    st.sampled_from(["1", "V", "ohm", "K", "C", "AWG"]),
)
def test_one_blank_or_two_is_the_same_amount(spelling: str, digits: str, usual: str) -> None:
    """What is read at a glance means what it means with a blank more, which is read with care."""
    said = []
    for text in (f"{digits} {spelling}", f"{digits}  {spelling}"):
        try:
            read = amount(text, UNITS[usual])
            said.append((read.si, read.unit.symbol))
        except NotAnAmount as error:
            said.append((error.why, usual))
    assert said[0] == said[1]
