"""How a session on a unit of the workshop is counted: dangers told, complaints answered."""

from __future__ import annotations

from diag.practice.player import Played, told_by
from tests.practice.settings import shipped


def test_a_danger_is_told_by_one_that_forbids_as_much_and_is_released_no_sooner() -> None:
    """Exhaust where people breathe tells of carbon monoxide, and a fuel leak of nothing else."""
    book = shipped().book
    assert {"exhaust inside", "carbon monoxide"} == told_by(book, ["exhaust inside"])
    assert {"cracked exchanger", "carbon monoxide"} == told_by(book, ["cracked exchanger"])
    assert {"fuel leak"} == told_by(book, ["fuel leak"])
    assert {"carbon monoxide"} == told_by(book, ["carbon monoxide"])
    assert frozenset() == told_by(book, [])


def test_steam_answers_an_owner_who_saw_steam_and_says_nothing_of_the_rest() -> None:
    """With a fault asleep it is right and claims no more; any other repair beside it does."""
    asleep = (frozenset({"bad earth"}),)
    played = Played(1, "poor earth", "small 12 V", "white smoke", asleep, frozenset({"steam"}))
    played.ending = "proved"
    played.proposed = ["steam"]
    assert (True, True, False) == (played.right_first, played.all_found, played.untrue)
    played.proposed = ["steam", "glow plug aged"]
    assert (False, False, True) == (played.right_first, played.all_found, played.untrue)


def test_what_goes_with_a_repair_counts_as_found() -> None:
    """A battery that ran down is charged by whoever stops what emptied it."""
    both = (frozenset({"empty battery"}), frozenset({"standby drain"}))
    played = Played(1, "both", "small 12 V", "flattens the battery", both)
    played.proposed = ["standby drain"]
    assert not played.all_found
    played.mended_as_well = {"empty battery"}
    assert played.all_found
