"""Every shipped danger: what raises it, what it forbids, and which readings release it."""

from __future__ import annotations

from itertools import chain

import pytest

from diag.cli.book import load_book
from diag.logic.evaluate import evaluate
from diag.model.rulebook import Rulebook, Value
from diag.rulebook import parse_answer
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import Answered
from diag.session.state import SessionState

AS_OUTDOORS = {"carbon monoxide in the cabin": "0 ppm"}

DANGERS: dict[str, tuple[tuple[dict[str, str], ...], dict[str, str], tuple[str, ...]]] = {
    "carbon monoxide": (
        (
            {"co alarm": "yes"},
            {"felt ill": "yes"},
            {"carbon monoxide in the cabin": "9 ppm"},
            {"carbon monoxide at the outlet": "12 ppm"},
            {"carbon monoxide at a joint": "40 ppm"},
            {"where the fumes are": "pipe"},
        ),
        {"everybody safe outside": "yes", **AS_OUTDOORS},
        ("runs the heater",),
    ),
    "fuel leak": (
        ({"fuel leak": "yes"},),
        {"wiped joints": "dry"},
        ("runs the heater", "watched run", "makes sparks"),
    ),
    "hot wiring": (
        ({"hot wiring": "yes"}, {"supply fuse": "discoloured"}),
        {"charred part": "replaced", "joint in a watched start": "cool"},
        ("runs the heater", "watched run", "heats the glow plug", "powers the heater"),
    ),
    "exhaust inside": (
        (
            {"fumes inside": "yes"},
            {"exhaust joints": "leaking"},
            {"under the cover": "sooted"},
        ),
        {"exhaust joints": "tight", **AS_OUTDOORS},
        ("runs the heater",),
    ),
    "cracked exchanger": (
        ({"soot in the warm air": "yes"}, {"exchanger": "cracked"}),
        {"exchanger": "sooted", **AS_OUTDOORS},
        ("runs the heater",),
    ),
    "overheated control": (
        ({"overheated after a power cut": "yes"}, {"case looks": "scorched"}),
        {"case looks": "sound", "overheat sensor": "60 kohm"},
        ("runs the heater", "heats the glow plug", "powers the heater"),
    ),
    "battery danger": (
        ({"battery swollen": "yes"}, {"battery temperature": "55 C"}),
        {"damaged battery": "gone"},
        ("charges the battery", "loads the battery", "makes sparks"),
    ),
    "petrol in the fuel": (
        (
            {"strange fuel": "yes"},
            {"what was filled": "petrol"},
            {"what was filled": "unknown"},
            {"fuel smell": "petrol"},
        ),
        {"tank refilled clean": "yes", "fuel smell": "usual"},
        ("runs the heater", "watched run", "heats the glow plug", "makes sparks"),
    ),
    "flooded burner": (
        ({"bang at light-up": "yes"}, {"pooled fuel": "pooled"}),
        {"pooled fuel": "none"},
        ("runs the heater", "watched run", "heats the glow plug"),
    ),
    "exhaust shut": (
        ({"exhaust pipe": "blocked"}, {"exhaust pipe": "water"}, {"blow test": "blocked"}),
        {"exhaust pipe": "clear", "blow test": "free"},
        ("runs the heater", "watched run"),
    ),
    "fuse too large": (
        ({"cable area": "2.5 mm2", "fuse rating": "30 A"},),
        {"fuse against the cable": "fits"},
        ("runs the heater", "powers the heater"),
    ),
    "live by itself": (
        ({"starts by itself": "yes"}, {"control unit inside": "wet"}),
        {"control unit inside": "dry", "stays off": "yes"},
        ("runs the heater", "powers the heater"),
    ),
    "charged too high": (
        ({"volts while charging": "30.9 V"},),
        {"volts while charging": "28.8 V"},
        ("charges the battery",),
    ),
    "frozen battery": (
        (
            {"battery frozen": "yes"},
            {
                "battery kind": "lead-acid",
                "volts at rest": "24.1 V",
                "battery temperature": "-13 C",
            },
            {"battery kind": "lead-acid", "volts at rest": "23.7 V", "battery temperature": "-7 C"},
        ),
        {"battery warmed": "warm"},
        ("charges the battery", "loads the battery", "runs the heater"),
    ),
    "lithium too cold": (
        ({"battery kind": "lithium", "battery temperature": "-2 C"},),
        {"battery warmed": "warm"},
        ("charges the battery", "watched charge"),
    ),
}
"""Danger to the readings that raise it, those that release it, and acts that it forbids; on a
24 V unit."""

QUIET: dict[str, dict[str, str]] = {
    "carbon monoxide": {"carbon monoxide in the cabin": "8 ppm", "co alarm": "no"},
    "fuse too large": {"cable area": "4 mm2", "fuse rating": "30 A"},
    "charged too high": {"volts while charging": "30.8 V"},
    "frozen battery": {
        "battery kind": "lead-acid",
        "volts at rest": "25.3 V",
        "battery temperature": "-20 C",
    },
    "lithium too cold": {"battery kind": "lithium", "battery temperature": "0 C"},
    "battery danger": {"battery temperature": "45 C", "battery swollen": "no"},
}
"""Readings close by that raise none: the numbers of the rules seen from the sound side."""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


@pytest.fixture(scope="module")
def compiled(book: Rulebook) -> CompiledRulebook:
    return CompiledRulebook.of(book, book.units["small 24 V"])


def _session(book: Rulebook, compiled: CompiledRulebook) -> SessionState:
    return SessionState(book, book.units["small 24 V"], "check it over", compiled)


def _read(state: SessionState, readings: dict[str, str]) -> None:
    for name, text in readings.items():
        value: Value = parse_answer(text, state.rulebook.findings[name])
        state.apply(Answered(name, value, state.rulebook.findings[name].how))


def test_every_danger_is_in_the_table(book: Rulebook) -> None:
    """No shipped danger is left out of these tests."""
    assert set(book.dangers) == set(DANGERS)


@pytest.mark.parametrize("name", DANGERS)
def test_each_reading_raises_it_forbids_and_is_released_and_raises_it_again(
    book: Rulebook, compiled: CompiledRulebook, name: str
) -> None:
    """Whichever reading tells of a danger raises it; the releasing readings end it; one more
    raises it anew."""
    raising, releasing, forbidden = DANGERS[name]
    for readings in raising:
        state = _session(book, compiled)
        for _ in range(2):
            _read(state, readings)
            assert name in state.dangers.held
            assert set(forbidden) <= state.dangers.forbidden
            _read(state, releasing)
            assert name not in state.dangers.held


@pytest.mark.parametrize("name", QUIET)
def test_readings_close_by_raise_no_danger(
    book: Rulebook, compiled: CompiledRulebook, name: str
) -> None:
    """On the sound side of its numbers a danger is not raised."""
    state = _session(book, compiled)
    _read(state, QUIET[name])
    assert name not in state.dangers.held


@pytest.mark.parametrize("dropped", [name for name, row in DANGERS.items() if len(row[1]) > 1])
def test_half_of_what_releases_a_danger_does_not(
    book: Rulebook, compiled: CompiledRulebook, dropped: str
) -> None:
    """A danger holds until all that releases it has been read after it was raised."""
    raising, releasing, _ = DANGERS[dropped]
    for left_out in releasing:
        state = _session(book, compiled)
        _read(state, raising[0])
        _read(state, {name: value for name, value in releasing.items() if name != left_out})
        assert dropped in state.dangers.held


def test_a_defect_in_sight_holds_its_danger_until_it_is_looked_at_again(
    book: Rulebook, compiled: CompiledRulebook
) -> None:
    """A gasket seen leaking is a danger whatever a meter reads, until it is seen tight."""
    _, releasing, _ = DANGERS["exhaust inside"]
    state = _session(book, compiled)
    _read(state, {"burner gasket": "leaking"})
    _read(state, releasing)
    assert {"exhaust inside"} == set(state.dangers.held)
    _read(state, {"burner gasket": "tight"})
    assert {} == state.dangers.held


@pytest.mark.parametrize(
    ("cabin", "outdoors", "released"),
    [("0 ppm", None, True), ("5 ppm", None, True), ("7 ppm", None, False), ("7 ppm", "2 ppm", True),
     ("7 ppm", "1 ppm", False), ("8.9 ppm", "6 ppm", True), ("12 ppm", "12 ppm", False)],
)  # fmt: skip
def test_a_meter_reads_as_outdoors_within_5_ppm_and_below_9(
    book: Rulebook, compiled: CompiledRulebook, cabin: str, outdoors: str | None, released: bool
) -> None:
    """One rule: out at 9 ppm; back only where the meter is within 5 ppm of outdoors (memory of
    what usual meters are out by) and below 9 ppm, about the 10 mg/m3 of the WHO guidelines for
    indoor air (2010), 8 hours."""
    state = _session(book, compiled)
    _read(state, {"co alarm": "yes", "everybody safe outside": "yes"})
    if outdoors:
        _read(state, {"carbon monoxide outdoors": outdoors})
    _read(state, {"carbon monoxide in the cabin": cabin})
    assert released == ("carbon monoxide" not in state.dangers.held)


def test_a_silent_alarm_releases_nothing(book: Rulebook, compiled: CompiledRulebook) -> None:
    """That the alarm is silent and all are well does not show that the air is clean."""
    state = _session(book, compiled)
    _read(state, {"co alarm": "yes"})
    _read(state, {"co alarm": "no", "felt ill": "no", "everybody safe outside": "yes"})
    assert "carbon monoxide" in state.dangers.held


def test_every_proof_can_be_released_and_read_by_a_watched_run(book: Rulebook) -> None:
    """Where a danger forbids running, a check with an act of its own reads what only a run
    shows, and it is held back."""
    for check in book.checks.values():
        if {"watched run", "watched start", "watched charge"} & set(check.acts):
            assert check.held_back
    assert "lights up" in book.checks["watched run"].yields


@pytest.mark.parametrize("number", ["9 ppm"])
def test_the_number_at_which_to_leave_is_the_same_everywhere(book: Rulebook, number: str) -> None:
    """What tells how to take a reading, and when to leave, names the number of the danger."""
    measured = (one.measure.texts for one in book.findings.values() if one.measure)
    texts = [*(one.help for one in book.findings.values()), *chain(*measured)]
    helps = [text for text in texts if "ppm" in text and "eave" in text]
    told = [*helps, book.checks["watched run"].do, book.acts["watched run"]]
    assert len(told) > 3
    assert all(number in text for text in told)


def test_ice_is_told_by_the_published_freezing_points(
    book: Rulebook, compiled: CompiledRulebook
) -> None:
    """At 25 and 0 % charge acid freezes at -15.0 and -9.4 C (US Army TM 5-3820-256-24-4 Table 2):
    at both the danger is raised, with 3 K to spare."""
    freezing = ((24.12, -15.0), (23.78, -9.4))
    for volts, degrees in freezing:
        for shift, raised in ((0.0, True), (2.9, True), (4.0, False)):
            state = _session(book, compiled)
            _read(state, {"battery kind": "lead-acid", "volts at rest": f"{volts} V"})
            _read(state, {"battery temperature": f"{degrees + shift:.1f} C"})
            assert raised == ("frozen battery" in state.dangers.held)


def test_every_complaint_proof_fails_on_what_is_complained_of(
    book: Rulebook, compiled: CompiledRulebook
) -> None:
    """The proof of a complaint is its opposite: what is complained of makes it fail."""
    complained = {
        "will not start": {"lights up": "no"},
        "fan only": {"lights up": "no"},
        "lights then dies": {"lights up": "dies"},
        "many attempts": {"lights up": "yes", "three starts": "again"},
        "white smoke": {"lights up": "yes", "exhaust after warm-up": "white"},
        "dark smoke": {"lights up": "yes", "exhaust after warm-up": "dark"},
        "weak heat": {"lights up": "yes", "air speed at the outlet": "8 m/s",
                      "air at the inlet": "10 C", "air at the outlet": "70 C"},
        "too hot": {"lights up": "yes", "full heat held": "cuts out"},
        "cycles": {"lights up": "yes", "full heat held": "falls back"},
        "noise": {"lights up": "yes", "noise while burning": "whine"},
        "smell": {"lights up": "yes", "smell while running": "some"},
        "drinks fuel": {"pump rate at full power": "5 Hz", "fuel from 100 pulses": "2.2 ml"},
        "flattens the battery": {"standby amps": "300 mA"},
        "will not shut down": {"fan after switch-off": "runs on"},
        "shows a fault": {"lights up": "yes", "three starts": "again"},
        "check it over": {"exhaust after warm-up": "dark"},
        "fuel smell when off": {"wiped joints": "wet"},
        "alarm sounded": {"lights up": "yes", "carbon monoxide in the cabin": "30 ppm"},
        "bangs as it lights": {"lights up": "yes", "smoke at first": "white"},
        "starts by itself": {"stays off": "no"},
        "needs the engine": {"volts at the heater while igniting": "9.5 V"},
        "only sometimes": {"lights up": "yes", "three starts": "again"},
        "panel blank": {"panel": "dark"},
        "keeps blowing its fuse": {"supply fuse": "blown"},
        "radio noise": {"lights up": "yes", "radio while it runs": "crackles"},
        "water drips": {"lights up": "yes", "what drips": "fuel"},
    }  # fmt: skip
    assert set(book.complaints) == set(complained)
    for name, readings in complained.items():
        state = _session(book, compiled)
        _read(state, readings)
        truths = [evaluate(one.condition, state.now).truth for one in book.complaints[name].proof]
        assert False in truths, name
