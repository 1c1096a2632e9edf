"""`diag drill progress`: which families of causes and which lessons are firm, and what is due."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from contextlib import closing
from datetime import date
from typing import Any

from diag.cli.drill.setting import lessons_of, setting
from diag.cli.stored import open_own_store
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.practice.lessons.lesson import Lesson
from diag.practice.progress import (
    FIRM_IN_WORDS,
    FamilyProgress,
    Graded,
    LessonProgress,
    day_of,
    families,
    lesson_progress,
    schedules,
)
from diag.practice.spacing import Schedule
from diag.store.drills import Drills
from diag.store.lessons import Lessons


def run_progress(as_json: bool = False, plain: bool = False) -> int:
    """Run the command; return the exit code."""
    of = setting()
    lessons = lessons_of(of)
    with closing(open_own_store()) as store:
        today = day_of(store.now())
        assert today is not None
        found = families_so_far(of.book, Drills(store))
        learnt = lessons_so_far(lessons.values(), Lessons(store))
    if as_json:
        print(json.dumps(_json(found, learnt, today), indent=2, ensure_ascii=False))
        return 0
    screen = Screen(plain=plain)
    screen.heading("Families of causes")
    for each in found:
        screen.item(f"{each.family}:", family_words(each, today), width=12)
    screen.heading("Lessons")
    for lesson in learnt:
        screen.item(f"{lesson.lesson}:", lesson_words(lesson, today), width=0)
    screen.say()
    screen.say(FIRM_IN_WORDS)
    return 0


def families_so_far(book: Rulebook, drills: Drills) -> tuple[FamilyProgress, ...]:
    """Return how firm each family is; a mark whose day cannot be read is left out."""
    marks = [
        (mark.drill, mark.family, mark.points, day)
        for mark in drills.marks()
        if (day := day_of(mark.at)) is not None
    ]
    return families(book.areas, marks)


def lessons_so_far(lessons: Iterable[Lesson], kept: Lessons) -> tuple[LessonProgress, ...]:
    """Return how far each lesson is."""
    graded = [
        Graded(answer.item, answer.quality, day)
        for answer in kept.answers()
        if (day := day_of(answer.at)) is not None
    ]
    known, places = schedules(graded), kept.places()
    found = []
    for lesson in lessons:
        place = places.get(lesson.id)
        page, finished = (place.page, place.finished is not None) if place else (0, False)
        found.append(lesson_progress(lesson, known, page, finished))
    return tuple(found)


def family_words(family: FamilyProgress, today: date) -> str:
    """Say how firm somebody is in a family."""
    if not family.drills:
        return "no drill yet"
    last = ", ".join(f"{points:g}" for points in family.last)
    return (
        f"{family.right} of {family.drills} drills right; last marks of 10: {last}; "
        f"{_when(family.schedule, today)}"
    )


def _when(schedule: Schedule, today: date) -> str:
    """Say whether what has a schedule is firm, and when it is asked again."""
    firm = "firm" if schedule.is_firm(today) else "not firm yet"
    if schedule.due is None:
        return firm
    if schedule.is_due(today):
        return f"due since {schedule.due}" if schedule.due < today else "due today"
    return f"{firm}, next on {schedule.due}"


def lesson_words(lesson: LessonProgress, today: date) -> str:
    """Say how far a lesson is."""
    if lesson.page:
        state = f"left on page {lesson.page + 1} of {lesson.pages}"
    else:
        state = "done" if lesson.finished else "not begun"
    said = [state]
    if any(each.due is not None for each in lesson.questions.values()):
        said.append(f"{lesson.firm(today)} of {len(lesson.questions)} questions firm")
        due = len(lesson.due(today))
        said.append(f"{due} due" if due else f"next on {lesson.next_day}")
    return "; ".join(said)


def _json(
    found: Sequence[FamilyProgress], learnt: Sequence[LessonProgress], today: date
) -> dict[str, Any]:
    return {
        "today": str(today),
        "firm_means": FIRM_IN_WORDS,
        "families": [
            {
                "family": each.family,
                "drills": each.drills,
                "right": each.right,
                "last_marks": list(each.last),
                **_schedule_json(each.schedule, today),
            }
            for each in found
        ],
        "lessons": [
            {
                "lesson": each.lesson,
                "title": each.title,
                "page": each.page + 1,
                "pages": each.pages,
                "finished": each.finished,
                "due": list(each.due(today)),
                "questions": {
                    item: _schedule_json(schedule, today)
                    for item, schedule in each.questions.items()
                },
            }
            for each in learnt
        ],
    }


def _schedule_json(schedule: Schedule, today: date) -> dict[str, Any]:
    return {
        "firm": schedule.is_firm(today),
        "due_now": schedule.is_due(today),
        "next": str(schedule.due) if schedule.due else None,
        "right_in_a_row": schedule.repetitions,
        "easiness": round(schedule.easiness, 2),
    }
