"""How firm somebody is follows from marks and answers alone."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.practice.progress import (
    LAST,
    Graded,
    LessonProgress,
    families,
    lesson_progress,
    quality_of,
    schedules,
)
from diag.practice.spacing import Schedule, schedule_of
from tests.practice.test_lessons import shipped

FIRST = date(2026, 3, 1)
days = st.integers(0, 90).map(lambda after: FIRST + timedelta(days=after))
names = st.sampled_from(["supply", "fuel", "use"])
marks = st.lists(
    st.tuples(st.sampled_from("abcdef"), names, st.floats(0, 10), days), max_size=12
).map(lambda found: sorted(found, key=lambda mark: (mark[3], mark[0])))


@given(st.floats(-5, 15), st.floats(-5, 15))
def test_more_points_are_no_worse(first: float, second: float) -> None:
    """Qualities are 0 to 5 and rise with the points; six of ten are the least that is right."""
    low, high = sorted((first, second))
    assert 0 <= quality_of(low) <= quality_of(high) <= 5
    assert (low >= 6.0) == (quality_of(low) >= 3)


@given(marks)
def test_families_by_hand(found: list[tuple[str, str, float, date]]) -> None:
    """Each drill counts once in a family, by the worst of its marks there, in order."""
    told = {each.family: each for each in families(["supply", "fuel", "use", "air"], found)}
    assert 0 == told["air"].drills
    for family in ("supply", "fuel", "use"):
        drills = list(dict.fromkeys(mark[0] for mark in found if mark[1] == family))
        worst = [min(m[2] for m in found if m[:2] == (drill, family)) for drill in drills]
        assert len(drills) == told[family].drills
        assert sum(points >= 6.0 for points in worst) == told[family].right
        assert tuple(worst[-LAST:]) == told[family].last


@given(st.lists(st.tuples(names, st.integers(0, 5), days), max_size=12))
def test_each_item_has_a_schedule_of_its_own(found: list[tuple[str, int, date]]) -> None:
    """Answers to one item never move another's schedule."""
    told = schedules(Graded(*each) for each in found)
    assert {name for name, _, _ in found} == set(told)
    for name, schedule in told.items():
        assert schedule_of((q, day) for item, q, day in found if item == name) == schedule


def fuel(known: dict[str, Schedule], page: int = 0) -> LessonProgress:
    return lesson_progress(shipped()["fuel"], known, page, finished=False)


def test_what_is_due_comes_with_the_longest_overdue_first() -> None:
    """Due questions are told in the order of their days, and those never asked are not due."""
    items = [shipped()["fuel"].item(step) for step in shipped()["fuel"].steps]
    known = {
        items[0]: schedule_of([(4, FIRST + timedelta(days=3))]),
        items[1]: schedule_of([(1, FIRST)]),
        items[2]: schedule_of([(4, FIRST), (4, FIRST + timedelta(days=1))]),
    }
    today = FIRST + timedelta(days=5)
    assert (items[1], items[0]) == fuel(known).due(today)
    assert FIRST + timedelta(days=1) == fuel(known).next_day
    assert 0 == fuel(known).firm(today)


@pytest.mark.parametrize(("page", "kept"), [(0, 0), (3, 3), (99, 5)])
def test_a_lesson_that_grew_shorter_goes_on_at_its_end(page: int, kept: int) -> None:
    """A page that the lesson has no more is its last one."""
    assert kept == fuel({}, page).page
