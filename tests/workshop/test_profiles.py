"""The judge's player is who the rules' profiles say, and less at hand never offers more."""

from __future__ import annotations

from diag.cli.book import load_book
from diag.practice.player import play
from diag.practice.units import draw_unit
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.offer.reach import AtHand
from tests.bench.judged.profiles import PROFILES, at_hand, comes_there
from tests.workshop.shipped import shipped_world

BOOK = load_book()


def _readable(name: str) -> set[str]:
    reach = AtHand(BOOK, at_hand(name, BOOK))
    checks = BOOK.checks.values()
    return {one for check in checks for one in check.yields if reach.reads(check, one)}


def test_the_judge_knows_every_profile_of_the_rules() -> None:
    """The profiles that are judged are those that a user can name."""
    assert set(BOOK.profiles) == set(PROFILES)


def test_each_place_reads_less_than_the_workshop() -> None:
    """A full workshop reads all that any check yields, each other place truly less."""
    workshop, *others = (_readable(name) for name in PROFILES)
    assert {one for check in BOOK.checks.values() for one in check.yields} == workshop
    assert all(workshop > other > set() for other in others)


def test_to_the_bench_comes_what_is_mended_there() -> None:
    """A worn glow plug is changed on the bench; a bad earth stays with the vehicle."""
    assert comes_there("bench", BOOK, [{"glow plug aged"}])
    assert not comes_there("bench", BOOK, [{"bad earth"}])
    assert not comes_there("bench", BOOK, [{"glow plug aged"}, {"bad earth"}])
    assert comes_there("phone", BOOK, [{"bad earth"}])


def test_a_session_by_phone_comes_to_its_end_without_a_tool() -> None:
    """Nothing is repaired by phone: it tells three causes, in fewer minutes than a workshop's."""
    kind = draw_unit(shipped_world(), 5, 1).kind
    compiled = CompiledRulebook.of(BOOK, BOOK.units[kind])
    full = play(BOOK, draw_unit(shipped_world(), 5, 1), compiled)
    phone = play(BOOK, draw_unit(shipped_world(), 5, 1), compiled, equipped=at_hand("phone", BOOK))
    assert full.ending != "given up"
    assert ("goes on elsewhere", [], 3) == (phone.ending, phone.proposed, len(phone.told_of))
    assert phone.minutes < full.minutes
