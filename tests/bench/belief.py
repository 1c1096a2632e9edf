"""Update with one answer and rank every remaining check, beside a general-purpose library.

Run by hand: `python -m tests.bench.belief [size ...]` with sizes such as `60x100`. Both sides get
the same random network (three states a sign, five linked causes, fixed seed), the same answers
and the same question: the expected gain of every check that is left. The library holds one fault
node with a state for each single cause, nothing wrong and the unknown, and each sign as its child;
its gains are entropy of the sign less the expected entropy given the fault, whose conditional
entropies are worked out beforehand. Each of its engines is timed, the fastest is the peer. The last
row is no query of the library: it takes the fault's posterior alone and does all the sums in
numpy. Times are of the processor, so that other work on the machine does not count.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
import pyagrum as gum

from diag.reason.belief.belief import Belief, Evidence, Priors, start
from diag.reason.belief.information import Ranker
from diag.reason.belief.links import Links, compile_links
from tests.reason.belief.networks import random_network

PRIORS = Priors(unknown_odds=0.05)
GOALS = {"60x100": 0.3, "300x500": 1.0, "1000x2000": 6.0}
RELIABILITY = 0.95
STEPS = 6
SESSIONS = 12
OWN = "ours, singles as the peer's"

Steps = list[tuple[float, dict[str, float]]]
"""Milliseconds of an update with its ranking, and the gains."""


class Peer:
    """The library's side: one engine kept between answers, as it is meant to be used."""

    def __init__(self, net: Any, links: Links, engine: str, targets: bool) -> None:
        self.engine = getattr(gum, engine)(net)
        self.links = links
        self.left = list(links.signs)
        self.within = {name: _entropies(net.cpt(name).toarray()) for name in links.signs}
        self.targets = targets

    def prepare(self, name: str) -> None:
        """Let it know what will be asked, outside the time."""
        self.left.remove(name)
        if self.targets:
            self.engine.setTargets({"fault", *self.left})

    def answer(self, name: str, state: int) -> dict[str, float]:
        """Take in one answer and return the gain of every sign left."""
        soft = [(1 - RELIABILITY) / 3] * 3
        soft[state] += RELIABILITY
        self.engine.addEvidence(name, soft)
        self.engine.makeInference()
        fault = self.engine.posterior("fault").toarray()
        gains = {}
        for sign in self.left:
            chances = self.engine.posterior(sign).toarray()
            gains[sign] = float(_entropies(chances) - fault @ self.within[sign])
        return gains


class Shortcut:
    """The library for the fault's posterior only, and the sums for all signs in numpy."""

    def __init__(self, net: Any, links: Links) -> None:
        self.engine = gum.ShaferShenoyInference(net)
        self.engine.setTargets({"fault"})
        self.links, self.left = links, list(links.signs)
        self.tables = np.array([net.cpt(name).toarray() for name in links.signs])
        self.within = _entropies(self.tables)

    def prepare(self, name: str) -> None:
        """Nothing can be prepared."""
        self.left.remove(name)

    def answer(self, name: str, state: int) -> dict[str, float]:
        """Take in one answer and return the gain of every sign left."""
        soft = [(1 - RELIABILITY) / 3] * 3
        soft[state] += RELIABILITY
        self.engine.addEvidence(name, soft)
        self.engine.makeInference()
        fault = self.engine.posterior("fault").toarray()
        gains = _entropies(fault @ self.tables) - self.within @ fault
        found = dict(zip(self.links.signs, gains.tolist(), strict=True))
        return {sign: found[sign] for sign in self.left}


class Ours:
    """The tool's side."""

    def __init__(self, links: Links, leading: int) -> None:
        self.belief: Belief = start(links, PRIORS, leading=leading)
        self.ranker, self.left = Ranker(links), list(links.signs)

    def prepare(self, name: str) -> None:
        """Nothing is prepared."""
        self.left.remove(name)

    def answer(self, name: str, state: int) -> dict[str, float]:
        """Take in one answer and return the gain of every sign left."""
        self.belief = self.belief.observe(Evidence(name, f"state {state}", RELIABILITY))
        return dict(self.ranker.rank(self.belief.remaining(), self.left))


def _entropies(chances: Any) -> Any:
    return -(chances * np.log2(chances)).sum(axis=-1)


def fault_network(links: Links) -> Any:
    """Build the library's network: one fault node, every sign its child."""
    odds = [1.0, *links.odds, PRIORS.unknown_odds]
    net = gum.BayesNet()
    net.add(gum.LabelizedVariable("fault", "", len(odds)))
    net.cpt("fault").fillWith([one / sum(odds) for one in odds])
    for table in links.tables:
        net.add(gum.LabelizedVariable(table.sign, "", 3))
        net.addArc("fault", table.sign)
        causes = range(len(links.causes))
        leak = table.leak_chances
        rows = [leak, *(table.given.get(c, leak) for c in causes), (1 / 3,) * 3]
        net.cpt(table.sign).fillWith([chance for row in rows for chance in row])
    return net


def answers(links: Links, rng: random.Random) -> list[tuple[str, int]]:
    """Choose signs by gain and answers by a hidden cause."""
    side, truth, chosen = Ours(links, 0), rng.randrange(len(links.causes)), []
    gains = dict.fromkeys(links.signs, 0.0) | Ranker(links).gains(side.belief.posterior())
    for _ in range(STEPS):
        name = max(sorted(gains), key=gains.__getitem__)
        state = rng.choices(range(3), links.table(name).chances([truth]))[0]
        chosen.append((name, state))
        side.prepare(name)
        gains = side.answer(name, state)
    return chosen


def run(side: Any, given: Sequence[tuple[str, int]]) -> Iterator[tuple[float, dict[str, float]]]:
    """Yield milliseconds of processor and gains after each answer but the first, which warms up."""
    for step, (name, state) in enumerate(given):
        side.prepare(name)
        begin = time.process_time()
        gains = side.answer(name, state)
        taken = 1e3 * (time.process_time() - begin)
        if step:
            yield taken, gains


def bench(size: str) -> None:
    """Print one size's table; the sides take turns, session by session."""
    causes, signs = map(int, size.split("x"))
    network = random_network(random.Random(5), causes, signs, states=(3,))
    links = compile_links(network.signs, network.causes)
    net = fault_network(links)
    sides: dict[str, Callable[[], Any]] = {
        OWN: lambda: Ours(links, 0),
        "ours, with 66 pairs": lambda: Ours(links, 12),
        "ShaferShenoy": lambda: Peer(net, links, "ShaferShenoyInference", True),
        "(fault only, then numpy)": lambda: Shortcut(net, links),
    }
    if causes < 100:
        sides["LazyPropagation"] = lambda: Peer(net, links, "LazyPropagation", True)
        sides["VariableElimination"] = lambda: Peer(net, links, "VariableElimination", False)
    steps: dict[str, Steps] = {name: [] for name in sides}
    for number in range(SESSIONS if causes < 500 else 2):
        given = answers(links, random.Random(number))
        for name, make in sides.items():
            steps[name] += run(make(), given)
    print(f"\n{causes} causes, {signs} checks: update with one answer and rank all, median CPU ms")
    own = statistics.median(taken for taken, _ in steps[OWN])
    print(f"  {OWN:32}{own:10.3f}   goal {GOALS.get(size, 0):.1f}")
    for name, found in list(steps.items())[1:]:
        taken = statistics.median(taken for taken, _ in found)
        apart = f", apart {_apart(steps[OWN], found):.0e}" if "pairs" not in name else ""
        print(f"  {name:32}{taken:10.3f}   {taken / own:8.1f} times ours{apart}")


def _apart(own: Steps, other: Steps) -> float:
    """Return the most by which two sides' gains differ."""
    both = zip((gains for _, gains in own), (gains for _, gains in other), strict=True)
    return max(abs(gain - mine[sign]) for mine, gains in both for sign, gain in gains.items())


def main(*sizes: str) -> None:
    """Print a table for each size."""
    for size in sizes or GOALS:
        bench(size)


if __name__ == "__main__":
    main(*sys.argv[1:])
