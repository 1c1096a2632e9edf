"""When something learnt is asked again: the algorithm SM-2, with the day passed in.

Source: P. A. Wozniak, Optimization of learning, Poznan University of Technology 1990, section 3.2
(from memory). An item that is known is asked again after 1 day, then after 6, then after the last
interval times its easiness factor. The factor begins at 2.5 and moves with each answer; an answer
below 3 begins the intervals again and leaves the factor as it was.

What comes ahead of its day is an idea of ours, as the source asks for nothing before it is due: a
right answer then changes nothing, so that ten in one evening do not count as ten days, and a wrong
one begins again as ever.

>>> from datetime import date
>>> schedule = Schedule()
>>> for day in (1, 2, 8):
...     schedule = schedule.after(4, date(2026, 3, day))
>>> schedule.interval_days, schedule.due.isoformat()
(15, '2026-03-23')
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from math import ceil

from diag.model.frozen import frozen

FIRST_EASINESS, LEAST_EASINESS = 2.5, 1.3
FIRST_DAYS, SECOND_DAYS = 1, 6
BEST, KNOWN = 5, 3
"""The best quality of an answer, and the least with which an item counts as known."""
FIRM_AFTER = 3
"""Answers in a row, each on its day or later, after which an item is called firm."""
MOST_DAYS = 3650
"""The longest interval; the source names none."""


def eased(easiness: float, quality: int) -> float:
    """Return the easiness factor after an answer of quality 0 to 5.

    Raises `ValueError` for any other quality.

    >>> eased(2.5, 5), eased(2.5, 4), round(eased(2.5, 3), 2), eased(1.3, 3)
    (2.6, 2.5, 2.36, 1.3)
    """
    if not 0 <= quality <= BEST:
        raise ValueError(f"the quality of an answer is {quality}: expected 0 to {BEST}")
    missing = BEST - quality
    return max(LEAST_EASINESS, easiness + 0.1 - missing * (0.08 + missing * 0.02))


@frozen
class Schedule:
    """Hold how well one item is known: answers in a row, easiness, the interval and its end."""

    repetitions: int = 0
    easiness: float = FIRST_EASINESS
    interval_days: int = 0
    due: date | None = None
    """The day from which it is asked again; None where it was never asked."""

    def is_due(self, today: date) -> bool:
        """Tell whether the item has been asked before and is to be asked again."""
        return self.due is not None and self.due <= today

    def is_firm(self, today: date) -> bool:
        """Tell whether it was known often enough in a row, and is not to be asked yet."""
        return self.repetitions >= FIRM_AFTER and not self.is_due(today)

    def after(self, quality: int, today: date) -> Schedule:
        """Return the schedule after an answer of a quality (0 to 5) on a day.

        Raises `ValueError` for any other quality.
        """
        easiness = eased(self.easiness, quality)
        if quality < KNOWN:
            return _again_in(FIRST_DAYS, today, 0, self.easiness)
        if self.due is not None and today < self.due:
            return self
        if self.repetitions == 0:
            days = FIRST_DAYS
        elif self.repetitions == 1:
            days = SECOND_DAYS
        else:
            # Rounded first: what the last bit of the product adds is no day more.
            days = min(MOST_DAYS, ceil(round(self.interval_days * easiness, 6)))
        return _again_in(days, today, self.repetitions + 1, easiness)


def _again_in(days: int, today: date, repetitions: int, easiness: float) -> Schedule:
    return Schedule(repetitions, easiness, days, today + timedelta(days=days))


def schedule_of(answers: Iterable[tuple[int, date]]) -> Schedule:
    """Return the schedule of an item from its answers, each a quality and a day, in order."""
    schedule = Schedule()
    for quality, day in answers:
        schedule = schedule.after(quality, day)
    return schedule
