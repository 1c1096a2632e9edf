"""Readings that cannot be true together, by the laws named beside each."""

from __future__ import annotations

import pytest

from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.rulebook import Rulebook
from diag.rulebook import load_cases, parse_answer
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.evidence import reliability_of
from diag.session.inconsistent import inconsistency_in, rule_faults
from diag.session.journal.events import Answered
from diag.session.state import SessionState

# Ohm: 12 V over 0.5 ohm is 24 A, over 5 ohm 2.4 A, over 1 Mohm nothing. Kirchhoff: what the two
# leads lose adds to the difference of their ends. Each pair: what breaks the law, what keeps it.
BROKEN_AND_KEPT = {
    "terminals higher under load": (
        {"volts at rest": "12.0 V", "volts at the terminals while igniting": "12.4 V",
         "amps while igniting": "9 A"},
        {"volts at the terminals while igniting": "11.9 V"},
    ),
    "heater higher than the terminals": (
        {"volts at the terminals while igniting": "11 V",
         "volts at the heater while igniting": "12 V"},
        {"volts at the heater while igniting": "10.8 V"},
    ),
    "heater higher than the terminals at rest": (
        {"volts at rest": "12.0 V", "volts at the heater at rest": "12.6 V"},
        {"volts at the heater at rest": "11.95 V"},
    ),
    "cables lose more than is lost": (
        {"volts at the terminals while igniting": "12 V",
         "volts at the heater while igniting": "11.6 V",
         "drop along the positive cable": "1.4 V", "drop along the negative cable": "0.2 V"},
        {"drop along the positive cable": "0.2 V"},
    ),
    "cables lose less than is lost": (
        {"volts at the terminals while igniting": "12 V",
         "volts at the heater while igniting": "10 V",
         "drop along the positive cable": "0.2 V", "drop along the negative cable": "0.2 V"},
        {"drop along the positive cable": "1.6 V"},
    ),
    "more current than the glow plug lets through": (
        {"amps while igniting": "9.5 A", "glow plug resistance cold": "1000000 ohm"},
        {"glow plug resistance cold": "0.5 ohm"},
    ),
    "no current through a sound glow plug": (
        {"glow plug resistance cold": "0.5 ohm", "volts at the glow plug": "11.5 V",
         "glow plug connector": "tight", "amps while igniting": "1 A"},
        {"amps while igniting": "9.5 A"},
    ),
    "glows with a broken wire": (
        {"glow plug resistance cold": "1000000 ohm", "glow plug glows": "bright"},
        {"glow plug glows": "dark"},
    ),
    "glow plug higher than the supply": (
        {"volts at the glow plug": "11.8 V", "volts at the heater while igniting": "10 V"},
        {"volts at the glow plug": "9.8 V"},
    ),
    "burns without a click": (
        {"lights up": "yes", "pump clicks": "silent"}, {"pump clicks": "clicks"},
    ),
    "burns without its fan": (
        {"lights up": "yes", "fan at start": "still"}, {"fan at start": "runs"},
    ),
    "more heat than the fuel holds": (
        {"air at the inlet": "10 C", "air at the outlet": "90 C",
         "air speed at the outlet": "20 m/s",
         "fuel from 100 pulses": "2.2 ml", "pump rate at full power": "1 Hz"},
        {"air speed at the outlet": "2 m/s"},
    ),
    "exhaust colder than the air it began as": (
        {"lights up": "yes", "exhaust temperature": "5 C", "air temperature outside": "10 C"},
        {"exhaust temperature": "250 C"},
    ),
    "outlet colder than the inlet": (
        {"lights up": "yes", "air at the outlet": "5 C", "air at the inlet": "15 C"},
        {"air at the outlet": "80 C"},
    ),
    "clicks with a broken coil": (
        {"pump coil": "1000000 ohm", "pump clicks": "clicks"}, {"pump coil": "10 ohm"},
    ),
    "more than a battery rests at": (
        {"volts at rest": "13.4 V", "battery kind": "lead-acid"}, {"volts at rest": "12.6 V"},
    ),
    "cables lose at rest what they do not lose under load": (
        {"volts at rest": "12.9 V", "volts at the heater at rest": "11.8 V",
         "volts at the heater while igniting": "10.3 V", "amps while igniting": "8.3 A"},
        {"volts at rest": "11.8 V"},
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


def _told(book: Rulebook, readings: dict[str, str], again: bool = False) -> SessionState:
    state = SessionState(book, book.units["small 12 V"], "will not start")
    return _tell(state, readings, again)


def _tell(state: SessionState, readings: dict[str, str], again: bool) -> SessionState:
    for name, text in readings.items():
        finding = state.rulebook.findings[name]
        state.apply(Answered(name, parse_answer(text, finding), finding.how, again=again))
    return state


def test_every_entry_of_the_rulebook_is_tried_here(book: Rulebook) -> None:
    """No `cannot be` goes without readings that break it and readings that keep it."""
    entries = {rule.then.name for rule in book.rules if rule.then.kind == "impossible"}
    assert entries == set(BROKEN_AND_KEPT)


@pytest.mark.parametrize("name", BROKEN_AND_KEPT)
def test_what_breaks_a_law_is_named_with_all_its_readings(book: Rulebook, name: str) -> None:
    """The readings are to be taken again, and a better one among them settles it."""
    broken, better = BROKEN_AND_KEPT[name]
    state = _told(book, broken)
    assert name in {rule.then.name for rule, _ in state.impossible}
    found = inconsistency_in(state)
    assert found is not None
    assert found.certain
    assert set(found.readings) <= set(broken)
    assert name not in {r.then.name for r, _ in _told(book, {**broken, **better}).impossible}


@pytest.mark.parametrize("name", BROKEN_AND_KEPT)
def test_what_was_taken_again_alike_is_left_alone(book: Rulebook, name: str) -> None:
    """Once every reading was confirmed, the session asks for none of them any more."""
    broken, _ = BROKEN_AND_KEPT[name]
    found = inconsistency_in(_tell(_told(book, broken), broken, again=True))
    assert found is None or set(broken).isdisjoint(found.readings)


def test_impossible_readings_weigh_less_until_they_are_confirmed(book: Rulebook) -> None:
    """One of two that cannot both be true counts for half; confirmed, it counts in full."""
    broken, _ = BROKEN_AND_KEPT["glows with a broken wire"]
    once = _told(book, {"glow plug resistance cold": "1000000 ohm"}).posterior.causes[
        "glow plug open circuit"
    ]
    state = _told(book, broken)
    assert reliability_of(state, state.readings["glow plug resistance cold"]) == pytest.approx(
        0.97 / 2
    )
    assert state.posterior.causes["glow plug open circuit"] < once
    _tell(state, {"glow plug resistance cold": "1000000 ohm"}, again=True)
    assert reliability_of(state, state.readings["glow plug resistance cold"]) > 0.99


def test_the_worked_cases_keep_to_physics(book: Rulebook) -> None:
    """No case without a planted wrong reading breaks a law, and no two rules contradict."""
    grounds = {name: CompiledRulebook.of(book, unit) for name, unit in book.units.items()}
    for case in load_cases(shipped_rules() / "cases", book):
        unit = book.units[case.unit]
        state = SessionState(book, unit, case.complaint, grounds[case.unit])
        for name, value in case.readings.items():
            state.apply(Answered(name, value, book.findings[name].how))
        assert case.wrong or not state.impossible, case.id
        assert not rule_faults(state), case.id
