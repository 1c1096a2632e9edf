"""When something is asked again: the published intervals of SM-2, and what must hold of any."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.practice.spacing import (
    FIRST_EASINESS,
    LEAST_EASINESS,
    MOST_DAYS,
    Schedule,
    eased,
    schedule_of,
)

FIRST = date(2026, 3, 1)
PUBLISHED = {
    # Wozniak 1990: I(1) = 1 day, I(2) = 6 days, I(n) = I(n-1) * EF, fractions rounded up; EF from
    # 2.5 by EF' = EF + (0.1 - (5-q)(0.08 + (5-q)0.02)). Rule from memory, rows worked by hand.
    (4, 4, 4, 4, 4): (1, 6, 15, 38, 95),  # EF stays 2.5: 15; 37.5; 95
    (5, 5, 5, 5): (1, 6, 17, 50),  # EF 2.6, 2.7, 2.8: 16.8; EF 2.9: 49.3
    (3, 3, 3, 3): (1, 6, 13, 26),  # EF 2.36, 2.22, 2.08: 12.48; EF 1.94: 25.22
    (4, 4, 4, 2, 4, 4, 4): (1, 6, 15, 1, 1, 6, 15),  # starts over, EF as it was
    (5, 5, 1, 5, 5, 5): (1, 6, 1, 1, 6, 18),  # EF 2.6, 2.7, then 2.8, 2.9, 3.0: 18
    (0,): (1,),
}  # fmt: skip
"""Qualities of answers, each on its day, to the days until the next."""

qualities = st.integers(0, 5)


def on_their_days(answers: tuple[int, ...] | list[int]) -> list[Schedule]:
    """Give each answer on the day that the one before set."""
    found, today = [Schedule()], FIRST
    for quality in answers:
        found.append(found[-1].after(quality, today))
        assert found[-1].due is not None
        today = found[-1].due
    return found[1:]


@pytest.mark.parametrize("answers", PUBLISHED)
def test_the_published_intervals(answers: tuple[int, ...]) -> None:
    """Answers given on their days lead to the intervals of the published rule."""
    assert PUBLISHED[answers] == tuple(each.interval_days for each in on_their_days(answers))


@given(st.floats(1.3, 5.0), qualities)
def test_easiness_by_the_published_polynomial(easiness: float, quality: int) -> None:
    """The factor moves by -0.8 + 0.28 q - 0.02 q^2, as the source also writes it, from 1.3 up."""
    moved = easiness - 0.8 + 0.28 * quality - 0.02 * quality**2
    assert pytest.approx(max(1.3, moved)) == eased(easiness, quality)


def slow_days(answers: list[int]) -> int:
    """Work the last interval out in exact fractions, from the rule as it is worded."""
    known, easiness, days = 0, Fraction(5, 2), 0
    for quality in answers:
        if quality < 3:
            known, days = 0, 1
            continue
        lacking = 5 - quality
        step = Fraction(1, 10) - lacking * (Fraction(8, 100) + lacking * Fraction(2, 100))
        easiness = max(Fraction(13, 10), easiness + step)
        known += 1
        days = {1: 1, 2: 6}.get(known) or min(MOST_DAYS, ceil(days * easiness))
    return days


@given(st.lists(qualities, min_size=1, max_size=9))
def test_intervals_by_exact_fractions(answers: list[int]) -> None:
    """Floats give the whole days that exact fractions give."""
    assert slow_days(answers) == on_their_days(answers)[-1].interval_days


@given(st.lists(qualities, max_size=9), st.integers(0, 2), qualities)
def test_a_miss_comes_again_the_next_day(answers: list[int], missed: int, later: int) -> None:
    """Whatever was known before, a missed item is due on the next day and counts as none known."""
    before = on_their_days(answers)[-1] if answers else Schedule()
    today = before.due or FIRST
    after = before.after(missed, today)
    assert (0, today + timedelta(days=1)) == (after.repetitions, after.due)
    assert after.due is not None
    assert after.after(later, today).due == after.due


@given(st.lists(qualities, min_size=1, max_size=6), st.integers(3, 5), st.integers(1, 400))
def test_cramming_counts_once(answers: list[int], quality: int, ahead: int) -> None:
    """A right answer ahead of its day leaves all as it was; a wrong one begins again."""
    before = on_their_days(answers)[-1]
    assert before.due is not None
    early = before.due - timedelta(days=min(ahead, before.interval_days))
    assert before == before.after(quality, early)
    assert 0 == before.after(1, early).repetitions


@given(st.lists(st.tuples(qualities, st.integers(0, 60)), max_size=12))
def test_a_schedule_is_within_its_bounds(answers: list[tuple[int, int]]) -> None:
    """The factor never falls below 1.3, and being firm takes three right answers in a row."""
    today, given_on = FIRST, []
    for quality, wait in answers:
        today += timedelta(days=wait)
        given_on.append((quality, today))
    schedule = schedule_of(given_on)
    assert LEAST_EASINESS <= schedule.easiness < FIRST_EASINESS + 0.1 * len(answers) + 1e-9
    assert (schedule.due is None) == (not answers) == (schedule.interval_days == 0)
    firm = schedule.is_firm(today)
    assert firm == (schedule.repetitions >= 3 and not schedule.is_due(today))
    assert not firm or all(quality >= 3 for quality, _ in given_on[-3:])


@pytest.mark.parametrize("quality", [-1, 6])
def test_another_quality_is_refused(quality: int) -> None:
    """A quality outside 0 to 5 is refused with what is expected."""
    with pytest.raises(
        ValueError, match=f"^the quality of an answer is {quality}: expected 0 to 5$"
    ):
        Schedule().after(quality, FIRST)
