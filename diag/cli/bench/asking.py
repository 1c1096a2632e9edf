"""How the bench commands ask at a terminal for what was not typed beside them."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from diag.bench.inputs import Input, InputGroup, checked
from diag.cli.bench.screen import tell, typed
from diag.cli.guard import Left, WrongUse, say
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.screen import Screen, sentence
from diag.session.commands import Command, read_line

Ask = Callable[[str], str]
Made = TypeVar("Made")


WAYS = "`help`, `again`, `undo`, `skip`, `danger` and `leave` work at every question here"


STOP_NOW = (
    "if anything is wrong now, switch the heater off, get everybody out into fresh air and call "
    "for help; `diag ask` tells what to do next"
)


class LeavesBench(Left):
    """The user leaves in the middle of the questions, perhaps as something is wrong now."""

    def __init__(self, danger: bool = False) -> None:
        super().__init__(STOP_NOW if danger else "left: nothing was worked out")
        self.danger = danger


class TakesBack(Exception):
    """The user takes the latest answer back."""


class Questions:
    """What asks, and what was answered to it so far, the latest last."""

    def __init__(self, ask: Ask, screen: Screen | None = None) -> None:
        """Ask within a session, on its `screen`; else as a command of its own."""
        self._ask, self.screen = ask, screen
        self.answered: list[tuple[Input, bool]] = []

    def __call__(self, question: str) -> str:
        return self._ask(question)

    def refuse(self, message: str) -> None:
        """Say why an answer is not taken."""
        if self.screen is None:
            say(message)
        else:
            self.screen.say(sentence(message))


def asker(as_json: bool, ask: Ask | None) -> Questions | None:
    """Return what asks the person, or nothing when nobody is at a terminal."""
    if ask is None and not as_json and sys.stdin.isatty() and sys.stdout.isatty():
        return Questions(typed)
    return ask if ask is None or isinstance(ask, Questions) else Questions(ask)


def answer(wanted: Input, ask: Questions, answers: dict[str, str], may_skip: bool = True) -> str:
    """Ask for one input until its answer can be read; Enter alone skips what may be skipped.

    `undo` asks again for the input before it and puts that into `answers`. Raises `LeavesBench`.
    """
    unit = "" if wanted.unit in ("", "1") else f" [{wanted.unit}]"

    def read(text: str) -> str:
        line = read_line(text)
        if isinstance(line, Command):
            text = _obeyed(line.word, wanted, may_skip)
        if text or not may_skip:
            checked(wanted, text)
        return text

    question = f"{wanted.question}{unit} "
    while True:
        try:
            text = (
                ask_until(lambda: ask(question), read, lambda error: ask.refuse(str(error))) or ""
            )
        except TakesBack:
            _ask_before(ask, answers)
            continue
        if text:
            ask.answered.append((wanted, may_skip))
        return text


def _obeyed(word: str, wanted: Input, may_skip: bool) -> str:
    """Return the answer that a word of the prompts stands for: none, where that may be.

    Raises `ValueError` with what a word tells, after which the question is put again.
    """
    if word == "leave":
        raise LeavesBench
    if word == "danger":
        raise LeavesBench(danger=True)
    if word == "undo":
        raise TakesBack
    if word in ("unsure", "cannot", "skip check"):
        if may_skip:
            return ""
        raise ValueError(f"the sum needs the {wanted.name}; `leave` stops without it")
    if word == "again":
        raise ValueError(f"once more: the {wanted.name}")
    if word in ("help", "why"):
        better = f"; best {wanted.again}" if wanted.again else ""
        told = wanted.help.rstrip(".") or wanted.name
        raise ValueError(f"{told[:1].lower()}{told[1:]}{better}; {WAYS}")
    raise ValueError(f"`{word}` works in a session, at `diag ask`; {WAYS}")


def _ask_before(ask: Questions, answers: dict[str, str]) -> None:
    """Ask again for what was answered last."""
    if not ask.answered:
        ask.refuse("there is nothing to take back yet")
        return
    before, may_skip = ask.answered.pop()
    answers.pop(before.option, None)
    text = answer(before, ask, answers, may_skip)
    if text:
        answers[before.option] = text


def settle(
    groups: Sequence[InputGroup],
    answers: Mapping[str, str],
    ask: Questions | None,
    cautions: Sequence[str] = (),
) -> tuple[dict[str, str], tuple[InputGroup, ...], tuple[str, ...]]:
    """Ask for what is missing and return answers, complete groups, and what more would tell.

    Groups that were begun are finished; when none was, each is offered. Cautions come before the
    first question. Raises `WrongUse` when no group is complete.
    """
    full = dict(answers)
    begun = [group for group in groups if len(group.lacking(full)) < len(group.inputs)]
    if ask is not None and not any(not group.lacking(full) for group in groups):
        for each in cautions:
            tell(f"caution: {each}", ask.screen)
        refused: set[str] = set()
        for group in begun or groups:
            if not refused & {each.option for each in group.lacking(full)}:
                refused |= _finish(group, full, ask)
    complete = tuple(group for group in groups if not group.lacking(full))
    rest = [group for group in groups if group.lacking(full)]
    if not complete:
        also = [group.would_say(full) for group in (begun or rest)]
        raise WrongUse("; ".join(also))
    return full, complete, tuple(group.would_say(full) for group in rest)


def _finish(group: InputGroup, answers: dict[str, str], ask: Questions) -> set[str]:
    """Ask for a group's inputs until all are there; return the one skipped with Enter."""
    lacking = group.lacking(answers)
    if lacking:
        tell(f"For {group.says} (Enter leaves it out):", ask.screen)
    for wanted in lacking:
        text = answer(wanted, ask, answers)
        if not text:
            return {wanted.option}
        answers[wanted.option] = text
    return set()


def until_believed(
    make: Callable[[Mapping[str, str]], Made],
    answers: dict[str, str],
    inputs: Sequence[Input],
    ask: Questions | None,
) -> Made:
    """Return what `make` makes of the answers; at a terminal a refused input is asked again.

    Nothing else that was entered is lost. Raises `ValueError` when nobody can be asked.
    """

    def again(error: ValueError) -> bool:
        wanted = _refused(str(error), [each for each in inputs if each.option in answers])
        if ask is None or wanted is None:
            return False
        ask.refuse(str(error))
        text = answer(wanted, ask, answers)
        answers[wanted.option] = text or answers[wanted.option]
        return bool(text)

    while True:
        try:
            return make(answers)
        except ValueError as error:
            if not again(error):
                raise


def _refused(message: str, asked: Sequence[Input]) -> Input | None:
    """Return the input that a refusal names first."""
    named = message.removeprefix("`").partition("`")[0]
    exact = [each for each in asked if each.name == named]
    return next(iter([*exact, *(each for each in asked if each.name in named)]), None)
