"""What a report says of the supply wiring: no more than was read, and what it takes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.bench.supply.needs import least_area_mm2
from diag.jobs.history.limits import ReadingLimit
from diag.jobs.history.told import SessionHistory, Taken
from diag.jobs.report.building import report_of
from diag.jobs.report.material import JobMaterial
from diag.jobs.report.supply.facts import supply_facts
from diag.model.quantity import quantity
from diag.model.rulebook import Value
from diag.reason.chain.engine import Chain
from diag.rulebook import parse_answer
from diag.session.compiled_rulebook import CompiledRulebook
from tests.dangers import shipped
from tests.jobs.shipped_jobs import material
from tests.jobs.test_report import said, sections

UNITS = ("small 12 V", "small 24 V")
NEEDS = "What the supply wiring needs"
Readings = Mapping[str, str]
THIN = {
    "volts at rest": "12.7 V",
    "volts at the terminals while igniting": "12.2 V",
    "volts at the heater while igniting": "10.2 V",
    "amps while igniting": "8.6 A",
    "cable run": "9 m",
    "cable area": "1.5 mm2",
}
RUSTY = {
    **THIN,
    "cable run": "3 m",
    "cable area": "4 mm2",
    "drop along the positive cable": "0.2 V",
    "drop along the negative cable": "1.8 V",
}
DOUBTED = {**{name: text for name, text in THIN.items() if "cable" not in name},
           "volts at the heater while igniting": "12.1 V"}  # fmt: skip
GOOD = {**THIN, "volts at the heater while igniting": "11.9 V", "cable run": "3 m",
        "cable area": "4 mm2", "fuse rating": "15 A", "battery kind": "lead-acid"}  # fmt: skip


def _taken(finding: str, text: str, stage: int) -> Taken:
    value: Value = parse_answer(text, shipped.book().findings[finding])
    return Taken(finding, value, "measured", "2026-11-03T10:00:00+00:00", "", stage, ReadingLimit())


def job(*stages: Readings, unit: str = "small 12 V", kind: str = "checked over") -> JobMaterial:
    """Return a job with these readings alone: as found, and after each repair of its session."""
    made = material(kind)
    (session,) = made.sessions
    readings = tuple(
        _taken(name, text, stage) for stage, one in enumerate(stages) for name, text in one.items()
    )
    changed = replace(
        session, unit=shipped.book().units[unit], readings=readings, pictures=(), passed={}
    )
    return replace(made, history=replace(made.history, sessions=(changed,)))


def owner(made: JobMaterial) -> str:
    """Return what the owner reads of the supply."""
    section = sections(report_of(made, "owner"), "For the owner")[NEEDS]
    part = replace(report_of(made, "owner").parts[0], sections=(section,))
    return said(replace(report_of(made, "owner"), parts=(part,)))


def test_a_thin_cable_is_told_from_its_joints_and_the_next_size_is_named() -> None:
    """By IEC 60228:2004 Table 3, 18 m of 1.5 mm2 (13.3 ohm/km) lose 2.06 V of 2.00 V at 8.6 A.

    At 9.5 A 18 m of 6 mm2 (3.30 ohm/km) lose 0.56 V, of 10 mm2 (1.91) 0.33 V; 0.54 V may be lost.
    """
    told = owner(job(THIN))
    for words in (
        "2.00 V at 8.6 A, 233 mohm",
        "The wiring loses more than the 0.72 V that it may.",
        "The cable itself is to blame: the copper of 18 m of 1.5 mm2 (there and back, as measured) "
        "takes up to 2.06 V by itself at 8.6 A (239 mohm).",
        "Cable: copper of 10 mm2 or more for 9 m one way (18 m there and back) at 9.5 A",
        "Its copper then loses up to 0.33 V, and may lose 0.54 V.",
        "The one that is there has 1.5 mm2 as measured: TOO THIN.",
    ):
        assert words in told
    assert "A joint is to blame" not in told


def test_a_bad_earth_is_told_from_its_cable_and_by_its_side() -> None:
    """6 m of 4 mm2 (4.95 ohm/km) lose 0.26 V of 2.00 V at 8.6 A: 1.74 V, 203 mohm, elsewhere."""
    told = owner(job(RUSTY))
    assert "A joint is to blame, and not the cable" in told
    assert "takes up to 0.26 V by itself at 8.6 A (30 mohm)" in told
    assert "The other 1.74 V (203 mohm) are lost in clamps, crimps, fuse holder or earth." in told
    assert "The negative cable by itself loses more than the 0.36 V that one may" in told
    assert "The one that is there has 4 mm2 as measured: thick enough." in told


def test_a_good_supply_is_told_with_what_battery_and_fuse_have_to_be() -> None:
    """9.5 A through 35 mohm of wiring and 58 mohm of battery above 11 V ask for 11.9 V at rest.

    With all that both may lose (0.72 V, and 60 mohm at 9.5 A 0.57 V) 12.29 V, so 12.3 V.
    """
    wanted = (
        "The wiring loses no more than the 0.72 V that it may.",
        "Fuse: 11.4 A or more, so that it carries a start. With the 4 mm2 that is there no more "
        "than 32 A (8 A for each mm2).",
        "The one that is fitted, 15 A, fits.",
        "Battery: 12.3 V or more at rest, and no more than 60 mohm of resistance inside.",
        "With what was read, 58 mohm inside and 35 mohm in the wiring, it needs 11.9 V at rest. It "
        "read 12.70 V: enough.",
        "A lead-acid battery that reads so is",
        "To check it again: 11 V or more (usual for its kind) at the heater's supply connector",
        "no more than 0.72 V below what the battery's terminals read in the same start",
    )
    told = owner(job(GOOD))
    assert [] == [words for words in wanted if words not in told]
    assert not re.search("Not measured|to blame", told)


def test_how_to_measure_again_is_told_in_the_words_of_the_rules() -> None:
    """Where the probes go and when to read stands in the rules, and is told as it stands there."""
    measure = shipped.book().findings["volts at the heater while igniting"].measure
    assert measure is not None
    for words in (measure.where, measure.when):
        assert " ".join(words.split()) in owner(job(GOOD))


def test_on_24_volts_the_limits_are_twice_as_wide() -> None:
    """22 V at the connector, 1.44 V in the wiring, 120 mohm inside; 4.8 A ask for 5.76 A."""
    told = owner(job({}, unit="small 24 V"))
    for words in ("22 V or more", "1.44 V", "120 mohm", "Fuse: 5.76 A or more"):
        assert words in told


def test_what_is_of_its_class_is_marked_and_what_is_its_own_is_not() -> None:
    """Ignition current and cut-off are of the class until the unit's file has them."""
    by_class = job(GOOD)
    assert (
        "Usual for heaters of its kind, and not known of this one: ignition current 9.5 A and "
        "low-voltage cut-off 10.5 V."
    ) in owner(by_class)
    (session,) = by_class.sessions
    own = replace(session.unit, assumed=frozenset())
    history = replace(by_class.history, sessions=(replace(session, unit=own),))
    told = owner(replace(by_class, history=history))
    assert "of its kind" not in told
    assert "9.5 A by the heater's data" in told


def test_the_cable_of_a_class_is_no_cable_that_lies_anywhere() -> None:
    """Nothing is told of a cable that nobody measured, but how long each size may be.

    0.54 V / (9.5 A x 2 x 7.98 ohm/km) are 3.56 m of 2.5 mm2 (IEC 60228:2004 Table 3).
    """
    told = owner(job({}))
    assert "how thick it must be depends on its length, which is not known" in told
    assert "Longest at 9.5 A (usual for its kind), one way:" in told
    assert "3.5 m of 2.5 mm2, 5.7 m of 4 mm2, 8.6 m of 6 mm2" in told
    assert "there is has" not in told
    assert "3 m one way" not in told


def test_what_the_units_own_file_says_of_the_cable_is_taken_from_it() -> None:
    """LIB-03's file has 4.5 m of 6 mm2: 9 m of 3.30 ohm/km lose 0.28 V at 9.4 A."""
    told = owner(material("finished"))
    assert "the copper of 9 m of 6 mm2 (there and back, by the heater's data)" in told.lower()
    assert "takes up to 0.28 V by itself at 9.4 A (30 mohm)" in told
    assert "copper of 4 mm2 or more for 4.5 m one way (9 m there and back)" in told
    assert "has 6 mm2 by the heater's data: thick enough" in told


def test_less_than_the_copper_loses_puts_the_cable_in_doubt() -> None:
    """9 m of 6 mm2 have 26 mohm at least (1/58 ohm mm2/m, IEC 60028): 0.22 V at 8.6 A, not 0.1."""
    told = owner(job(DOUBTED, unit="LIB-03"))
    assert "Less was lost than that: the cable is shorter or thicker" in told
    assert "but what was lost does not fit that" in told
    assert "TOO THIN" not in told


@pytest.mark.parametrize(
    ("left_out", "wanted"),
    [
        (("volts at the heater while igniting",), "volts at the heater while igniting"),
        (("volts at the terminals while igniting",), "volts at the terminals while igniting"),
        (("cable run",), "cable run"),
        (("cable area",), "cable area"),
        (("fuse rating",), "fuse rating"),
        (("amps while igniting",), "amps while igniting"),
    ],
)
def test_what_was_not_read_is_named_with_the_question_that_would_tell_it(
    left_out: tuple[str, ...], wanted: str
) -> None:
    """One reading left out, and the report asks for that one in the words of the rules."""
    read = {name: text for name, text in GOOD.items() if name not in left_out}
    told = owner(job(read))
    asks = " ".join(shipped.book().findings[wanted].ask.split())
    assert "Not measured, and what would tell it:" in told
    assert asks in told
    assert asks not in owner(job(GOOD))


def test_of_a_supply_that_nobody_read_no_loss_is_told() -> None:
    """No volts lost, no battery, no blame: what was not measured is said, and what would tell."""
    told = owner(job({}))
    assert "What the supply loses during a start was not measured in this job." in told
    for words in ("to blame", "loses more", "With what was read", "that is there", "it read"):
        assert words not in told
    check = shipped.book().checks["drop along the cables"].do
    assert " ".join(check.split()) in told


@pytest.mark.parametrize(
    ("rating", "said_of_it"),
    [("15 A", "fits."), ("10 A", "is too small for a start."), ("40 A", "is TOO LARGE for 4 mm2.")],
)
def test_a_fuse_is_held_against_heater_and_cable(rating: str, said_of_it: str) -> None:
    """9.5 A ask for 11.4 A, and 4 mm2 carry 32 A, by the limits of the rules."""
    told = owner(job({**GOOD, "fuse rating": rating}))
    assert f"The one that is fitted, {rating}, {said_of_it}" in told


@pytest.mark.parametrize(
    ("kind", "unit", "words"),
    [
        ("lead-acid", {}, "A lead-acid battery that reads so is"),
        ("lead-acid", {"amps while igniting": "30 A"}, "No lead-acid battery reads so much"),
        ("lithium", {}, "The volts at rest of a lithium battery tell little"),
    ],
)
def test_how_full_a_battery_is_hangs_on_its_kind(kind: str, unit: Readings, words: str) -> None:
    """30 A ask for 1.8 V inside and 0.72 V of wiring above 11 V: 13.5 V, above a rested battery."""
    told = owner(job({**GOOD, "battery kind": kind, **unit}))
    assert words in told
    assert "How full that is depends on its kind." not in told


def test_a_fuse_that_was_changed_since_is_no_longer_told_by_its_rating() -> None:
    """After 40 A was read, somebody compared the fuse that is in now, and it fits."""
    told = owner(job({**GOOD, "fuse rating": "40 A", "fuse against the cable": "fits"}))
    assert "TOO LARGE" not in told
    assert "is no larger than what the cable can carry, as somebody compared them" in told


def test_volts_that_cannot_be_of_one_start_are_not_summed() -> None:
    """12.5 V at the heater with 12.2 V at the battery: no loss, and the reading is put in doubt."""
    told = owner(job({**GOOD, "volts at the heater while igniting": "12.5 V"}))
    assert "The volts seem to rise along" in told
    assert "in the wiring, it needs" not in told


def test_the_supply_is_told_with_caution_and_leaves_its_work_to_those_licensed() -> None:
    """Local rules first, a licensed person, and the short circuit that burns, in every case."""
    for made in (job(GOOD), job(THIN), job({}), material("finished"), material("open")):
        told = owner(made)
        assert "licensed for it where local rules say so" in told
        assert "never fit a fuse larger than the cable can carry" in told


def _judged(unit: str, readings: Readings) -> dict[str, str]:
    """Return what a session concludes: sign to state."""
    book = shipped.book()
    chain = Chain(CompiledRulebook.of(book, book.units[unit]).network, book.units[unit])
    chain.tell_all(
        {name: parse_answer(text, book.findings[name]) for name, text in readings.items()}
    )
    return {fact.name: fact.state for fact in chain.facts}


@settings(max_examples=40)
@given(
    st.integers(2, 80).map(lambda tenths: tenths / 10),
    st.sampled_from(["small 12 V", "small 24 V"]),
)
def test_report_and_session_have_one_verdict_on_a_cable(length_m: float, unit: str) -> None:
    """The area that the report asks for fits by the rules, and the next thinner one does not."""
    facts = supply_facts(_session(unit, f"{length_m} m"), shipped.book())
    assert facts is not None
    assert facts.ignition is not None
    area = least_area_mm2(length_m, facts.ignition.value, facts.limits)
    sizes = [0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0]
    assert area in sizes
    run = {"cable run": f"{length_m} m"}
    assert "fits" == _judged(unit, {**run, "cable area": f"{area} mm2"})["cable size"]
    fused = max(1.0, 1.2 * facts.ignition.value / 8)
    thinner = [one for one in sizes if fused <= one < area]
    for one in thinner:
        judged = _judged(unit, {**run, "cable area": f"{one} mm2"})
        assert judged.get("cable size") != "fits"


def _session(unit: str, length: str) -> SessionHistory:
    return job({"cable run": length}, unit=unit).sessions[0]


@settings(max_examples=40)
@given(st.integers(1050, 1240).map(lambda cents: cents / 100))
def test_report_and_session_have_one_verdict_on_what_the_wiring_loses(heater_v: float) -> None:
    """`drop in the supply wiring` is large by the rules just where the report says `more than`."""
    read = {**GOOD, "volts at the terminals while igniting": "12.4 V",
            "volts at the heater while igniting": f"{heater_v} V"}  # fmt: skip
    state = _judged("small 12 V", read)["drop in the supply wiring"]
    more = "The wiring loses more than" in owner(job(read))
    assert ("large" if more else "small") == state


def _between(name: str, share: float) -> str:
    """Return a reading at a share of what is believable for it."""
    finding = shipped.book().findings[name]
    assert finding.believable is not None
    low, high = finding.believable
    return f"{low.value + share * (high.value - low.value):.3g} {low.unit.symbol}"


@settings(max_examples=60)
@given(
    st.dictionaries(
        st.sampled_from(sorted({*RUSTY, *GOOD} - {"battery kind"})),
        st.integers(0, 1000).map(lambda part: part / 1000),
    )
)
def test_no_reading_is_told_that_was_not_taken(read: dict[str, float]) -> None:
    """Whatever was read, also what cannot be, there is a text, and no loss without its readings."""
    told = owner(job({name: _between(name, share) for name, share in read.items()}))
    ends = {"volts at the terminals while igniting", "volts at the heater while igniting"}
    sides = {"drop along the positive cable", "drop along the negative cable"}
    if not (ends <= read.keys() or sides <= read.keys()):
        assert not re.search("to blame|The wiring loses", told)
    if "cable area" not in read:
        assert "there has" not in told
    assert "nan" not in told


def test_a_current_that_is_more_than_its_data_say_is_what_the_cable_needs() -> None:
    """A heater that draws 14 A asks for 16.8 A of fuse, whatever its class draws."""
    told = owner(job({**GOOD, "amps while igniting": "14 A"}))
    assert "14 A as measured" in told
    assert "Fuse: 16.8 A or more" in told
    assert quantity(9.5, "A") == shipped.book().units["small 12 V"].data["ignition current"]
