"""How firm somebody is: in each family of causes by drills, in each lesson by its questions.

Nothing of it is kept: it follows from the marks of drills and the answers of lessons, by the rule
of `spacing`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from diag.model.frozen import frozen
from diag.practice.lessons.lesson import Lesson
from diag.practice.spacing import BEST, KNOWN, Schedule, schedule_of

MOST_POINTS = 10.0
LAST = 5
FIRM_IN_WORDS = (
    "Firm means: right three times in a row, each time on its day or later, and not due again yet."
)


@frozen
class Graded:
    """Hold one answer or drill: what it was about, its quality from 0 to 5, and its day."""

    item: str
    quality: int
    day: date


@frozen
class FamilyProgress:
    """Hold how drills of one family of causes went; `last` are the latest marks, 0 to 10."""

    family: str
    drills: int
    right: int
    last: tuple[float, ...]
    schedule: Schedule


@frozen
class LessonProgress:
    """Hold how far a lesson is: its page, from 0, whether it was read whole, its questions."""

    lesson: str
    title: str
    page: int
    pages: int
    finished: bool
    questions: Mapping[str, Schedule]
    """Item to its schedule, those that were never asked too."""

    def firm(self, today: date) -> int:
        """Return how many questions are firm."""
        return sum(each.is_firm(today) for each in self.questions.values())

    def due(self, today: date) -> tuple[str, ...]:
        """Return the items that are to be asked again, the longest overdue first."""
        waiting = [
            (each.due, item)
            for item, each in self.questions.items()
            if each.due is not None and each.is_due(today)
        ]
        return tuple(item for _, item in sorted(waiting))

    @property
    def next_day(self) -> date | None:
        """Return the day from which the first of its questions is asked again."""
        days = [each.due for each in self.questions.values() if each.due is not None]
        return min(days, default=None)


def quality_of(points: float) -> int:
    """Return the quality (0 to 5) of a drill with so many points (0 to 10).

    >>> quality_of(10.0), quality_of(6.0), quality_of(5.9), quality_of(0.0)
    (5, 3, 2, 0)
    """
    return max(0, min(BEST, int(points / MOST_POINTS * BEST)))


def day_of(at: str) -> date | None:
    """Return the day of a time as ISO 8601 writes it; None for what is none.

    >>> day_of("2026-03-01T23:59:00+00:00")
    datetime.date(2026, 3, 1)
    """
    try:
        return date.fromisoformat(at[:10])
    except ValueError:
        return None


def schedules(graded: Iterable[Graded]) -> dict[str, Schedule]:
    """Return the schedule of each item from all that was answered, in order."""
    answers = defaultdict[str, list[tuple[int, date]]](list)
    for each in graded:
        answers[each.item].append((each.quality, each.day))
    return {item: schedule_of(found) for item, found in answers.items()}


def families(
    names: Iterable[str], marks: Sequence[tuple[str, str, float, date]]
) -> tuple[FamilyProgress, ...]:
    """Return the progress in each family from marks: drill, family, points and day, in order.

    A drill with several causes of one family counts there by the worst of them.
    """
    worst = dict[tuple[str, str], tuple[float, date]]()
    for drill, family, points, day in marks:
        known = worst.get((drill, family), (points, day))
        worst[drill, family] = min(known[0], points), day
    found = []
    for name in names:
        mine = [mark for (_, family), mark in worst.items() if family == name]
        graded = [(quality_of(each), day) for each, day in mine]
        right = sum(quality >= KNOWN for quality, _ in graded)
        last = tuple(each for each, _ in mine[-LAST:])
        found.append(FamilyProgress(name, len(mine), right, last, schedule_of(graded)))
    return tuple(found)


def lesson_progress(
    lesson: Lesson, known: Mapping[str, Schedule], page: int, finished: bool
) -> LessonProgress:
    """Return how far a lesson is, from the schedules of all items and where somebody is in it."""
    items = {lesson.item(step): known.get(lesson.item(step), Schedule()) for step in lesson.steps}
    pages = len(lesson.steps) + 2
    title = lesson.title
    return LessonProgress(lesson.id, title, min(page, pages - 1), pages, finished, items)
