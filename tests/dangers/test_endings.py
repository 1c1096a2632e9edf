"""Endings say no more than was read: over every shipped unit and complaint, and worked cases."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from diag.authoring.case_run import CaseRun
from diag.authoring.case_runner import Answers, run_case
from diag.model.case import Case
from diag.session.journal.events import Passed, Repaired, Together
from diag.session.proof.ending import Ending
from tests.dangers.shipped import OnceAllIsMended, begin, book, cases, compiled, passing

UNITS, COMPLAINTS = sorted(book().units), sorted(book().complaints)
SOME = [(UNITS[number % len(UNITS)], one) for number, one in enumerate(COMPLAINTS)]
"""Each complaint on one unit; all pairs prompt by prompt are gone through by hand."""
SHARES = 8
"""Worked cases are dealt out, so that several processes can share them."""
MOST_PAIRS, LEAST_PAIRS = 24, 20
REASONS = ("cannot", "unsure")


def claimed(ending: Ending) -> list[str]:
    """Return what an ending claims to know that nobody read."""
    found = [ending.kind] if ending.kind in ("nothing wrong", "proved") else []
    return found + [
        result.cause for result in ending.results if result.proved or result.holds or result.failed
    ]


def test_there_are_eighty_units_and_complaints() -> None:
    """What follows is tried on as many pairs."""
    assert len(UNITS) * len(COMPLAINTS) >= 80


@pytest.mark.parametrize("complaint", COMPLAINTS)
@pytest.mark.parametrize("unit", UNITS)
def test_where_nothing_was_read_nothing_is_claimed(unit: str, complaint: str) -> None:
    """With every finding passed over, and then every repair accepted or declined, no verdict."""
    for repairs in (False, True):
        state = begin(unit, complaint)
        state.apply(Together(tuple(Passed(name, "cannot") for name in book().findings)))
        ending = passing(state, "cannot", repairs).ending
        assert [] == claimed(ending)
        assert ending.not_read


@pytest.mark.cases
@pytest.mark.parametrize("reason", REASONS)
@pytest.mark.parametrize(("unit", "complaint"), SOME)
def test_each_prompt_passed_over_leads_to_no_verdict(
    unit: str, complaint: str, reason: str
) -> None:
    """`cannot` or `unsure` at every single prompt ends in `not found out`."""
    ending = passing(begin(unit, complaint), reason, repairs=False).ending
    assert "not found out" == ending.kind
    assert ([], ()) == (claimed(ending), ending.results)
    assert ending.would_decide


@pytest.mark.cases
@pytest.mark.parametrize(("unit", "complaint"), SOME)
def test_repairs_with_nothing_read_prove_nothing(unit: str, complaint: str) -> None:
    """Repairs made blindly, at every prompt that proposes one, are never proved."""
    assert [] == claimed(passing(begin(unit, complaint), "cannot", repairs=True).ending)


@pytest.mark.parametrize("cause", sorted(book().causes))
def test_any_repair_whose_proof_nobody_read_is_not_proved(cause: str) -> None:
    """An unread proof ends in `not proved`, and the end says what nobody looked at."""
    complaint = next(iter(book().causes[cause].complaints), COMPLAINTS[0])
    state = begin("small 12 V", complaint)
    state.apply(Repaired(cause))
    ending = passing(state, "cannot", repairs=False).ending
    assert ("not proved", [cause]) == (ending.kind, [one.cause for one in ending.results])
    assert [] == claimed(ending)
    assert ending.results[0].unread


def run(case: Case, answers: Answers | None = None) -> CaseRun:
    return run_case(book(), case, answers, compiled=compiled(case.unit))


def sound_units() -> list[Case]:
    """Return the sound units of worked cases, some with another unit's readings to look over."""
    shipped = [case for case in cases() if not case.truth and not case.wrong]
    full = max(shipped, key=lambda case: len(case.readings))
    more = [
        replace(full, id=f"{full.id}, {complaint}", complaint=complaint)
        for complaint in COMPLAINTS
        if complaint not in {case.complaint for case in shipped}
    ]
    return [*shipped, *more]


@pytest.mark.cases
@pytest.mark.parametrize("share", range(SHARES))
def test_sound_units_fully_read_end_in_nothing_wrong(share: int) -> None:
    """Thirty sound heaters: what shows that nothing is wrong was read, and no repair was made."""
    found = {case.id: run(case).ending for case in sound_units()[share::SHARES]}
    kinds = {name: ending.kind if ending else "a repair" for name, ending in found.items()}
    assert dict.fromkeys(found, "nothing wrong") == kinds


def test_there_are_thirty_sound_units() -> None:
    """Enough sound heaters are tried."""
    assert len(sound_units()) >= 30


def mended_units() -> list[Case]:
    """Return forty worked cases with one cause, as many causes as there are among them."""
    told = [case for case in cases() if len(case.truth) == 1 and case.after and not case.wrong]
    firsts = {case.truth: case for case in told if not case.dangers}
    return [firsts[truth] for truth in sorted(firsts)][:40]


@pytest.mark.cases
@pytest.mark.parametrize("share", range(SHARES))
def test_right_repairs_end_proved(share: int) -> None:
    """Forty right repairs: found, made, read after, and proved; and no other one was made."""
    found = {case.id: run(case).ending for case in mended_units()[share::SHARES]}
    ends = {
        name: ending and (ending.kind, tuple(one.cause for one in ending.results))
        for name, ending in found.items()
    }
    wanted = {case.id: ("proved", case.truth) for case in mended_units()[share::SHARES]}
    assert wanted == ends


def test_there_are_forty_right_repairs() -> None:
    """Enough repairs are tried, of forty causes."""
    assert 40 == len(mended_units())


def pairs() -> list[Case]:
    """Return worked cases with two causes, both of which tell what reads otherwise after them."""
    told = [case for case in cases() if set(case.truth) == set(case.after) and not case.wrong]
    return [case for case in told if len(case.truth) == 2 and not case.dangers][:MOST_PAIRS]


@pytest.mark.cases
def test_a_first_repair_of_two_proves_nothing_but_itself() -> None:
    """Where the complaint lasts after the first repair, only the second one ends in `proved`."""
    came = Counter[str]()
    for case in pairs():
        ending = run(case, OnceAllIsMended(case)).ending
        assert ending is not None, case.id
        results = ending.results
        made = {one.cause for one in results}
        assert ("proved", set(case.truth)) == (ending.kind, made & set(case.truth)), case.id
        assert [False] * (len(results) - 1) == [one.proved for one in results[:-1]], case.id
        came["lasts"] += results[0].complaint == "failed"
    assert came["lasts"] >= LEAST_PAIRS
