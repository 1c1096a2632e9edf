"""What a bench sum has to say, as frozen data and as an object for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from typing import Any

from diag.bench.figures import DerivedFigure, Judgement, Measurement
from diag.model.frozen import frozen

ADD = "add "
STOP = "stop"


def to_learn(options: str, what: str) -> str:
    """Say what to give as well, and what it tells then.

    >>> to_learn("`--tank`", "the hours on a tank")
    'add `--tank` to learn the hours on a tank'
    """
    return f"{ADD}{options} to learn {what}"


def without_options(notes: Iterable[str]) -> tuple[str, ...]:
    """Return the notes that name no options to add, for where none can be given.

    >>> without_options(["mind the step", to_learn("`--tank`", "the hours on a tank")])
    ('mind the step',)
    """
    return tuple(note for note in notes if not note.startswith(ADD))


@frozen
class BenchReport:
    """All that a command has to say: figures, judgements, what was assumed, cautions.

    `rows` are lines of a name, a value and how it was made that carry no error; `extra` holds a
    command's own fields, as plain data.
    """

    measurements: Sequence[Measurement] = ()
    figures: Sequence[DerivedFigure] = ()
    judgements: Sequence[Judgement] = ()
    assumed: Sequence[str] = ()
    notes: Sequence[str] = ()
    cautions: Sequence[str] = ()
    rows: Sequence[tuple[str, str, str]] = ()
    extra: Mapping[str, Any] = field(default_factory=dict)


def key(name: str) -> str:
    """Return a name as a key: lower-case words joined by underscores.

    >>> key("fuel to air, times"), key("low-voltage cut-off"), key("electricity per kWh")
    ('fuel_to_air_times', 'low_voltage_cut_off', 'electricity_per_kwh')
    """
    return name.lower().replace(",", "").replace(" ", "_").replace("-", "_")


def shares_object(shares: Iterable[tuple[str, float]]) -> dict[str, float]:
    """Return each measurement's share in the square of an error, by its key."""
    return {key(name): share for name, share in shares}


def as_object(report: BenchReport) -> dict[str, Any]:
    """Return the report as plain data: measurements, figures with sums and sources, verdicts."""
    return {
        "readings": {
            key(each.name): {
                "value": each.value,
                "error": each.error,
                "unit": each.unit,
                "error_assumed": each.error_assumed,
            }
            for each in report.measurements
        },
        "assumed": list(report.assumed),
        "figures": {
            key(each.name): {
                "value": each.value,
                "error": each.error,
                "unit": each.unit,
                "formula": each.formula,
                "source": each.source,
                "error_shares": shares_object(each.shares),
            }
            for each in report.figures
        },
        "verdicts": {
            key(each.about): {
                "verdict": each.verdict,
                "sentence": each.sentence,
                "weakest_reading": each.weakest,
            }
            for each in report.judgements
        },
        **report.extra,
        "notes": list(report.notes),
        "cautions": list(report.cautions),
    }
