"""How the bench sums are shown: figures with their sums, verdicts, notes, cautions."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import floor, log10
from typing import Any

from diag.cli.printable import printable
from diag.cli.readings import Figure, Reading, Verdict
from diag.model.quantity import plain_number

WIDTH = 79
NAME, VALUE = 21, 21


@dataclass(frozen=True, slots=True)
class Told:
    """All that a command has to say, for the screen and for `--json`.

    `extra` holds a command's own JSON fields, `drawing` its own lines.
    """

    readings: Sequence[Reading]
    figures: Sequence[Figure]
    verdicts: Sequence[Verdict]
    assumed: Sequence[str] = ()
    notes: Sequence[str] = ()
    cautions: Sequence[str] = ()
    drawing: Sequence[str] = ()
    extra: dict[str, Any] = field(default_factory=dict)


def amount(value: float, error: float, unit: str) -> str:
    """Write a value as finely as its error allows.

    >>> amount(2.3571, 0.131, "kW"), amount(0.0798, 0.0, "ohm")
    ('2.36 kW +- 0.13', '0.0798 ohm')
    """
    symbol = "" if unit == "1" else f" {unit}"
    if error <= 0:
        return f"{plain_number(float(f'{value:.4g}'))}{symbol}"
    places = min(4, max(0, 1 - floor(log10(error))))
    return f"{value:.{places}f}{symbol} +- {error:.{places}f}"


def wrapped(text: str, indent: str = "  ") -> list[str]:
    """Return a paragraph as lines of at most 79 columns."""
    return textwrap.wrap(
        printable(text, keep=""), WIDTH, subsequent_indent=indent, break_on_hyphens=False
    )


def row(name: str, value: str, how: str) -> list[str]:
    """Return one figure as a line, or more when its sum is long."""
    head = f"{name:<{NAME}} {value:<{VALUE}} "
    body = textwrap.wrap(printable(how, keep=""), WIDTH - len(head), break_on_hyphens=False)
    first = (head + (body[0] if body else "")).rstrip()
    return [first, *(" " * len(head) + more for more in body[1:])]


def lines(told: Told) -> list[str]:
    """Return the screen, at most 79 columns wide."""
    shown = [
        line
        for each in told.figures
        for line in row(each.name, amount(each.value, each.error, each.unit), each.how)
    ]
    said: list[str] = []
    for text in _paragraphs(told):
        said += wrapped(text)
    return [*shown, *told.drawing, *said]


def _paragraphs(told: Told) -> Iterable[str]:
    yield from (each.sentence for each in told.verdicts)
    if told.assumed:
        yield f"assumed: {', '.join(told.assumed)}"
    yield from told.notes
    yield from (f"caution: {each}" for each in told.cautions)


def _key(name: str) -> str:
    return name.replace(" ", "_").replace("-", "_")


def as_object(told: Told) -> dict[str, Any]:
    """Return what `--json` prints: readings, figures with sums and sources, verdicts."""
    return {
        "readings": {
            _key(each.name): {
                "value": each.value,
                "error": each.error,
                "unit": each.unit,
                "error_assumed": each.error_assumed,
            }
            for each in told.readings
        },
        "assumed": list(told.assumed),
        "figures": {
            _key(each.name): {
                "value": each.value,
                "error": each.error,
                "unit": each.unit,
                "how": each.how,
                "source": each.source,
                "error_shares": dict(each.shares),
            }
            for each in told.figures
        },
        "verdicts": {
            _key(each.about): {
                "verdict": each.verdict,
                "sentence": each.sentence,
                "weakest_reading": each.weakest,
            }
            for each in told.verdicts
        },
        **told.extra,
        "notes": list(told.notes),
        "cautions": list(told.cautions),
    }


def show(told: Told, as_json: bool) -> None:
    """Print the result, as lines for people or as one JSON object."""
    if as_json:
        import json

        print(json.dumps(as_object(told), indent=2))
    else:
        print("\n".join(lines(told)))
