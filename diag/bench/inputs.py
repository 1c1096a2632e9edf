"""What a person may type at the bench: tables of inputs, and a typed text read by its input."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from diag.bench.amounts import read_amount, read_error
from diag.bench.figures import Measurement
from diag.bench.report import to_learn
from diag.model.frozen import frozen
from diag.physics.errors import above

NO_ERROR = "0 %"


@frozen
class Input:
    """One thing that a command takes: its option, name and unit, and its meter's usual error.

    `question` asks for it, `again` says how to take it better; with `most`, its value lies above
    0 and not above that. `help` and `shape` (the option's placeholder) are for the command line;
    an input without help is no option. `check` refuses a text that is no measurement, such as the
    name of a fuel. The usual errors are common practice, no source; a reading may carry its own,
    as in `12.5 m/s +- 2 %`.
    """

    option: str
    name: str
    unit: str = ""
    question: str = ""
    error: str = NO_ERROR
    again: str = ""
    read: Callable[[str, str, str], float] = read_amount
    most: float | None = None
    help: str = ""
    shape: str = ""
    given: Literal["once", "often", "flag"] = "once"
    check: Callable[[str], object] | None = None


@frozen
class InputGroup:
    """Inputs that belong together, and what can be said when all are there."""

    says: str
    inputs: tuple[Input, ...]

    def lacking(self, answers: Mapping[str, str]) -> tuple[Input, ...]:
        """Return the inputs that are not there yet."""
        return tuple(each for each in self.inputs if each.option not in answers)

    def would_say(self, answers: Mapping[str, str]) -> str:
        """Say which options to add, and what they tell then.

        >>> group = InputGroup("its charge", (Input("kind", "kind"), Input("rested", "rest")))
        >>> group.would_say({"kind": "gel"})
        'add `--rested` to learn its charge'
        """
        return to_learn(options(self.lacking(answers)), self.says)


def options(inputs: Sequence[Input]) -> str:
    """Return the options as a list in words."""
    names = [f"`--{each.option}`" for each in inputs]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def checked(of: Input, text: str) -> None:
    """Raise `ValueError` with one sentence for a text that cannot be read."""
    (of.check or (lambda typed: measured(of, typed)))(text)


def measured(of: Input, text: str) -> Measurement:
    """Read a typed value, with its own error after `+-` or else its meter's usual one.

    Raises `ValueError` with one sentence for what cannot be read.

    >>> got = measured(Input("speed", "air speed", "m/s"), "12,5 m/s +- 2 %")
    >>> got.value, got.error
    (12.5, 0.25)
    """
    typed, mark, error = text.replace("±", "+-").partition("+-")
    value = of.read(of.name, typed, of.unit)
    if of.most is not None:
        above(of.name, value, of.unit, of.most)
    half = _half_width(of, error if mark else of.error, value)
    return Measurement(of.name, value, half, of.unit, not mark, of.again)


def _half_width(of: Input, text: str, value: float) -> float:
    unit = of.unit
    if unit == "C":  # an error is a difference, and people write `1 C` for it
        text, unit = re.sub("°?C", "K", text), "K"
    if unit == "%":  # an error of 0.3 % on a gas reading is in points, not a part of it
        text = text.replace("%", "")
    return read_error(f"error of {of.name}", text, unit, value)
