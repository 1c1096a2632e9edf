"""`diag drill lessons`: list the lessons, ask again what is due, go through one page by page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from datetime import date

from diag.cli.drill.lesson_screen import LessonScreen
from diag.cli.drill.progress import families_so_far, lesson_words, lessons_so_far
from diag.cli.drill.setting import lesson_named, lessons_of, setting
from diag.cli.guard import WrongUse
from diag.cli.stored import open_own_store
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source, at_keyboard, source_of
from diag.model.rulebook import Rulebook
from diag.practice.lessons import pages
from diag.practice.lessons.bench import LessonBench
from diag.practice.lessons.lesson import Lesson, LessonStep
from diag.practice.progress import day_of
from diag.practice.spacing import KNOWN
from diag.store.drills import Drills
from diag.store.lessons import Lessons

RIGHT, WRONG, NOT_KNOWN = 4, 2, 0
"""The quality of an answer: with choices to pick from, none is known without hesitation."""
ON, BACK, QUIT = "", "back", "quit"
NOT_SURE = "?"


def run_lessons(name: str | None, plain: bool = False) -> int:
    """Run the command; return the exit code."""
    screen = Screen(plain=plain)
    of = setting()
    book, world, lessons = of.book, of.files, lessons_of(of)
    lesson = lesson_named(lessons, name) if name is not None else None
    typing = at_keyboard()
    if lesson is not None and not typing:
        _whole(LessonScreen(screen, LessonBench(lesson, book, world), book))
        return 0
    with closing(open_own_store()) as store:
        kept, today = Lessons(store), day_of(store.now())
        assert today is not None
        if lesson is not None:
            bench = LessonBench(lesson, book, world)
            return _AtKeyboard(screen, source_of(screen), kept, bench, book).read()
        drilled = families_so_far(book, Drills(store))
        waiting = [each.family for each in drilled if each.schedule.is_due(today)]
        due = _list(screen, lessons.values(), kept, today, waiting)
        if due and typing:
            source = source_of(screen)
            return _ask_due(screen, source, kept, book, [
                (LessonBench(each, book, world), step) for each, step in due
            ])  # fmt: skip
    return 0


def _whole(shown: LessonScreen) -> None:
    """Write all pages of a lesson, as nobody is there to turn them."""
    shown.heading(0)
    shown.why()
    shown.cautions()
    for page, step in enumerate(shown.lesson.steps, 1):
        shown.heading(page)
        asked = shown.asked(step)
        shown.question(asked)
        shown.answers(asked)
        shown.told(step)
        shown.picture(step)
    shown.heading(len(shown.lesson.steps) + 1)
    shown.practice()


def _list(
    screen: Screen,
    lessons: Iterable[Lesson],
    kept: Lessons,
    today: date,
    families: Sequence[str],
) -> list[tuple[Lesson, LessonStep]]:
    """List the lessons, and the families that are due; return the questions that are due."""
    listed = list(lessons)
    found = lessons_so_far(listed, kept)
    due = []
    for lesson, progress in zip(listed, found, strict=True):
        screen.item(f"{lesson.number} {lesson.id}:", lesson_words(progress, today), width=0)
        waiting = progress.due(today)
        due += [(lesson, step) for step in lesson.steps if lesson.item(step) in waiting]
    screen.say()
    left = [lesson for lesson, one in zip(listed, found, strict=True) if not one.finished]
    first = (left or listed)[:1]
    screen.say(
        f"Go through one by its number: diag drill lessons {first[0].number if first else 1}"
    )
    if families:
        screen.say(f"Due for a drill: {', '.join(families)}. Begin with: diag drill")
    if due:
        what = "1 question is" if len(due) == 1 else f"{len(due)} questions are"
        screen.say(f"{what} due to be asked again.", bold=True)
    return due


class _Left(Exception):
    """Somebody goes away, or back, in the middle of a page."""

    def __init__(self, word: str) -> None:
        super().__init__(word)
        self.word = word


class _Asking:
    """Put questions at a keyboard, and keep how each was answered."""

    def __init__(self, screen: Screen, source: Source, kept: Lessons) -> None:
        self._screen, self._source, self._kept = screen, source, kept

    def wait(self, for_what: str = "Enter goes on") -> None:
        """Wait for Enter; raises `_Left` at `back`, `quit` or the end of the input."""

        def read(word: str) -> str:
            if word.lower() not in (ON, BACK, QUIT):
                raise WrongUse(f"press Enter, or type `{BACK}` or `{QUIT}`")
            return word.lower()

        self._screen.say(f"{for_what}; `{BACK}`, `{QUIT}`.")
        word = self._line(read)
        if word != ON:
            raise _Left(str(word))

    def put(self, shown: LessonScreen, asked: pages.AskedPage) -> bool:
        """Ask until the right answer is given, and explain each; return if the first was right.

        The first answer is kept at once: whoever goes away after it has given it all the same.
        """
        shown.question(asked)
        self._screen.say(f"Type a number, or `{NOT_SURE}` if you do not know.")
        first: int | None = None
        while True:
            picked = self._line(lambda text: _picked(text, asked))
            if isinstance(picked, str) and picked != NOT_SURE:
                raise _Left(picked)
            right = picked == asked.right
            quality = RIGHT if right else NOT_KNOWN if picked == NOT_SURE else WRONG
            if first is None:
                self._kept.answered(asked.item, quality)
                first = quality
            if right:
                self._screen.say(asked.meant[asked.right])
                return first >= KNOWN
            if picked == NOT_SURE:
                shown.answers(asked)
                return False
            assert isinstance(picked, int)
            self._screen.say(f"{asked.meant[picked]} Try again.")

    def _line(self, read: Callable[[str], int | str]) -> int | str:
        def refuse(error: ValueError | WrongUse) -> None:
            self._screen.say(sentence(str(error)))

        found = ask_until(lambda: self._source.read(""), read, refuse)
        return QUIT if found is None else found


def _picked(text: str, asked: pages.AskedPage) -> int | str:
    """Read an answer: the place of a choice from 0, or a word; raises `WrongUse`."""
    word = " ".join(text.lower().split())
    if word in (BACK, QUIT, NOT_SURE):
        return word
    count = len(asked.choices)
    for number, choice in enumerate(asked.choices):
        if word in (str(number + 1), choice.lower()):
            return number
    raise WrongUse(
        f"type a number from 1 to {count}, `{NOT_SURE}` if you do not know, `{BACK}` or `{QUIT}`"
    )


class _AtKeyboard:
    """One lesson at a keyboard, from the page where it was left."""

    def __init__(
        self, screen: Screen, source: Source, kept: Lessons, bench: LessonBench, book: Rulebook
    ) -> None:
        self._screen, self._kept = screen, kept
        self._shown = LessonScreen(screen, bench, book)
        self._asking = _Asking(screen, source, kept)
        self._missed: list[LessonStep] = []

    def read(self) -> int:
        """Go through the lesson until its end or until somebody leaves; return the exit code."""
        lesson = self._shown.lesson
        count = lesson.page_count
        place = self._kept.places().get(lesson.id)
        page = min(place.page, count - 1) if place else 0
        while page < count:
            self._kept.turned(lesson.id, page)
            try:
                self._page(page, count)
                page += 1
            except _Left as left:
                if left.word == QUIT:
                    self._screen.say(f"Saved. Go on with: diag drill lessons {lesson.number}")
                    return 0
                page = max(0, page - 1)
        self._kept.finished(lesson.id)
        (progress,) = lessons_so_far([lesson], self._kept)
        self._screen.say(
            f"The lesson is done. Its questions come again from {progress.next_day} on."
        )
        return 0

    def _page(self, page: int, count: int) -> None:
        shown = self._shown
        shown.heading(page)
        if page == 0:
            shown.why()
            if shown.lesson.cautions:
                self._asking.wait("Enter shows what to mind")
                shown.cautions()
        elif page == count - 1:
            self._once_more()
            shown.practice()
        else:
            self._step(shown.lesson.steps[page - 1])
        self._asking.wait("Enter ends the lesson" if page == count - 1 else "Enter goes on")

    def _step(self, step: LessonStep) -> None:
        if not self._asking.put(self._shown, self._shown.asked(step)) and step not in self._missed:
            self._missed.append(step)
        self._shown.told(step)
        if step.picture:
            self._asking.wait("Enter shows the picture")
            self._shown.picture(step)

    def _once_more(self) -> None:
        """Ask what was missed once more on the same day, as the rule of spacing wants it."""
        while self._missed:
            step = self._missed[0]
            self._screen.say("Once more, as it was missed:")
            if not self._asking.put(self._shown, self._shown.asked(step)):
                self._missed.append(step)
            self._missed.pop(0)


def _ask_due(
    screen: Screen,
    source: Source,
    kept: Lessons,
    book: Rulebook,
    due: Iterable[tuple[LessonBench, LessonStep]],
) -> int:
    """Ask what is due, one question after the other; return the exit code."""
    asking = _Asking(screen, source, kept)
    try:
        asking.wait("Enter asks them")
        for bench, step in due:
            shown = LessonScreen(screen, bench, book)
            screen.heading(shown.lesson.id)
            asking.put(shown, shown.asked(step))
            shown.told(step)
    except _Left:
        screen.say("Saved. What is left is asked the next time.")
        return 0
    screen.say("That was all that is due.")
    return 0
