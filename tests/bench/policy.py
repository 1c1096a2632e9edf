"""Minutes to a proved repair by several policies, on the same units drawn from the rulebook.

Run by hand: `python -m tests.bench.policy [units] [seed]`, 2,000 units if left out. Every policy
begins with the first looks of a session and pays by one cost model; `worked.units` says how units
are drawn and worked on, `worked.policies` what each policy does. `insight` is a bound that none
can beat: the repairs of what is wrong, and one proof run. Decisions are remembered by evidence,
and made within a budget of states, so the clock changes nothing.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from math import sqrt
from statistics import mean, stdev

from diag.cli.book import load_book
from tests.bench.worked.policies import POLICIES
from tests.bench.worked.units import Unit, Workshop

SEED = 20260101
USUAL_UNITS = 2000
GOALS = {"greedy": 0.90, "repairs": 1.0, "fixed order": 0.75}
"""The most that the minutes of a session may be, of those of each other policy."""


def main(count: int, seed: int) -> None:
    """Print minutes by complaint and over all units, ratios, and whether the goals are met."""
    shop = Workshop.of(load_book(), seed)
    units = shop.draw(count)
    minutes = {name: [0.0] * count for name in ("insight", *POLICIES)}
    print(f"{count} units, seed {seed}; expected minutes to a proved repair, +- 95 %")
    print(f"{'complaint':24}{'units':>6}" + "".join(f"{name:>15}" for name in minutes))
    for complaint in shop.rulebook.complaints:
        chosen = [unit for unit in units if unit.complaint == complaint]
        for unit in chosen:
            minutes["insight"][unit.number] = shop.least(unit)
        for name, policy in POLICIES.items():
            for unit in chosen:
                minutes[name][unit.number] = shop.minutes(unit, policy)
        shop.decided.clear()
        print_row(complaint, chosen, minutes)
    for wrong, title in enumerate(("nothing wrong", "one cause", "two causes")):
        print_row(title, [unit for unit in units if len(unit.wrong) == wrong], minutes)
    print_row("all", units, minutes)
    print_goals(minutes)


def print_row(title: str, units: Sequence[Unit], minutes: dict[str, list[float]]) -> None:
    """Print the mean minutes of some units by each policy."""
    cells = []
    for spent in minutes.values():
        some = [spent[unit.number] for unit in units]
        wide = 1.96 * stdev(some) / sqrt(len(some)) if len(some) > 1 else 0.0
        cells.append(f"{mean(some):8.1f} +-{wide:5.1f}" if some else f"{'-':>15}")
    print(f"{title:24}{len(units):6}" + "".join(cells), flush=True)


def print_goals(minutes: dict[str, list[float]]) -> None:
    """Print the minutes of a session over those of each other policy, beside the goal."""
    own = minutes["session"]
    for name, goal in GOALS.items():
        found, wide = ratio(own, minutes[name])
        met = "met" if found <= goal else "MISSED"
        print(f"session / {name}: {found:.3f} +- {wide:.3f}, goal at most {goal:.2f}: {met}")


def ratio(own: Sequence[float], other: Sequence[float]) -> tuple[float, float]:
    """Return the ratio of two means on the same units, and half its 95 % interval.

    The interval is that of the mean of own - ratio * other, over the other mean (Cochran,
    Sampling Techniques, 1977, section 6.4, from memory).
    """
    found = mean(own) / mean(other)
    rest = [one - found * two for one, two in zip(own, other, strict=True)]
    return found, 1.96 * stdev(rest) / sqrt(len(rest)) / mean(other)


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:]]
    main(*given, *(USUAL_UNITS, SEED)[len(given) :])
