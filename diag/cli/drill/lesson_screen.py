"""What a page of a lesson looks like: the same at the keyboard and whole in a pipe."""

from __future__ import annotations

from diag.cli.terminal.screen import Screen
from diag.model.phrasing import small
from diag.model.rulebook import Rulebook
from diag.practice.lessons import pages
from diag.practice.lessons.bench import LessonBench
from diag.practice.lessons.lesson import Lesson, LessonStep


class LessonScreen:
    """Show the pages of one lesson."""

    def __init__(self, screen: Screen, bench: LessonBench, book: Rulebook) -> None:
        self._screen, self._bench, self._book = screen, bench, book

    @property
    def lesson(self) -> Lesson:
        """Return the lesson that is shown."""
        return self._bench.lesson

    def heading(self, page: int) -> None:
        """Write which page of which lesson this is."""
        self._screen.heading(f"{self.lesson.id}, page {page + 1} of {self.lesson.page_count}")

    def why(self) -> None:
        """Write why it is so."""
        self._screen.say(self.lesson.title, bold=True)
        heater = small(self._book.units[self.lesson.kind].title)
        self._screen.say(f"The heater here: {heater}, invented.")
        for text in pages.why(self._bench):
            self._screen.say()
            self._screen.say(text)

    def cautions(self) -> None:
        """Write what to mind, if anything."""
        self._screen.say()
        for name in self.lesson.cautions:
            self._screen.item("Caution:", self._book.cautions[name], indent=0, width=9)

    def asked(self, step: LessonStep) -> pages.AskedPage:
        """Return a step's question with its numbers filled in."""
        return pages.asked(self._bench, step)

    def question(self, asked: pages.AskedPage) -> None:
        """Write a question and its numbered answers."""
        self._screen.say(asked.ask, bold=True)
        for number, choice in enumerate(asked.choices, 1):
            self._screen.item(str(number), choice, width=2)

    def answers(self, asked: pages.AskedPage) -> None:
        """Write what each answer means, the right one first."""
        self._screen.say(f"Answer: {asked.right + 1}. {asked.meant[asked.right]}")
        for number, meant in enumerate(asked.meant):
            if number != asked.right:
                self._screen.item(str(number + 1), meant, width=2)

    def told(self, step: LessonStep) -> None:
        """Write the readings of a step's unit, and what follows from them."""
        shown = pages.readings(self._bench, step)
        if shown:
            beside = " (in brackets: without its fault)" if self.lesson.fault else ""
            self._screen.say()
            self._screen.say(f"Read on this heater{beside}:")
        for reading in shown:
            sound = f" ({reading.sound})" if self.lesson.fault else ""
            self._screen.item(f"{reading.finding}:", f"{reading.here}{sound}", width=0)
        self._screen.say()
        for text in pages.told(self._bench, step):
            self._screen.say(text)

    def picture(self, step: LessonStep) -> None:
        """Draw a step's picture where there is drawing, else say the same; nothing without one."""
        made = pages.drawing(self._bench, step, self._book, self._screen.width)
        if made is None:
            return
        self._screen.heading(made.title)
        if self._screen.draws:
            self._screen.lines(made.rows)
        for line in made.key if self._screen.draws else made.words:
            self._screen.say(line)

    def practice(self) -> None:
        """Write what to practise now."""
        causes = [self._book.causes[name].title for name in self.lesson.practise]
        self._screen.say("Now practise it on a heater that has one of these:", bold=True)
        for title in causes:
            self._screen.outline(f"  - {title}")
        self._screen.say(f"Begin with: diag drill --lesson {self.lesson.number}")
