"""Planted slips: the laws that they break are true of the world, and what names them is counted."""

from __future__ import annotations

from random import Random

import pytest
from scipy.stats import binomtest

from diag.cli.book import load_book
from diag.practice.units import SOUND_UNIT, draw_unit
from diag.session.compiled_rulebook import CompiledRulebook
from diag.workshop.data.findings import REST
from tests.bench.judged.laws import chain_of, readings_of
from tests.bench.judged.slips import KINDS, LAWS, broken_laws, plant, slipped, slips_of, under
from tests.bench.judged.wilson import wilson
from tests.workshop.shipped import shipped_world

BOOK = load_book()
ACTS = (REST, "pumping", "pumping from a can", "a start", "a full run")
UNITS = [draw_unit(shipped_world(), 3, number, exact=True, only=SOUND_UNIT) for number in range(6)]
READ = [readings_of(unit, BOOK, ACTS) for unit in UNITS]


def test_readings_without_a_slip_break_no_law() -> None:
    """What is read within the meters' limits of sound units agrees with physics."""
    assert [set()] * len(READ) == [broken_laws(values) for values in READ]


def test_each_law_is_broken_by_some_slip() -> None:
    """No law is empty: some slip with some reading breaks it."""
    broken = set[str]()
    for values in READ:
        for name in {name for read, _ in LAWS.values() for name in read} & values.keys():
            for slip in slips_of(values, name, Random(1)).values():
                broken |= broken_laws({**values, **slipped(values, slip)})
    assert set(LAWS) == broken


def test_slips_that_break_a_law_are_named() -> None:
    """Of the planted slips that break a law, nine in ten stand among what cannot be."""
    compiled = {unit.kind: CompiledRulebook.of(BOOK, BOOK.units[unit.kind]) for unit in UNITS}
    breaking = named = 0
    for unit, values in zip(UNITS, READ, strict=True):
        book = compiled[unit.kind]
        for seed in range(20):
            found = plant(
                values,
                BOOK,
                lambda told, book=book, kind=unit.kind: [
                    under(book, BOOK, one.used)
                    for one in chain_of(told, BOOK, {kind: book}[kind], kind).impossible
                ],
                Random(seed),
            )
            assert dict.fromkeys(KINDS, 1) == dict(found.planted)
            breaking += found.breaking.total()
            named += found.named.total()
    assert breaking > 200
    assert named > 0.9 * breaking


@pytest.mark.parametrize(("hits", "n"), [(0, 5), (8, 10), (437, 446), (30, 30)])
def test_the_interval_of_a_share_is_scipys(hits: int, n: int) -> None:
    """Wilson's interval, as scipy has it."""
    found = binomtest(hits, n).proportion_ci(0.95, method="wilson")
    assert (found.low, found.high) == pytest.approx(wilson(hits, n), abs=2e-5)
