"""Laws of the next check, on random causes and signs: what must never sway the choice.

That a dearer check is never done earlier is a law of the plan, tried in `plan/test_laws.py`.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.rulebook import Check, Repair, Rulebook, Sign
from diag.reason.belief.belief import Evidence, Priors, start
from diag.reason.belief.links import compile_links
from diag.reason.plan.choose import Choice, choose
from diag.reason.plan.decision_problem import CandidateCheck, Outlook
from diag.rulebook import load_rulebook
from tests.reason.belief.networks import random_evidence, random_network

BICYCLE = Path(__file__).parents[2] / "books" / "bicycle"
BARE = load_rulebook([BICYCLE], {})
"""Lends its scales and settings."""
seeds = st.integers(0, 10**6)
Made = TypeVar("Made")


@dataclass(frozen=True)
class Bench:
    """Causes, signs with a check each, and what has been seen of some of them."""

    book: Rulebook
    evidence: tuple[Evidence, ...]

    def choice(self) -> Choice:
        """Return what is chosen next."""
        links = compile_links(self.book.signs, self.book.causes)
        belief = start(links, Priors(), "dead").observe(*self.evidence)
        seen = {one.sign for one in self.evidence}
        offers = [
            CandidateCheck(check, check.yields, dict.fromkeys(check.yields, 0.95))
            for check in self.book.checks.values()
            if seen.isdisjoint(check.yields)
        ]
        return choose(Outlook(self.book, belief, offers))


def drawn(seed: int, causes: int = 6, signs: int = 7) -> Bench:
    """Draw a bench; of every third check one wants what another has opened already."""
    rng = random.Random(seed)
    network = random_network(rng, causes, signs, links=3)
    made = {
        name: replace(
            cause,
            repair=Repair(("mend it",), rng.choice([5.0, 20.0, 60.0]), access=_access(rng)),
        )
        for name, cause in network.causes.items()
    }
    checks = {
        f"look at {name}": Check(
            f"look at {name}",
            "look",
            "area",
            rng.choice([0.5, 2.0, 5.0, 15.0]),
            (name,),
            access=_access(rng),
        )
        for name in network.signs
    }
    book = replace(BARE, signs=network.signs, causes=made, checks=checks)
    return Bench(book, tuple(random_evidence(rng, network, rng.randint(0, 3))))


def _access(rng: random.Random) -> str:
    return rng.choice(["ask", "ask", "wheel out"])


def acts(choice: Choice) -> list[tuple[str, str]]:
    """Return the best act and the runners-up, by kind and name."""
    return [(one.kind, one.name) for one in (choice.best, *choice.runners_up)]


def shuffled(rng: random.Random, table: Mapping[str, Made]) -> dict[str, Made]:
    """Return the same table in another order."""
    return dict(rng.sample([*table.items()], len(table)))


@settings(max_examples=40)
@given(seeds)
def test_the_choice_never_hangs_on_an_order(seed: int) -> None:
    """Readings, causes, signs and checks in any order lead to the same act at the same price."""
    bench, rng = drawn(seed), random.Random(seed)
    book = bench.book
    other = Bench(
        replace(
            book,
            signs=shuffled(rng, book.signs),
            causes=shuffled(rng, book.causes),
            checks=shuffled(rng, book.checks),
        ),
        tuple(rng.sample(bench.evidence, len(bench.evidence))),
    )
    assert bench.choice() == other.choice()


@settings(max_examples=40)
@given(seeds)
def test_a_free_check_that_tells_nothing_changes_nothing(seed: int) -> None:
    """A sign that shows alike whatever is wrong, seen for nothing, sways neither act nor price."""
    bench = drawn(seed)
    bell = Sign("bell", ("rings", "mute"), "area", leak={"mute": 0.5})
    ring = Check("ring it", "ring", "area", 0.0, ("bell",))
    book = bench.book
    signs, checks = {**book.signs, "bell": bell}, {**book.checks, "ring it": ring}
    other = replace(bench, book=replace(book, signs=signs, checks=checks))
    before, after = bench.choice(), other.choice()
    assert acts(before) == acts(after)
    assert before.best.expected == pytest.approx(after.best.expected)
