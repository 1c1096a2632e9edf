"""How often one wrong reading is found, and how often a clean session is accused.

Run by hand: `python -m tests.bench.conflict [sessions]`. Everything is invented and drawn from a
fixed seed: networks of 60 causes and 100 signs of two or three states, each linked to five causes
by strengths of the seven-word scale, leaks 0.02 a sign; a complaint that a third of the causes
list; signs chosen one after another by expected gain, as the tool would; five to eight answers
that are what the unit shows, and one that is not. Each sign is known in one of three ways, and
a slip is as likely as that way is unreliable.
"""

from __future__ import annotations

import random
import sys
from dataclasses import dataclass

from diag.model.rulebook import Sign
from diag.reason.belief.belief import Belief, Evidence, Priors, start
from diag.reason.belief.conflict import Suspect, accused, conflict
from diag.reason.belief.information import Ranker
from diag.reason.belief.links import Links, compile_links
from tests.reason.belief.networks import Network, cause, sign

RELIABILITY = {"told": 0.8, "seen": 0.9, "measured": 0.97}
SCALE = (0.5, 0.75, 0.85, 0.95)
COMPLAINTS = 4
PRIORS = Priors(0.005, 0.02, 0.02, 0.5, 0.05)


@dataclass(frozen=True)
class Shop:
    """One invented network with what the tool makes of it."""

    links: Links
    ranker: Ranker
    reliability: dict[str, float]


@dataclass(frozen=True)
class Outcome:
    """What one session came to."""

    suspect: Suspect | None
    """What the tool doubts most."""
    right: bool
    """Whether that is the wrong reading."""
    identified: float
    """Least probability of a true cause on the good readings alone."""
    truth_odds: float
    """Odds of a slip for someone who knows the truth: of the wrong reading, or the oddest."""

    def named(self, odds: float) -> bool:
        """Tell whether the tool accuses at this threshold."""
        return self.suspect is not None and self.suspect.slip_odds >= odds

    def can_be_told(self, odds: float) -> bool:
        """Tell whether the good readings show the truth, and the truth shows the slip."""
        return self.identified >= 0.8 and self.truth_odds >= odds


def realistic_network(rng: random.Random, causes: int = 60, signs: int = 100) -> Network:
    """Draw a network whose numbers are of the sizes that a rulebook has."""
    made: dict[str, Sign] = {}
    shows: list[dict[str, dict[str, float]]] = [{} for _ in range(causes)]
    for number in range(signs):
        name = f"sign {number:03}"
        states = tuple(f"state {place}" for place in range(rng.choice([2, 3])))
        made[name] = sign(name, states, {s: 0.02 / (len(states) - 1) for s in states[1:]})
        for place in rng.sample(range(causes), 5):
            strength, (main, *others) = rng.choice(SCALE), rng.sample(states[1:], len(states) - 1)
            split = 0.7 if others and rng.random() < 0.3 else 1.0
            shows[place][name] = {main: split * strength} | {
                other: (1 - split) * strength for other in others if split < 1
            }
    return Network(
        made,
        {
            (name := f"cause {place:02}"): cause(
                name,
                10 ** rng.uniform(-3.3, -2),
                shows[place],
                {
                    f"complaint {one}": rng.choice(SCALE)
                    for one in rng.sample(range(COMPLAINTS), rng.choice([1, 1, 2]))
                },
            )
            for place in range(causes)
        },
    )


def open_shop(rng: random.Random) -> Shop:
    """Draw a network, and how each of its signs is known."""
    network = realistic_network(rng)
    links = compile_links(network.signs, network.causes)
    reliability = {name: rng.choice(list(RELIABILITY.values())) for name in links.signs}
    return Shop(links, Ranker(links, reliability), reliability)


def draw_truth(rng: random.Random, links: Links, complaint: str) -> frozenset[int]:
    """Draw one cause that the complaint points to, and any other by its own odds."""
    weights = [
        odds * listed.get(complaint, PRIORS.complaint_leak)
        for odds, listed in zip(links.odds, links.complaints, strict=True)
    ]
    first = rng.choices(range(len(weights)), weights)[0]
    others = {place for place, odds in enumerate(links.odds) if rng.random() < odds / (1 + odds)}
    return frozenset({first} | others)


def session(rng: random.Random, shop: Shop, slips: int) -> tuple[Belief, frozenset[int], list[str]]:
    """Return belief after a session with exactly so many slips, the truth, and the slipped signs.

    Sessions are drawn anew until the number of slips is right, so that a slip falls on a reading
    as often as its way of being known is unreliable.
    """
    complaint = f"complaint {rng.randrange(COMPLAINTS)}"
    truth = draw_truth(rng, shop.links, complaint)
    length = rng.randint(5, 8) + slips
    while True:
        belief, left, wrong = start(shop.links, PRIORS, complaint), set(shop.links.signs), []
        for _ in range(length):
            name = shop.ranker.rank(belief.remaining(), left)[0][0]
            left.discard(name)
            table, reliability = shop.links.table(name), shop.reliability[name]
            state = rng.choices(table.states, table.chances(truth))[0]
            if slips and rng.random() >= reliability:
                wrong.append(name)
                state = rng.choice([other for other in table.states if other != state])
            belief = belief.observe(Evidence(name, state, reliability))
        if len(wrong) == slips:
            return belief, truth, wrong


def told_odds(links: Links, evidence: Evidence, truth: frozenset[int]) -> float:
    """Return the odds of a slip for someone who knows which causes are present."""
    table = links.table(evidence.sign)
    chance = table.chances(truth)[table.states.index(evidence.state)]
    return (1 - evidence.reliability) / evidence.reliability / len(table.states) / chance


def play(rng: random.Random, shop: Shop, slips: int) -> Outcome:
    """Play one session and see which reading the tool doubts most."""
    belief, truth, wrong = session(rng, shop, slips)
    suspect, *_ = accused(conflict(belief), 0.0)
    good = belief
    for name in wrong:
        good = good.withdraw(name)
    present = good.posterior().present()
    doubted = [one for one in belief.said if not wrong or one.sign in wrong]
    return Outcome(
        suspect,
        right=suspect is not None and suspect.evidence.sign in wrong,
        identified=min(present[cause] for cause in truth),
        truth_odds=max(told_odds(shop.links, one, truth) for one in doubted),
    )


def percent(outcomes: list[bool]) -> str:
    """Write a share with its 95 % interval (normal) and how many it is of."""
    share = sum(outcomes) / max(1, len(outcomes))
    half = 196 * (share * (1 - share) / max(1, len(outcomes))) ** 0.5
    return f"{100 * share:5.1f} +- {half:.1f} of 100 ({len(outcomes)} sessions)"


def main(sessions: int = 1000) -> None:
    """Print what is found and who is accused at several thresholds."""
    rng = random.Random(1990)
    shops = [open_shop(rng) for _ in range(20)]
    wrong = [play(rng, rng.choice(shops), 1) for _ in range(sessions)]
    clean = [play(rng, rng.choice(shops), 0) for _ in range(sessions)]
    print("it can be told: the good readings alone put every true cause at 0.8 or more, and to")
    print("someone who knows the truth the reading is at least 2 times (or once) as likely a slip")
    for odds in (0.5, 1.0, 1.25, 1.5, 2.0):
        print(f"\naccused when at least {odds} times as likely a slip as meant:")
        rows = {
            "clean sessions accused": [one.named(odds) for one in clean],
            "found where it can be told, 2:1": _found(wrong, odds, 2.0),
            "found where it can be told, 1:1": _found(wrong, odds, 1.0),
            "found where good readings show the truth": _found(wrong, odds, 0.0),
            "found of all": [one.right and one.named(odds) for one in wrong],
        }
        for name, outcomes in rows.items():
            print(f"  {name:42}{percent(outcomes)}")
    print("\nthe limit: clean sessions in which someone who knows the truth would see a slip")
    for least in (1.0, 2.0):
        print(f"  {least:.0f}:1{'':39}{percent([one.truth_odds >= least for one in clean])}")


def _found(wrong: list[Outcome], odds: float, truth: float) -> list[bool]:
    return [one.right and one.named(odds) for one in wrong if one.can_be_told(truth)]


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
