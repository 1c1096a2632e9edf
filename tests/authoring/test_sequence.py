"""The usual fault sequence: no exchange makes it cheaper, and each step makes sense where it is."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from functools import cache
from itertools import combinations, permutations
from math import inf
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from slow_sheet import SlowSheet

from diag.authoring.sequence.choosing import MOST_STEPS, best_sequence, by_ratio
from diag.authoring.sequence.sheet import FaultSheet, danger_looks, fault_sheet
from diag.authoring.sequence.walk import Order, Walk
from diag.model.rulebook import Rulebook
from diag.reason.chain.engine import Chain
from diag.rulebook import load_rulebook
from tests.dangers import shipped
from tests.rulebook.lamps import FORMULAS, SCALES, write

UNIT = "small 12 V"
COMPLAINTS = tuple(shipped.book().complaints)
FEW = (
    "radio noise", "fuel smell when off", "starts by itself", "water drips", "bangs as it lights",
)  # fmt: skip
"""Complaints with at most eight steps, for which every order can be tried."""


@cache
def _slow(complaint: str) -> SlowSheet:
    book = shipped.book()
    return SlowSheet(book, book.units[UNIT], complaint, danger_looks(book))


@cache
def _sheet(complaint: str) -> FaultSheet:
    return fault_sheet(shipped.book(), shipped.book().units[UNIT], complaint)


def _order(complaint: str) -> Order:
    return tuple(step.check.id for step in _sheet(complaint).steps)


@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_no_exchange_of_two_steps_is_cheaper(complaint: str) -> None:
    """Whatever two steps of a sheet change places, it takes no fewer minutes: by a slow sum, with
    which the sheet's own agrees."""
    book, order, slow = shipped.book(), _order(complaint), _slow(complaint)
    walk = Walk.of(book, book.units[UNIT], complaint, danger_looks(book))
    least = slow.minutes(order)
    assert 1 <= len(order) <= MOST_STEPS
    assert pytest.approx(least) == walk.minutes(order)
    for one, other in combinations(range(len(order)), 2):
        steps = list(order)
        steps[one], steps[other] = steps[other], steps[one]
        assert least <= slow.minutes(steps) + 1e-6


@pytest.mark.parametrize("complaint", FEW)
def test_a_short_sheet_is_in_the_best_of_all_orders(complaint: str) -> None:
    """Of all orders of at most eight steps, tried one by one, none is cheaper."""
    order = _order(complaint)
    assert len(order) <= 8
    assert pytest.approx(_least(_slow(complaint), order)) == _slow(complaint).minutes(order)


def _least(slow: SlowSheet, steps: Sequence[str]) -> float:
    """Return the minutes of the cheapest order, all begun and given up once they are dearer."""
    session = slow.book.scales.settings.hand_over_minutes
    best = slow.minutes(steps)

    def go_on(done: tuple[str, ...]) -> None:
        nonlocal best
        minutes = slow.minutes(done)
        spent = minutes - session * sum(slow.after([*slow.first, *done])[0].values())
        if minutes == inf or spent >= best:
            return
        if len(done) == len(steps):
            best = min(best, minutes)
        for step in steps:
            if step not in done:
                go_on((*done, step))

    go_on(())
    return best


def _lamps(costs: Sequence[int], shares: Sequence[int]) -> Rulebook:
    """Return rules of independent faults: each check shows one, and no other does."""
    words = ", ".join(f"s{share}: {share / 1000}" for share in sorted(set(shares)))
    scales = SCALES.replace("{common: 0.1, rare: 0.01}", f"{{{words}}}")
    findings = [f"  part {at}: {{ask: Is it?, kind: yes/no, as it should be: no}}" for at in PARTS]
    checks = [
        f"  look {at}: {{do: Look., minutes: {cost}, yields: [part {at}]}}"
        for at, cost in zip(PARTS, costs, strict=False)
    ]
    complaint = "complaints: {dark: {title: It is dark, proof: [part a is no]}}"
    used = range(len(costs))
    lines = ["source: invented", "findings:", *(findings[at] for at in used), "checks:", *checks]
    unit = "unit: LAMP 1\ntitle: Lamp\nsource: invented\ndata: {}\n"
    files = {"scales.yaml": scales, "lamps.yaml": "\n".join([*lines, complaint]), "unit.yaml": unit}
    for at, share in zip(PARTS, shares, strict=False):
        files[f"fault-{at}.yaml"] = (
            f"cause: fault {at}\ntitle: Fault\narea: power\nstatus: trial\nshare: s{share}\n"
            f"source: invented\ncomplaints: {{dark: probable}}\n"
            f"shows: {{part {at}: {{yes: probable}}}}\n"
            "repair: {do: [Mend it.], minutes: 2}\nproof: [part a is no]\n"
        )
    with tempfile.TemporaryDirectory() as folder:
        return load_rulebook([write(Path(folder), files)], FORMULAS)


PARTS = "abcdef"
PRICED = st.lists(st.tuples(st.integers(1, 40), st.integers(1, 60)), min_size=1, max_size=6)


@given(PRICED)
@settings(deadline=None, max_examples=40)
def test_independent_steps_stand_by_chance_over_cost(priced: list[tuple[int, int]]) -> None:
    """Where each step shows one fault and they share nothing, the published ratio rule holds.

    W. E. Smith (1956) and Mitten (1960), from memory: by chance over cost, the greatest first; and
    no order of all that there are is cheaper.
    """
    costs, shares = zip(*priced, strict=True)
    book = _lamps(costs, shares)
    walk = Walk.of(book, book.units["LAMP 1"], "dark")
    steps = [f"look {PARTS[at]}" for at in range(len(costs))]
    wanted = sorted(range(len(costs)), key=lambda at: -shares[at] / costs[at])
    published = walk.minutes(tuple(steps[at] for at in wanted))
    assert pytest.approx(published) == walk.minutes(by_ratio(walk, steps))
    assert pytest.approx(published) == min(map(walk.minutes, permutations(steps)))
    order = best_sequence(walk)
    kept = [steps[at] for at in wanted if steps[at] in order]
    assert pytest.approx(walk.minutes(tuple(kept))) == walk.minutes(order)
    assert walk.minutes(order) <= published + 1e-6


@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_every_reading_is_decided_where_it_stands(complaint: str) -> None:
    """What decides whether a reading makes sense was asked before or in the same step, and what is
    good there does not speak against it, unless the complaint itself is that it is not good.

    Nor is a step there that a danger forbids of which the complaint tells; each check comes once.
    """
    book, sheet = shipped.book(), _sheet(complaint)
    supposed = _slow(complaint).supposed
    open_to = {name for one in supposed.situations for name in one.answers}
    chain = Chain(shipped.compiled(UNIT).network, book.units[UNIT])
    chain.tell_all(_slow(complaint).told)
    asked = set[str]()
    for step in (*sheet.first, *sheet.steps):
        asked |= set(step.check.yields)
        for name in set(step.check.yields) - open_to:
            if book.findings[name].choices:
                chain.tell(name, book.findings[name].states[0])
        whens = [book.findings[name].asked_when for one in step.readings for name, _ in one.good
                 if name in book.findings]  # fmt: skip
        for when in (step.check.possible_when, *whens):
            if when is not None:
                assert chain.missing_for(when) <= asked
                assert chain.truth(when) is not False
    forbidden = {act for name in sheet.raised for act in book.dangers[name].forbids}
    assert [] == [step.check.id for step in sheet.steps if forbidden & set(step.check.acts)]
    checks = [step.check.id for step in (*sheet.first, *sheet.steps)]
    assert len(set(checks)) == len(checks)
    assert "look round for danger" == checks[0]


@pytest.mark.parametrize(
    ("complaint", "dangers"),
    [
        ("alarm sounded", {"carbon monoxide"}),
        ("fuel smell when off", {"fuel leak"}),
        ("bangs as it lights", {"flooded burner"}),
        ("starts by itself", {"live by itself"}),
        ("will not start", set()),
        ("dark smoke", set()),
    ],
)
def test_a_complaint_that_is_a_danger_is_told_as_one(complaint: str, dangers: set[str]) -> None:
    """The box holds the dangers of which the complaint tells; a word that sounds so is none."""
    raised = set(_sheet(complaint).raised)
    assert dangers <= raised
    assert bool(dangers) == bool(raised)


def test_what_does_not_fit_is_left_out_and_the_rest_is_in_its_best_order() -> None:
    """A sheet with less room has fewer steps, and no exchange makes it cheaper either."""
    book = shipped.book()
    short = fault_sheet(book, book.units[UNIT], "noise", fits=lambda one: len(one.steps) <= 6)
    order, slow = [step.check.id for step in short.steps], _slow("noise")
    assert 6 == len(order)
    for one, other in combinations(range(6), 2):
        steps = list(order)
        steps[one], steps[other] = steps[other], steps[one]
        assert slow.minutes(order) <= slow.minutes(steps) + 1e-6


def test_an_unknown_complaint_has_no_sheet() -> None:
    """A complaint that the rules do not know is refused by its name."""
    book = shipped.book()
    with pytest.raises(KeyError):
        fault_sheet(book, book.units[UNIT], "sings")
