"""How often two faults at once are both found, on units drawn from the shipped rulebook.

Run by hand: `python -m tests.bench.two_faults [units [seed]]`, with `-v` to see the misses. A
complaint is drawn, then two causes that both bring it, by their shares; pairs of which one must
not show what the other shows are left out, and so are states of use. The whole session is run:
its first repair, where it is one of the two, fails in proof, and the session goes on, as it does
after one failed repair. Found are pairs that both stand among the first three: what was
proposed, then what leads. The same seed draws the same units.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from itertools import combinations

from diag.authoring.case_runner import CaseRun, run_case
from diag.model.rulebook import Cause
from tests.bench.drawn import DrawnUnit, Stock, draw_case

SEED = 20260202
Pair = tuple[str, str]


def forbids(one: Cause, other: Cause) -> bool:
    """Tell whether the first must not show what the second shows more often than not."""
    return any(
        sum(other.shows.get(sign, {}).get(state, 0.0) for state in states) >= 0.5
        for sign, states in one.quiet.items()
    )


def pairs_by_complaint(stock: Stock) -> dict[str, dict[Pair, float]]:
    """Return, for each complaint, the pairs that can stand behind it and their weights."""
    found: dict[str, dict[Pair, float]] = {}
    able = [one for one in stock.rulebook.causes.values() if not one.no_fault]
    for one, other in combinations(able, 2):
        if forbids(one, other) or forbids(other, one):
            continue
        for complaint in sorted(one.complaints.keys() & other.complaints.keys()):
            silent = (1 - one.complaints[complaint]) * (1 - other.complaints[complaint])
            weight = one.odds * other.odds * (1 - silent)
            found.setdefault(complaint, {})[one.id, other.id] = weight
    return found


def drawn_run(stock: Stock, chance: random.Random) -> CaseRun:
    """Draw one unit with two faults and run its session."""
    pairs = pairs_by_complaint(stock)
    complaint = chance.choices(list(pairs), [sum(one.values()) for one in pairs.values()])[0]
    pair = chance.choices(list(pairs[complaint]), list(pairs[complaint].values()))[0]
    case = draw_case(stock, chance, pair, complaint)
    return run_case(stock.rulebook, case, DrawnUnit(stock, case, chance), in_vain=1)


def first_three(run: CaseRun) -> list[str]:
    """Return what was proposed, then what leads, three in all."""
    return list(dict.fromkeys((*run.proposed, *(name for name, _ in run.ranking))))[:3]


def main(units: int, seed: int = SEED, talk: bool = False) -> None:
    """Print how often both faults, and how often one, stand among the first three."""
    stock = Stock.open()
    counts: Counter[str] = Counter()
    minutes = 0.0
    for number in range(units):
        run = drawn_run(stock, random.Random(seed + number))
        leading = first_three(run)
        found = sum(name in leading for name in run.case.truth)
        counts[("neither", "one", "both")[found]] += 1
        counts["both, no failed repair"] += found == 2 and set(run.proposed) <= set(run.case.truth)
        first = next(iter(run.proposed), "nothing proposed")
        counts["first repair failed"] += bool(run.proposed) and first not in run.case.truth
        minutes += run.minutes
        if talk and found < 2:
            shares = ", ".join(f"{name} {share:.2f}" for name, share in run.ranking[:4])
            print(
                f"{number:4} {run.case.complaint}: {' + '.join(run.case.truth)}; "
                f"proposed {', '.join(run.proposed) or '-'}; now {shares}; "
                f"nothing {run.nothing:.2f} unknown {run.unknown:.2f}"
            )
    print(f"{units} units with two faults, seed {seed}")
    for name in ("both", "both, no failed repair", "one", "neither", "first repair failed"):
        print(f"{name:24}{100 * counts[name] / units:6.1f} of 100")
    print(f"{'minutes of checks':24}{minutes / units:6.1f} each")


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:] if word != "-v"]
    main(*(numbers or [300]), talk="-v" in sys.argv)
