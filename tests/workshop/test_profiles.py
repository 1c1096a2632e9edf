"""What a player of the judge has with him bars checks, and less never allows more."""

from __future__ import annotations

from dataclasses import replace

from diag.cli.book import load_book
from diag.practice.player import play
from diag.practice.units import draw_unit
from diag.session.compiled_rulebook import CompiledRulebook
from tests.bench.judged.profiles import PROFILES
from tests.workshop.shipped import shipped_world

BOOK = load_book()


def _possible(name: str) -> set[str]:
    return {each.id for each in BOOK.checks.values() if PROFILES[name].can(each, BOOK)}


def test_each_profile_allows_less_than_the_one_before() -> None:
    """Full tools allow every check, a multimeter fewer, the roadside fewer still, then a phone."""
    full, multimeter, roadside, phone = (_possible(name) for name in PROFILES)
    assert set(BOOK.checks) == full
    assert full > multimeter > roadside > phone > set()


def test_a_meter_or_place_that_is_not_there_bars_its_check() -> None:
    """No flue gas analyser goes with a multimeter alone, no bench to the roadside, no cover off."""
    for check in BOOK.checks.values():
        if "flue gas analyser" in check.tools:
            assert not PROFILES["multimeter"].can(check, BOOK)
        if check.access == "on the bench":
            assert not PROFILES["roadside"].can(check, BOOK)
        if check.access in ("at the heater", "cover off", "on the bench") or check.tools:
            bare = replace(PROFILES["phone"], tools=frozenset())
            assert not bare.can(check, BOOK)


def test_a_session_by_phone_asks_and_passes_over() -> None:
    """What is barred is passed over: the session comes to its end, and the minutes are fewer."""
    kind = draw_unit(shipped_world(), 5, 1).kind
    compiled = CompiledRulebook.of(BOOK, BOOK.units[kind])
    full = play(BOOK, draw_unit(shipped_world(), 5, 1), compiled)
    phone = play(BOOK, draw_unit(shipped_world(), 5, 1), compiled, can=PROFILES["phone"].can)
    assert (0, True) == (full.barred, phone.barred > 0)
    assert full.ending != "given up"
    assert 0.0 <= full.waited
