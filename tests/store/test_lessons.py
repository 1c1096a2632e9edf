"""What was learnt is kept: each answer from its moment on, and the page of each lesson."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.store import Store, StoreError
from diag.store.lessons import LessonAnswer, LessonPlace, Lessons
from diag.store.schema import MIGRATIONS, migrate

ANSWERS = st.lists(st.tuples(st.text(max_size=9), st.integers(0, 5)), max_size=8)


def _lessons(path: Path) -> Lessons:
    return Lessons(Store(path, now=lambda: "t1"))


@settings(max_examples=20, deadline=None)
@given(answers=ANSWERS)
def test_answers_come_back_in_order(
    answers: list[tuple[str, int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Answers come back, also from a second reader, as they were given and in order."""
    path = tmp_path_factory.mktemp("store") / "s.db"
    lessons = _lessons(path)
    for item, quality in answers:
        lessons.answered(item, quality)
    expected = tuple(LessonAnswer(item, quality, "t1") for item, quality in answers)
    assert expected == lessons.answers() == _lessons(path).answers()


@settings(max_examples=20, deadline=None)
@given(turns=st.lists(st.tuples(st.sampled_from("ab"), st.integers(0, 9)), max_size=8))
def test_the_last_page_counts(
    turns: list[tuple[str, int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Each lesson is on the page that was shown last; read to its end, it begins again."""
    path = tmp_path_factory.mktemp("store") / "s.db"
    lessons = _lessons(path)
    for lesson, page in turns:
        lessons.turned(lesson, page)
    assert dict(turns) == {name: place.page for name, place in _lessons(path).places().items()}
    lessons.finished("a")
    assert LessonPlace("a", 0, "t1", "t1") == _lessons(path).places()["a"]
    lessons.turned("a", 3)
    assert LessonPlace("a", 3, "t1", "t1") == _lessons(path).places()["a"]


def test_a_quality_outside_the_scale_is_refused(tmp_path: Path) -> None:
    """A quality that is none is refused, and nothing is kept of it."""
    lessons = _lessons(tmp_path / "s.db")
    with pytest.raises(ValueError, match=r"^the quality of an answer is 6: expected 0 to 5$"):
        lessons.answered("a", 6)
    assert () == lessons.answers()


def test_a_file_of_the_step_before_is_brought_up(tmp_path: Path) -> None:
    """A file without lessons, with a drill in it, takes lessons and keeps its drill."""
    path = tmp_path / "s.db"
    raw = sqlite3.connect(path, isolation_level=None)
    before = MIGRATIONS[: [each.__name__ for each in MIGRATIONS].index("m004_lessons")]
    migrate(raw, path, before)
    raw.execute(
        "insert into drills (id, begun, level, unit, fault, seed, number, rules) "
        "values ('d1', 't0', 1, 'u', 'f', 1, 1, 'r')"
    )
    raw.close()
    store = Store(path, now=lambda: "t1")
    Lessons(store).answered("a", 4)
    assert [("d1",)] == store.rows("select id from drills")
    assert (LessonAnswer("a", 4, "t1"),) == Lessons(store).answers()


def test_what_is_damaged_is_left_out(tmp_path: Path) -> None:
    """An answer of no quality is left out, and a page that is none is the first."""
    path = tmp_path / "s.db"
    store = Store(path, now=lambda: "t1")
    lessons = Lessons(store)
    lessons.answered("a", 4)
    lessons.turned("b", 2)
    with store.transaction() as connection:
        connection.execute("insert into lesson_answers (item, quality, at) values ('a', 'x', 't1')")
        connection.execute("insert into lesson_answers (item, quality, at) values ('a', 77, 't1')")
        connection.execute("update lesson_pages set page = 'x'")
    assert (LessonAnswer("a", 4, "t1"),) == lessons.answers()
    assert 0 == lessons.places()["b"].page


def test_a_newer_file_is_refused(tmp_path: Path) -> None:
    """A file that a newer version wrote is refused in a sentence, and stays as it was."""
    path = tmp_path / "s.db"
    Store(path).close()
    raw = sqlite3.connect(path)
    raw.execute(f"pragma user_version = {len(MIGRATIONS) + 1}")
    raw.close()
    with pytest.raises(StoreError, match="was written by a newer version"):
        Store(path)
