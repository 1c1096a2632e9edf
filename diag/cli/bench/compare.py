"""`diag heat compare`: takes runs from the command line, a file or a person, and shows them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from diag.bench.figures import amount
from diag.bench.heat.compare import ASPECTS, LONGEST_NAME, SHAPE, Run, compared_runs, read_run
from diag.cli.bench.asking import Ask, asker
from diag.cli.bench.screen import row, show
from diag.cli.guard import WrongUse, say
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.given import given

BAR = 30


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
        raise WrongUse(f"with two runs or more, such as {SHAPE}, I could say which one costs less")
    told = compared_runs(read, wanted, errors)
    show(told, as_json, _drawing(told.extra["wanted_kw"], told.extra["deliveries"]))
    return 0


def _lines_of(file: str) -> list[str]:
    text = given(file).decode("utf-8", errors="replace")
    kept = (line.partition("#")[0].strip() for line in text.splitlines())
    return [line for line in kept if line]


def _asked(known: int, ask: Ask) -> list[Run]:
    """Ask for runs one by one until Enter."""
    print(f"A run is a name and its levels, such as {SHAPE}.")
    more: list[Run] = []

    def read(text: str) -> Run | None:
        return read_run(text) if text else None

    def next_line() -> str:
        return ask(f"Run {known + len(more) + 1} (Enter: no more)? ")

    while (run := ask_until(next_line, read, lambda error: say(str(error)))) is not None:
        more.append(run)
    return more


def _drawing(wanted_kw: float, given: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return what each run costs, and one bar for each of them and each aspect."""
    lines = [f"for {amount(wanted_kw, 0, 'kW')} of heat"]
    for one in given:
        share = one["running_share"]
        manner = one["manner"] if share >= 1 else f"on {100 * share:.0f} % of time"
        fuel, charge = one["fuel_l_per_kwh"], one["charge_ah_per_kwh"]
        cost = f"{fuel:.3f} l and {charge:.2f} Ah per kWh of heat"
        lines += row(f"  {one['name']}", manner, cost)
    for aspect in ASPECTS:
        lines += _bars(aspect.name, aspect.unit, {one["name"]: one[aspect.key] for one in given})
    return lines


def _bars(aspect: str, unit: str, values: Mapping[str, float | None]) -> list[str]:
    """Return one bar for each run, the longest of them full."""
    most = max((value for value in values.values() if value is not None), default=0.0)
    lines = []
    for name, value in values.items():
        head = f"{aspect:<8} {name:<{LONGEST_NAME}} "
        if value is None:
            lines.append(f"{head}not known")
            continue
        bar = "#" * round(BAR * value / most) if most else ""
        lines.append(f"{head}{bar:<{BAR}} {amount(value, 0, unit)}")
    return lines
