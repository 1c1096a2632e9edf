"""Time reading and checking generated rules against bare C event parsing of the same bytes.

Run by hand: `python tests/bench/rulebook.py`. Every rule has a condition of its own, so that
no remembered condition flatters the result.
"""

from __future__ import annotations

import gc
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import yaml

from diag.rulebook import load_rulebook

SIGNS, ROUNDS = 50, 5
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


def best(work: Callable[[], object]) -> float:
    """Return the least of a few timings, in seconds."""
    times = []
    for _ in range(ROUNDS):
        gc.collect()
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print both timings, their ratio, and how the time grows with ten times the rules."""
    took = {}
    for count in (1_000, 10_000):
        text = rules_text(count)
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            (folder / "rules.yaml").write_text(text, encoding="utf-8")
            assert len(load_rulebook([folder], {}).rules) == count
            took[count] = best(lambda folder=folder: load_rulebook([folder], {}))  # type: ignore[misc]
        bare = best(lambda text=text: sum(1 for _ in yaml.parse(text, Loader=yaml.CLoader)))  # type: ignore[misc]
        print(
            f"{count} rules, {len(text.encode())} bytes: read and checked {took[count]:.3f} s, "
            f"bare events {bare:.3f} s, ratio {took[count] / bare:.2f}"
        )
    print(f"ten times the rules take {took[10_000] / took[1_000]:.1f} times as long")


if __name__ == "__main__":
    main()
