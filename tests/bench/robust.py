"""How the shipped rulebook does on units drawn from its own model, and from a blurred one.

Run by hand: `python -m tests.bench.robust [units]`. Each unit has one cause, drawn by its share
and how often it brings the complaint; the signs of each chosen check are drawn from the model.
In the blurred run every link strength of the unit is one step of the verbal scale higher or lower
than the rulebook says, so that the tool reasons with numbers that are wrong. Printed are the share
of units whose cause leads at the end, and the minutes of checks; both runs use the same seed.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Mapping
from dataclasses import replace

from diag.cli.book import load_book
from diag.model.rulebook import Cause, Rulebook
from diag.reason.belief.belief import start
from diag.reason.belief.links import Links, compile_links
from diag.reason.plan.costs import minutes_of
from tests.bench.worked.policies import as_a_session
from tests.bench.worked.units import Situation, Unit, Workshop

SEED = 20260101
MOST_CHECKS = 15


def blurred(rulebook: Rulebook, chance: random.Random) -> dict[str, Cause]:
    """Return the causes with every link moved one step of the scale, up or down."""
    steps = sorted(set(rulebook.scales.likelihood.values()))

    def moved(strength: float, most: float) -> float:
        place = min(range(len(steps)), key=lambda at: abs(steps[at] - strength))
        other = steps[max(1, min(len(steps) - 2, place + chance.choice((-1, 1))))]
        return min(other, most)

    found = {}
    for name, cause in rulebook.causes.items():
        shows: dict[str, Mapping[str, float]] = {}
        for sign, states in cause.shows.items():
            fair = {state: moved(strength, 0.95) for state, strength in states.items()}
            total = sum(fair.values())
            scale = min(1.0, 0.97 / total) if total else 1.0
            shows[sign] = {state: strength * scale for state, strength in fair.items()}
        found[name] = replace(cause, shows=shows)
    return found


def session(shop: Workshop, complaint: str, truth: Links, cause: str, unit: int) -> float:
    """Check until a repair is best; return the minutes, negative when the wrong one leads."""
    drawn = Unit(unit, complaint, frozenset({truth.cause_index[cause]}))
    shown = replace(shop, links=truth)
    stands = Situation(start(shop.links, shop.priors, complaint))
    for _ in range(MOST_CHECKS):
        kind, name = as_a_session(shop, stands)
        if kind != "check":
            break
        stands, _ = shown.look(stands, drawn, drawn.wrong, name)
    minutes = minutes_of(shop.rulebook, stands.done)
    return minutes if stands.posterior().ranking[0][0] == cause else -minutes - 1


def drawn(rulebook: Rulebook, chance: random.Random) -> tuple[str, str]:
    """Draw a cause and the complaint that it brings."""
    causes = [cause for cause in rulebook.causes.values() if cause.complaints]
    cause = chance.choices(causes, [one.odds for one in causes])[0]
    complaint = chance.choices(list(cause.complaints), list(cause.complaints.values()))[0]
    return cause.id, complaint


def main(units: int) -> None:
    """Print both runs."""
    rulebook = load_book()
    shop = Workshop.of(rulebook, SEED)
    print(f"{units} units, seed {SEED}, {len(rulebook.causes)} causes")
    for name, causes in (
        ("as the rulebook says", dict(rulebook.causes)),
        ("links blurred by a step", blurred(rulebook, random.Random(SEED))),
    ):
        truth = compile_links(rulebook.signs, causes)
        chance = random.Random(SEED)
        ends = []
        for number in range(units):
            cause, complaint = drawn(rulebook, chance)
            ends.append(session(shop, complaint, truth, cause, number))
        first = sum(end >= 0 for end in ends)
        minutes = sum(end if end >= 0 else -end - 1 for end in ends) / units
        print(f"{name:24} first {first / units:.1%}   {minutes:.1f} minutes of checks each")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
