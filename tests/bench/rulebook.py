"""Time reading and checking rules against bare C event parsing of the same bytes.

Run by hand: `python tests/bench/rulebook.py`, the package installed. Processor time is counted,
not time on the clock, and both are taken in turns, so that a busy machine says the same. What
was remembered of conditions is forgotten before each reading, as in a fresh process.

Three families of rules are read, each in files of its own:

- numbers: fifty signs, each rule with two numbers of its own and a sum, so that no two rules
  have a condition or a number in common. Nothing is remembered from one rule to the next but the
  words between the numbers. This is the hardest to read.
- layers: three conditions a rule, in ten layers; the lowest on findings, choices and numbers that
  may be met, each other on signs of the layer below, as the chaining benchmark has them. There
  are many signs and names, and a condition comes back in a few rules only.
- shipped: the rules of the package, most of which is words that are read once.
"""

from __future__ import annotations

import gc
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from random import Random

import yaml

from diag.cli.book import collector_held
from diag.model.expression import Formula
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook import load_rulebook
from diag.rulebook.language import clauses
from diag.rulebook.yaml.source import rule_files

SIGNS, ROUNDS = 50, 7
LAYERS, CONDITIONS, STATES, RULES_PER_SIGN = 10, 3, ("a", "b", "c"), 4
SHIPPED = Path(__file__).parents[2] / "rules"
SCALES = "source: invented\nanyway: {words: {seldom: 0.02}}\n"
NUMBERS = """\
unit data:
  rated volts: {ask: What is the lamp rated for?, unit: V}
findings:
  lamp volts:
    {ask: What do the lamp's posts read?, kind: quantity, unit: V, believable: 0 V to 20 V}
  lamp amps:
    {ask: What does the lamp draw?, kind: quantity, unit: A, believable: 0 A to 9 A}
  glass: {ask: How is the glass?, kind: choice, choices: {clear: sound, cracked: broken}}
"""


def numbers(count: int) -> str:
    """Write that many rules, spread over fifty signs."""
    lines = [SCALES, NUMBERS, "signs:\n"]
    for sign in range(SIGNS):
        lines.append(f"  sign {sign}:\n    states: [good, poor, bad]\n    rules:\n")
        for number in range(sign, count, SIGNS):
            low = f"{1 + number / 1000:.3f}"
            lines.append(
                f"      - when: lamp volts < unit rated volts - {low} V"
                f" and lamp amps > {low} A or glass is cracked\n"
                f"        then: {'poor' if number % 2 else 'bad'}\n"
                f"        why: the lamp draws more than {low} A at a voltage below its rating\n"
                "        source: invented\n"
            )
    return "".join(lines)


def layers(count: int) -> str:
    """Write that many rules in ten layers; half of the findings are numbers."""
    random = Random(count)
    each = count // LAYERS
    lines = [SCALES, "findings:\n"]
    below: list[str] = []
    for number in range(each):
        if number % 2:
            name, test = f"post {number}", f"< {random.randint(10, 199) / 10:.1f} V"
            kind = "kind: quantity, unit: V, believable: 0 V to 20 V"
        else:
            name, test = f"lamp {number}", f"is {random.choice(STATES)}"
            kind = "kind: choice, choices: {a: white, b: yellow, c: dark}"
        below.append(f"{name} {test}")
        lines.append(f"  {name}: {{ask: How is it?, {kind}}}\n")
    lines.append("signs:\n")
    for layer in range(LAYERS):
        signs = [f"sign {layer}x{number}" for number in range(max(4, each // RULES_PER_SIGN))]
        for place, sign in enumerate(signs):
            lines.append(f"  {sign}:\n    states: [a, b, c]\n    rules:\n")
            for _ in range(place, each, len(signs)):
                when = " and ".join(random.sample(below, CONDITIONS))
                then = random.choice(STATES)
                lines.append(f"      - when: {when}\n        then: {then}\n        why: it is so\n")
        below = [f"{sign} is {random.choice(STATES)}" for sign in signs]
    return "".join(lines)


def events_in(text: str) -> int:
    """Return how many events the C parser makes of a text."""
    return sum(1 for _ in yaml.parse(text, Loader=yaml.CLoader))


def least(*works: Callable[[], object]) -> tuple[float, ...]:
    """Return the least processor time of each work, in seconds, all taken in turns."""
    times: list[list[float]] = [[] for _ in works]
    for _ in range(ROUNDS):
        for work, spent in zip(works, times, strict=True):
            clauses.closed_form.cache_clear()
            clauses.open_form.cache_clear()
            gc.collect()
            start = time.process_time()
            work()
            spent.append(time.process_time() - start)
    return tuple(min(spent) for spent in times)


def measure(label: str, folder: Path, formulas: Mapping[str, Formula]) -> float:
    """Print the times of reading a folder and their ratio, and return the time of reading."""
    texts = [path.read_text(encoding="utf-8") for path, _ in rule_files(folder)]
    rules = len(load_rulebook([folder], formulas).rules)

    def read() -> None:
        with collector_held():  # as every command reads its rules
            load_rulebook([folder], formulas)

    took, bare = least(read, lambda: [events_in(text) for text in texts])
    print(
        f"{label:8} {rules:6} rules, {sum(len(text.encode()) for text in texts):8} bytes: "
        f"read and checked {took:.3f} s, bare events {bare:.3f} s, ratio {took / bare:.2f}"
    )
    return took


def measure_drawn(label: str, write: Callable[[int], str], count: int) -> float:
    """Measure that many rules of a family."""
    with tempfile.TemporaryDirectory() as name:
        (Path(name) / "rules.yaml").write_text(write(count), encoding="utf-8")
        return measure(label, Path(name), {})


def main() -> None:
    """Print the ratio of each family, and how the time grows with ten times the rules."""
    for label, write in (("numbers", numbers), ("layers", layers)):
        few, many = (measure_drawn(label, write, count) for count in (1_000, 10_000))
        print(f"{label:8} ten times the rules take {many / few:.1f} times as long")
    measure("shipped", SHIPPED, {formula.name: formula for formula in FORMULAS})


if __name__ == "__main__":
    main()
