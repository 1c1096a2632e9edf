"""How the bench commands ask at a terminal for what was not typed beside them."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from diag.bench.inputs import Input, InputGroup, checked
from diag.cli.bench.screen import tell, typed
from diag.cli.guard import WrongUse, say
from diag.cli.terminal.asking import ask_until

Ask = Callable[[str], str]
Made = TypeVar("Made")


def asker(as_json: bool, ask: Ask | None) -> Ask | None:
    """Return what asks the person, or nothing when nobody is at a terminal."""
    if ask is None and not as_json and sys.stdin.isatty() and sys.stdout.isatty():
        return typed
    return ask


def answer(wanted: Input, ask: Ask, may_skip: bool = True) -> str:
    """Ask for one input until its answer can be read; Enter alone skips what may be skipped."""
    unit = "" if wanted.unit in ("", "1") else f" [{wanted.unit}]"

    def read(text: str) -> str:
        if text or not may_skip:
            checked(wanted, text)
        return text

    question = f"{wanted.question}{unit} "
    return ask_until(lambda: ask(question), read, lambda error: say(str(error))) or ""


def settle(
    groups: Sequence[InputGroup],
    answers: Mapping[str, str],
    ask: Ask | None,
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
            tell(f"caution: {each}")
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


def _finish(group: InputGroup, answers: dict[str, str], ask: Ask) -> set[str]:
    """Ask for a group's inputs until all are there; return the one skipped with Enter."""
    lacking = group.lacking(answers)
    if lacking:
        tell(f"For {group.says} (Enter leaves it out):")
    for wanted in lacking:
        text = answer(wanted, ask)
        if not text:
            return {wanted.option}
        answers[wanted.option] = text
    return set()


def until_believed(
    make: Callable[[Mapping[str, str]], Made],
    answers: dict[str, str],
    inputs: Sequence[Input],
    ask: Ask | None,
) -> Made:
    """Return what `make` makes of the answers; at a terminal a refused input is asked again.

    Nothing else that was entered is lost. Raises `ValueError` when nobody can be asked.
    """

    def again(error: ValueError) -> bool:
        wanted = _refused(str(error), [each for each in inputs if each.option in answers])
        if ask is None or wanted is None:
            return False
        say(str(error))
        text = answer(wanted, ask)
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
