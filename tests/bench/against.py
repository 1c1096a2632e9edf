"""One benchmark of this tree and of another, in turns in one run, by hand.

Run it with `python tests/bench/against.py TREE NAME [ROUNDS] [-- ARGUMENTS]`, where `TREE` is the
folder of another checkout, such as one that `git worktree add --detach` makes of an older commit,
and `NAME` a benchmark of both (`startup`, `rulebook`, `chain` or `belief`). Each tree runs its own
file with its own code and rules, under this Python. Lines that differ in their numbers alone are
taken together: each number is shown as the median of the other tree, the median of this one, and
how many times the other this one is. Lines that only one of the trees prints are left out.
"""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parents[2]
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?:e-?\d+)?(?![\w.])")
Line = tuple[str, int]
"""A line without its numbers, and how many like it came before."""


def lines_of(printed: str) -> Iterator[tuple[Line, tuple[float, ...]]]:
    """Yield each line that holds numbers, and them."""
    seen: dict[str, int] = {}
    for line in printed.splitlines():
        words = " ".join(NUMBER.sub("#", line).split())
        seen[words] = seen.get(words, 0) + 1
        if "#" in words:
            yield (words, seen[words]), tuple(map(float, NUMBER.findall(line)))


def run(tree: Path, name: str, arguments: list[str]) -> dict[Line, tuple[float, ...]]:
    """Run a tree's own benchmark; return its lines."""
    paths = os.pathsep.join((str(tree), os.environ.get("PYTHONPATH", "")))
    done = subprocess.run(
        [sys.executable, "-m", f"tests.bench.{name}", *arguments],
        cwd=tree,
        env=os.environ | {"PYTHONPATH": paths},
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    return dict(lines_of(done.stdout))


def median_of(runs: list[dict[Line, tuple[float, ...]]], line: Line) -> list[float]:
    """Return the median of each number of a line that every run holds."""
    numbers = zip(*(each[line] for each in runs), strict=True)
    return [statistics.median(each) for each in numbers]


def main(tree: str, name: str, rounds: str = "5", *arguments: str) -> None:
    """Print the numbers of both trees, line by line."""
    trees = (Path(tree).resolve(), HERE)
    runs: tuple[list[dict[Line, tuple[float, ...]]], ...] = ([], [])
    for _ in range(int(rounds)):
        for each, found in zip(trees, runs, strict=True):
            found.append(run(each, name, [one for one in arguments if one != "--"]))
    print("a number of the other tree -> of this one (times the other)")
    for line in runs[1][0]:
        if all(line in one for found in runs for one in found):
            pairs = zip(*(median_of(found, line) for found in runs), strict=True)
            shown = (f"{a:g} -> {b:g}" + (f" ({b / a:.2f})" if a else "") for a, b in pairs)
            print(f"{line[0]}\n    {'; '.join(shown)}")


if __name__ == "__main__":
    main(*sys.argv[1:])
