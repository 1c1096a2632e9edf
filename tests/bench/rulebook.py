"""Time reading and checking generated rules against bare C event parsing of the same bytes.

Run by hand: `python tests/bench/rulebook.py`, the package installed. Processor time is counted,
not time on the clock, and both are taken in turns, so that a busy machine says the same. Every
rule has a condition of its own, so that no remembered condition flatters the result.
"""

from __future__ import annotations

import gc
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import yaml

from diag.rulebook import load_rulebook

SIGNS, ROUNDS = 50, 7
HEAD = """\
source: invented
anyway: {words: {seldom: 0.02}}
unit data:
  rated volts: {ask: What is the lamp rated for?, unit: V}
findings:
  lamp volts:
    {ask: What do the lamp's posts read?, kind: quantity, unit: V, believable: 0 V to 20 V}
  lamp amps:
    {ask: What does the lamp draw?, kind: quantity, unit: A, believable: 0 A to 9 A}
  glass: {ask: How is the glass?, kind: choice, choices: {clear: sound, cracked: broken}}
"""


def rules_text(count: int) -> str:
    """Write a rule file with that many rules, spread over fifty signs."""
    lines = [HEAD, "signs:\n"]
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


def events_in(text: str) -> int:
    """Return how many events the C parser makes of a text."""
    return sum(1 for _ in yaml.parse(text, Loader=yaml.CLoader))


def least(*works: Callable[[], object]) -> tuple[float, ...]:
    """Return the least processor time of each work, in seconds, all taken in turns."""
    times: list[list[float]] = [[] for _ in works]
    for _ in range(ROUNDS):
        for work, spent in zip(works, times, strict=True):
            gc.collect()
            start = time.process_time()
            work()
            spent.append(time.process_time() - start)
    return tuple(min(spent) for spent in times)


def measure(count: int) -> float:
    """Print the times for that many rules and their ratio, and return the time of reading."""
    text = rules_text(count)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "rules.yaml").write_text(text, encoding="utf-8")
        assert len(load_rulebook([folder], {}).rules) == count
        took, bare = least(lambda: load_rulebook([folder], {}), lambda: events_in(text))
    print(
        f"{count} rules, {len(text.encode())} bytes: read and checked {took:.3f} s, "
        f"bare events {bare:.3f} s, ratio {took / bare:.2f}"
    )
    return took


def main() -> None:
    """Print the ratio for two sizes, and how the time grows with ten times the rules."""
    few, many = measure(1_000), measure(10_000)
    print(f"ten times the rules take {many / few:.1f} times as long")


if __name__ == "__main__":
    main()
