"""What was learnt, kept beside the sessions: each answer to a lesson's question, and each page."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.store.sessions import Store


@frozen
class LessonAnswer:
    """An answer to an item: its quality from 0 to 5, and when it was given."""

    item: str
    quality: int
    at: str


@frozen
class LessonPlace:
    """Where somebody is in a lesson: the page, and when it was last read to its end, if ever."""

    lesson: str
    page: int
    at: str
    finished: str | None = None


class Lessons:
    """The lessons of a store. Each call that writes is on the disk when it returns."""

    def __init__(self, store: Store) -> None:
        """Take the lessons of a store."""
        self._store = store

    def answered(self, item: str, quality: int) -> None:
        """Keep an answer to an item; `ValueError` for a quality outside 0 to 5."""
        if not 0 <= quality <= 5:
            raise ValueError(f"the quality of an answer is {quality}: expected 0 to 5")
        with self._store.transaction() as connection:
            connection.execute(
                "insert into lesson_answers (item, quality, at) values (?, ?, ?)",
                (item, quality, self._store.now()),
            )

    def answers(self) -> tuple[LessonAnswer, ...]:
        """Return all answers in the order in which they were given; damaged ones are left out."""
        rows = self._store.rows("select item, quality, at from lesson_answers order by number")
        return tuple(
            LessonAnswer(str(item), quality, str(at))
            for item, quality, at in rows
            if isinstance(quality, int) and 0 <= quality <= 5
        )

    def turned(self, lesson: str, page: int) -> None:
        """Keep the page, from 0, that is shown of a lesson."""
        with self._store.transaction() as connection:
            connection.execute(
                "insert into lesson_pages (lesson, page, at) values (?, ?, ?) "
                "on conflict (lesson) do update set page = excluded.page, at = excluded.at",
                (lesson, page, self._store.now()),
            )

    def finished(self, lesson: str) -> None:
        """Keep that a lesson was read to its end; it begins at its first page again."""
        now = self._store.now()
        with self._store.transaction() as connection:
            connection.execute(
                "insert into lesson_pages (lesson, page, at, finished) values (?, 0, ?, ?) "
                "on conflict (lesson) do update set page = 0, at = excluded.at, "
                "finished = excluded.finished",
                (lesson, now, now),
            )

    def places(self) -> dict[str, LessonPlace]:
        """Return where each lesson is that was begun, by its id; damaged ones at their start."""
        rows = self._store.rows("select lesson, page, at, finished from lesson_pages")
        return {
            str(lesson): LessonPlace(
                str(lesson), page if isinstance(page, int) and page > 0 else 0, str(at), finished
            )
            for lesson, page, at, finished in rows
        }
