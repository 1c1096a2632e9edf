"""`diag heat compare`: takes runs from the command line, a file or a person, and shows them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import Any

from diag.bench.figures import rounded
from diag.bench.heat.compare import ASPECTS, LONGEST_NAME, SHAPE, Run, compared_runs, read_run
from diag.cli.bench.asking import Ask, asker
from diag.cli.bench.screen import figure_lines, show, tell
from diag.cli.guard import WrongUse, say
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.given import given
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.wrapping import cells, filled, wrap
from diag.model.phrasing import printable

LONGEST_BAR, LEAST_BAR = 30, 4
ASPECT = 8


def run_compare(
    runs: Sequence[str],
    *,
    file: str | None = None,
    wanted: str | None = None,
    as_json: bool = False,
    ask: Ask | None = None,
    errors: Mapping[str, str] = MappingProxyType({}),
) -> int:
    """Compare two or more runs for the same heat and print it; return 0.

    Runs are texts of a name and its levels; a file holds one a line. At a terminal missing ones
    are asked for. `errors` overrides the usual error of heat, fuel, current or noise. Raises
    `ValueError` for what cannot be read and `WrongUse` for fewer than two.
    """
    texts = [*runs, *(_lines_of(file) if file else ())]
    ask = asker(as_json, ask)
    read = [read_run(text) for text in texts]
    if len(read) < 2 and ask is not None:
        read += _asked(len(read), ask)
    if len(read) < 2:
        raise WrongUse(f"give two runs or more, such as {SHAPE}, to learn which one costs less")
    told = compared_runs(read, wanted, errors)
    show(told, as_json, partial(_drawing, told.extra["wanted_kw"], told.extra["deliveries"]))
    return 0


def _lines_of(file: str) -> list[str]:
    text = given(file).decode("utf-8", errors="replace")
    kept = (line.partition("#")[0].strip() for line in text.splitlines())
    return [line for line in kept if line]


def _asked(known: int, ask: Ask) -> list[Run]:
    """Ask for runs one by one until Enter."""
    tell(f"A run is a name and its levels, such as {SHAPE}.")
    more: list[Run] = []

    def read(text: str) -> Run | None:
        return read_run(text) if text else None

    def next_line() -> str:
        return ask(f"Run {known + len(more) + 1} (Enter: no more)? ")

    while (run := ask_until(next_line, read, lambda error: say(str(error)))) is not None:
        more.append(run)
    return more


def _drawing(wanted_kw: float, given: Sequence[Mapping[str, Any]], width: int) -> list[str]:
    """Return what each run costs, and a line for each of them and each aspect."""
    lines = [f"for {rounded(wanted_kw, 0, 'kW')} of heat"]
    for one in given:
        share = one["running_share"]
        manner = one["manner"] if share >= 1 else f"on {100 * share:.0f} % of time"
        fuel, charge = one["fuel_l_per_kwh"], one["charge_ah_per_kwh"]
        cost = f"{fuel:.3f} l and {charge:.2f} Ah per kWh of heat"
        lines += figure_lines(f"  {one['name']}", manner, cost, width)
    for aspect in ASPECTS:
        values = {printable(one["name"], keep=""): one[aspect.key] for one in given}
        lines += _bars(aspect.name, aspect.unit, values, width)
    return lines


def _bars(aspect: str, unit: str, values: Mapping[str, float | None], width: int) -> list[str]:
    """Return a line for each run, with a bar where bars are drawn; the longest of them is full."""
    told = {
        name: "not known" if value is None else rounded(value, 0, unit)
        for name, value in values.items()
    }
    most = max((value for value in values.values() if value is not None), default=0.0)
    room = width - ASPECT - LONGEST_NAME - 3 - max(map(len, told.values()))
    longest = min(LONGEST_BAR, room) if room >= LEAST_BAR and Screen().draws else 0
    lines = []
    for name, value in values.items():
        head = f"{filled(aspect, ASPECT)} {filled(name, LONGEST_NAME)} "
        if longest and value is not None:
            bar = "#" * round(longest * value / most) if most else ""
            head += f"{filled(bar, longest)} "
        lines += wrap(told[name], width, head, " " * cells(head))
    return lines
