"""How the bench sums are shown: figures with their sums, verdicts, notes, cautions."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import floor, log10
from typing import Any

from diag.cli.bench.readings import Figure, Reading, Verdict
from diag.cli.terminal.printable import printable
from diag.model.quantity import plain_number

WIDTH = 79
NAME, VALUE = 22, 20
ALSO = " as well I could also say"
STOP = "stop"


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


def wrapped(text: str, width: int = WIDTH, indent: str = "  ") -> list[str]:
    """Return a paragraph as lines of at most 79 columns; a number keeps its unit beside it.

    >>> wrapped("the drop is within 0.36 V", width=24)
    ['the drop is within', '  0.36 V']
    """
    glued = re.sub(r"(?<=[0-9]) (?=[A-Za-z%])", "\0", printable(text, keep=""))
    parts = textwrap.wrap(glued, width, subsequent_indent=indent, break_on_hyphens=False)
    return [part.replace("\0", " ") for part in parts]


def row(name: str, value: str, how: str) -> list[str]:
    """Return one figure as a line, or more when its sum is long."""
    head = f"{name:<{NAME}} {value:<{VALUE}} "
    body = wrapped(how, WIDTH - len(head), indent="")
    first = (head + (body[0] if body else "")).rstrip()
    return [first, *(" " * len(head) + more for more in body[1:])]


def lines(told: Told) -> list[str]:
    """Return the screen, at most 79 columns wide; a reason to stop comes before all else."""
    shown = [line for stop in _sentences(told, stop=True) for line in wrapped(stop)]
    for each in told.figures:
        shown += row(each.name, amount(each.value, each.error, each.unit), each.how)
    shown += told.drawing
    for text in _paragraphs(told):
        shown += wrapped(text)
    return shown


def _sentences(told: Told, stop: bool) -> list[str]:
    return [each.sentence for each in told.verdicts if (each.verdict == STOP) is stop]


def _paragraphs(told: Told) -> Iterable[str]:
    yield from _sentences(told, stop=False)
    if told.assumed:
        yield f"assumed: {', '.join(told.assumed)}"
    more = [note.removeprefix("with ") for note in told.notes if ALSO in note]
    if more:
        yield "with " + "; with ".join([more[0], *(each.replace(ALSO, "") for each in more[1:])])
    yield from (note for note in told.notes if ALSO not in note)
    yield from (f"caution: {each}" for each in told.cautions)


def _key(name: str) -> str:
    return name.replace(",", "").replace(" ", "_").replace("-", "_")


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
