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

from diag.authoring.settling import Bench
from diag.cli.book import load_book
from diag.model.knowledge import Cause, Rulebook
from diag.reason.belief import Belief, Evidence, Priors, start
from diag.reason.choose import Offer, choose, minutes_of, opened_by
from diag.reason.links import Links, compile_links
from diag.reason.verdict import standing

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


class Shop:
    """The rulebook at work on drawn units."""

    def __init__(self, rulebook: Rulebook) -> None:
        self.rulebook = rulebook
        self.links = compile_links(rulebook.signs, rulebook.causes)
        self.priors = Priors.from_settings(rulebook.scales.settings)
        self.bench = Bench(rulebook, next(iter(rulebook.units.values())))

    def session(self, complaint: str, truth: Links, cause: str, chance: random.Random) -> float:
        """Check until a repair is best; return the minutes, negative when the wrong one leads."""
        belief = start(self.links, self.priors, complaint)
        done: list[str] = []
        settled: set[str] = set()
        for _ in range(MOST_CHECKS):
            posterior = belief.posterior()
            opened = opened_by(self.rulebook, done)
            offers = self._offers(done, settled)
            choice = choose(self.rulebook, posterior, offers, opened)
            check = standing(posterior, self.rulebook.scales.settings).check(choice)
            if not check:
                break
            belief = self._look(belief, check, settled, truth, cause, chance)
            done.append(check)
        minutes = minutes_of(self.rulebook, done)
        return minutes if belief.posterior().ranking[0][0] == cause else -minutes - 1

    def _offers(self, done: list[str], settled: set[str]) -> list[Offer]:
        scale = self.rulebook.scales.reliability
        offers = []
        for name, check in self.rulebook.checks.items():
            signs = tuple(sign for sign in self.bench.signs([name]) if sign not in settled)
            if name not in done and signs:
                hows = [scale[self.rulebook.findings[one].how] for one in check.yields]
                offers.append(Offer(check, check.yields, signs, min(hows)))
        return offers

    def _look(
        self,
        belief: Belief,
        check: str,
        settled: set[str],
        truth: Links,
        cause: str,
        chance: random.Random,
    ) -> Belief:
        for sign in self.bench.signs([check]):
            if sign not in settled:
                settled.add(sign)
                table = truth.table(sign)
                chances = table.chances([truth.cause_index[cause]])
                state = chance.choices(table.states, chances)[0]
                belief = belief.observe(Evidence(sign, state, 0.95))
        return belief


def drawn(rulebook: Rulebook, chance: random.Random) -> tuple[str, str]:
    """Draw a cause and the complaint that it brings."""
    causes = [cause for cause in rulebook.causes.values() if cause.complaints]
    cause = chance.choices(causes, [one.odds for one in causes])[0]
    complaint = chance.choices(list(cause.complaints), list(cause.complaints.values()))[0]
    return cause.id, complaint


def main(units: int) -> None:
    """Print both runs."""
    rulebook = load_book()
    shop = Shop(rulebook)
    print(f"{units} units, seed {SEED}, {len(rulebook.causes)} causes")
    for name, causes in (
        ("as the rulebook says", dict(rulebook.causes)),
        ("links blurred by a step", blurred(rulebook, random.Random(SEED))),
    ):
        truth = compile_links(rulebook.signs, causes)
        chance = random.Random(SEED)
        ends = []
        for _ in range(units):
            cause, complaint = drawn(rulebook, chance)
            ends.append(shop.session(complaint, truth, cause, chance))
        first = sum(end >= 0 for end in ends)
        minutes = sum(end if end >= 0 else -end - 1 for end in ends) / units
        print(f"{name:24} first {first / units:.1%}   {minutes:.1f} minutes of checks each")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
