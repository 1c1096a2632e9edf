"""Chaining one reading at a time, against CLIPS and a naive re-scan of all the rules.

Run by hand: `python -m tests.bench.chain`. Rules have three conditions each, in ten layers:
the lowest on findings, each other on the signs of the layer below. A hidden truth is planted,
so that most rules come to fire and every layer is reached. All three peers take the same
readings in the same order, and must end with the same facts.
"""

from collections.abc import Callable, Sequence
from random import Random
from statistics import mean, median
from time import perf_counter
from typing import NamedTuple

import clips

from diag.model.expression import And, Is
from diag.model.rulebook import Fact, Rule
from diag.reason.chain.engine import Chain
from diag.reason.chain.network import Network, compile_rules

LAYERS, CONDITIONS, STATES = 10, 3, ("a", "b", "c")
RULES_PER_SIGN = 4
PLANTED = 0.97
"""Share of the conditions that the planted truth satisfies."""
CORRECTIONS = 500
RESCANS = 30

Pair = tuple[str, str]


class Task(NamedTuple):
    """Rules as (conditions, conclusion), lowest layer first, and readings in order."""

    rules: list[tuple[list[Pair], Pair]]
    readings: list[Pair]


def task(size: int, random: Random) -> Task:
    """Make `size` rules and one reading for each finding."""
    each = size // LAYERS
    findings = [(f"f{n}", random.choice(STATES)) for n in range(each)]
    below, rules = findings, []
    for layer in range(LAYERS):
        signs = [
            (f"s{layer}x{n}", random.choice(STATES)) for n in range(max(4, each // RULES_PER_SIGN))
        ]
        for number in range(each):
            picked = random.sample(below, CONDITIONS)
            body = [pair if random.random() < PLANTED else other(pair, random) for pair in picked]
            planted = signs[number % len(signs)]
            rules.append((body, planted if body == picked else other(planted, random)))
        below = signs
    return Task(rules, random.sample(findings, len(findings)))


def other(pair: Pair, random: Random) -> Pair:
    """Return the same name in another state."""
    name, state = pair
    return name, random.choice([each for each in STATES if each != state])


def network(rules: Sequence[tuple[list[Pair], Pair]]) -> Network:
    """Compile the rules for our chain."""
    return compile_rules(
        [
            Rule(
                f"r{number}",
                And(tuple(Is(name, (state,)) for name, state in body)),
                Fact("sign", *head),
            )
            for number, (body, head) in enumerate(rules)
        ]
    )


def in_clips(rules: Sequence[tuple[list[Pair], Pair]]) -> clips.Environment:
    """Build the rules in CLIPS, each name a relation of its own, which CLIPS finds fastest."""
    environment = clips.Environment()
    for number, (body, (name, state)) in enumerate(rules):
        patterns = " ".join(f"({below} {value})" for below, value in body)
        environment.build(f"(defrule r{number} {patterns} => (assert ({name} {state})))")
    return environment


def rescan(rules: Sequence[tuple[list[Pair], Pair]], told: set[Pair]) -> set[Pair]:
    """Try every rule, lowest layer first: one pass reaches the fixpoint."""
    facts = set(told)
    for body, head in rules:
        if all(pair in facts for pair in body):
            facts.add(head)
    return facts - told


def timed(step: Callable[[Pair], object], readings: Sequence[Pair]) -> list[float]:
    """Return the microseconds of each step."""
    spent = []
    for pair in readings:
        start = perf_counter()
        step(pair)
        spent.append((perf_counter() - start) * 1e6)
    return spent


def open_answers(rules: Sequence[tuple[list[Pair], Pair]], readings: Sequence[Pair]) -> list[float]:
    """Time, after each of some readings, which answers would still decide one top sign."""
    start = perf_counter()
    compiled = network(rules)
    print(f"{len(rules)} rules compiled in {(perf_counter() - start) * 1e3:.0f} ms")
    chain = Chain(compiled)
    top = f"s{LAYERS - 1}x0"
    spent = []
    for pair in readings[:50]:
        chain.tell(*pair)
        spent += timed(lambda _: chain.deciders(top), [pair])
    return spent


def line(label: str, spent: Sequence[float], ours: Sequence[float]) -> str:
    """Write median and mean of a peer, and how many times ours they are."""
    middle, average = median(spent), mean(spent)
    times = f"{middle / median(ours):8.1f} {average / mean(ours):8.1f}"
    return f"  {label:28} {middle:9.1f} {average:9.1f}   {times}"


def run(size: int) -> None:
    """Measure all peers on rules of one size, and print."""
    rules, readings = task(size, Random(size))
    random = Random(1)
    chain = Chain(network(rules))
    ours = timed(lambda pair: chain.tell(*pair), readings)
    facts = {(fact.name, fact.state) for fact in chain.facts}

    environment = in_clips(rules)
    written = {pair: f"({pair[0]} {pair[1]})" for pair in readings}

    def assert_and_run(pair: Pair) -> None:
        environment.assert_string(written[pair])
        environment.run()

    theirs = timed(assert_and_run, readings)
    asserted = {
        (fact.template.name, str(fact[0])) for fact in environment.facts() if len(list(fact))
    }
    told: set[Pair] = set()

    def add_and_rescan(pair: Pair) -> None:
        told.add(pair)
        rescan(rules, told)

    scanned = timed(add_and_rescan, readings[-RESCANS:])
    assert facts == rescan(rules, set(readings)), "the re-scan finds other facts"
    assert facts == asserted - set(readings), "CLIPS finds other facts"

    corrected = [other(random.choice(readings), random) for _ in range(CORRECTIONS)]
    fixed = timed(lambda pair: chain.tell(*pair), corrected)
    final = dict(readings) | dict(corrected)
    again = {(fact.name, fact.state) for fact in chain.facts}
    assert again == rescan(rules, set(final.items())), "corrections leave other facts"

    left = open_answers(rules, readings)
    print(f"{size} rules, {len(readings)} readings, {len(facts)} facts derived")
    print(f"  {'microseconds a step':28} {'median':>9} {'mean':>9}   {'times ours':>17}")
    print(line("a reading, this chain", ours, ours))
    print(line("a reading, CLIPS", theirs, ours))
    print(line("a reading, naive re-scan", scanned, ours))
    print(line("a correction, this chain", fixed, ours))
    print(line("what it leaves to be asked", left, ours))
    print(line("a copy to try an answer on", timed(lambda _: chain.copy(), readings[:100]), ours))


if __name__ == "__main__":
    for size in (100, 1_000, 10_000):
        run(size)
