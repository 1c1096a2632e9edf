"""A filled sheet typed in, box by box; whatever is accepted is on the disk before the next one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from diag.authoring.sequence.boxes import BenchSheet, Box, BoxedStep
from diag.authoring.sequence.boxes_text import PROOF, ringed, written_in
from diag.cli.account.where import show_inconsistency
from diag.cli.ask.dangers import DangerEar
from diag.cli.ask.words.correcting import Corrector
from diag.cli.enter.words import obey
from diag.cli.guard import WrongUse
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.prompts import show_stop
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.model.frozen import frozen
from diag.model.phrasing import capital
from diag.session.commands import Command, Line, read_line
from diag.session.controller import SessionController
from diag.session.inconsistent import inconsistency_in
from diag.session.journal.effective import latest_act
from diag.session.prompt import AskFinding, AskTogether

Read = TypeVar("Read")
END = ("end", "done")
MISTYPED = (
    "If the sheet says otherwise: `undo` takes the last box back, `change NAME = VALUE` corrects "
    "another."
)
LEFT_OPEN = ("unsure", "cannot")
"""What passes over a question in a session leaves a box open."""
WHY = "it is a box of the sheet"


class LeavesSheet(Exception):
    """The user leaves in the middle of the sheet, or the input ends there."""


class EndsSheet(Exception):
    """The rest of the boxes was not filled in."""


class GoesBack(Exception):
    """The answer before is to be typed again."""


class AsksAgain(Exception):
    """What was typed at a box is done, as a danger taken down; the box is still open."""


class LeavesCheck(Exception):
    """All that is left of the check is left open."""


@frozen
class BoxQuestion:
    """One box, or all of a check that are put as one: which of these are true?"""

    step: BoxedStep
    boxes: tuple[Box, ...]

    @property
    def asked(self) -> AskFinding | AskTogether:
        """Return the question as a session puts it."""
        check = self.step.check
        if check is not None and self.step.as_one:
            return AskTogether(check, tuple(one.finding for one in self.boxes), WHY)
        return AskFinding(self.boxes[0].finding, check, False, WHY)


def box_questions(sheet: BenchSheet, *, after: bool) -> tuple[BoxQuestion, ...]:
    """Return what is asked in the order of the sheet: before a repair, or in the run after it."""
    if not after:
        return tuple(one for step in sheet.steps for one in _questions(step))
    steps = (*sheet.steps, sheet.proof)
    return tuple(BoxQuestion(one, (box,)) for one in steps for box in one.boxes if box.after)


def _questions(step: BoxedStep) -> Iterator[BoxQuestion]:
    if step.as_one:
        yield BoxQuestion(step, step.boxes)
    else:
        yield from (BoxQuestion(step, (box,)) for box in step.boxes)


class Filling:
    """Asks for boxes, and for what else a sheet has room for."""

    def __init__(self, controller: SessionController, screen: Screen, source: Source) -> None:
        self.controller, self._screen, self._source = controller, screen, source
        self._dangers = DangerEar(controller, screen, source)
        self._corrector = Corrector(controller, screen, source, self._dangers)
        self._warned: tuple[str, tuple[str, ...]] | None = None

    def fill(self, questions: Sequence[BoxQuestion]) -> None:
        """Ask one after the other; raises `LeavesSheet`."""
        at, typed = 0, list[tuple[int, int]]()
        shown: BoxedStep | None = None
        while at < len(questions):
            one = questions[at]
            if one.step is not shown:
                self._screen.heading(capital(one.step.check.id) if one.step.check else PROOF)
                shown = one.step
            try:
                if self._answered(one):
                    typed.append((at, len(self.controller.state.journal) - 1))
                    self._warn()
                at += 1
            except GoesBack:
                at = self._back(typed, at)
            except AsksAgain:
                pass
            except LeavesCheck:
                at = next(
                    (n for n in range(at, len(questions)) if questions[n].step is not one.step),
                    len(questions),
                )
            except EndsSheet:
                return
            self._stop_at_dangers()

    def _warn(self) -> None:
        """Say once of readings that cannot all be true, as a slip of the pen or the key."""
        found = inconsistency_in(self.controller.state)
        if found and (found.say, found.readings) != self._warned:
            show_inconsistency(self._screen, found)
            self._screen.say(MISTYPED)
        self._warned = (found.say, found.readings) if found else None

    def _back(self, typed: list[tuple[int, int]], at: int) -> int:
        """Take the answer to the box before back; return where to go on."""
        latest = latest_act(self.controller.state.journal)
        if not typed or typed[-1][1] != latest:
            self._screen.say("There is no box to go back to; `change` corrects in the session.")
            return at
        try:
            self.controller.undo()
        except ValueError as error:
            self._refuse(error)
            return at
        return typed.pop()[0]

    def _answered(self, one: BoxQuestion) -> bool:
        """Ask for a box; return whether it was filled in."""

        def read(text: str) -> bool:
            if not text:
                return False
            line = self._word(text, one)
            if line is None:
                return False
            try:
                self.controller.fill_in(one.asked, line)
            except ValueError:
                self._hear_danger(text)
                raise
            return True

        def put() -> None:
            self._put(one)

        return self._until(read, put)

    def ask(self, question: str, read: Callable[[str], Read]) -> Read | None:
        """Ask for what is no reading; None at Enter alone. Raises `LeavesSheet`."""

        def put() -> None:
            self._screen.say(question, bold=True)

        def taken(text: str) -> Read | None:
            word = read_line(text)
            if isinstance(word, Command) and word.word == "leave":
                raise LeavesSheet
            return read(text) if text else None

        return self._until(taken, put)

    def _until(self, read: Callable[[str], Read], put: Callable[[], None]) -> Read:
        put()
        ended = True

        def taken(text: str) -> Read:
            nonlocal ended
            found = read(text)
            ended = False
            return found

        found = ask_until(lambda: self._source.read(""), taken, self._refuse)
        if ended:
            raise LeavesSheet
        return found  # type: ignore[return-value]  # the lines did not end

    def _word(self, text: str, one: BoxQuestion) -> Line | None:
        """Return a line that answers, None for a box left open; obey what works at a box."""
        read = read_line(text)
        if text.lower() in END:
            raise EndsSheet
        if isinstance(read, Line):
            return read
        if read.word in LEFT_OPEN:
            return None
        if read.word == "skip check":
            raise LeavesCheck
        if read.word == "leave":
            raise LeavesSheet
        if read.word == "undo":
            raise GoesBack
        if read.word == "danger":
            if not (read.argument and self._dangers.take(text)):
                self._dangers.ask()
        else:
            obey(read, one.asked, self.controller, self._screen, self._corrector)
        raise AsksAgain

    def _put(self, one: BoxQuestion) -> None:
        if one.step.as_one:
            assert one.step.check
            self._screen.say(one.step.check.together, bold=True)
            for place, box in enumerate(one.boxes, 1):
                self._screen.item(str(place), box.finding.ask, width=2)
            self._screen.say("Type `none`, or the numbers of those that are true.")
            return
        box = one.boxes[0]
        ring = ", ".join(mark for mark, _ in ringed(box.finding))
        hint = f"[{ring}]" if ring else written_in(box.finding)
        self._screen.say(f"{box.number}. {box.finding.ask} {hint}".rstrip(), bold=True)

    def _hear_danger(self, text: str) -> None:
        """Read back what a line that is no answer tells of danger, and take it down if it is so."""
        if self._dangers.take(f"say {text}"):
            raise AsksAgain

    def _stop_at_dangers(self) -> None:
        """Say at once what to do about a danger, and go on once that is done."""
        state = self.controller.state
        while state.dangers.unheeded:
            show_stop(self._screen, state.rulebook.dangers[state.dangers.unheeded[0]])

            def read(text: str) -> None:
                word = read_line(text)
                if isinstance(word, Command) and word.word == "leave":
                    raise LeavesSheet
                self.controller.answer(Line(text))

            self._until(read, lambda: None)

    def _refuse(self, error: ValueError | WrongUse) -> None:
        self._screen.say(sentence(str(error)))
