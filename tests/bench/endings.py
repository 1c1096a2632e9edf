"""All shipped units and complaints, every prompt passed over: does any ending claim too much?

Three people go through each pair: one who `cannot`, one who is `unsure`, and one who makes every
repair that is proposed and reads nothing. `python -m tests.bench.endings` prints how the sessions
ended, and each claim of `nothing wrong`, `proved` or of a proof's outcome: there is to be none.
"""

from __future__ import annotations

from collections import Counter
from itertools import product

from tests.dangers.shipped import begin, book, passing

PEOPLE = (("cannot", False), ("unsure", False), ("cannot", True))


def main() -> None:
    """Go through all pairs and print what came of them."""
    ends, claims = Counter[str](), 0
    for unit, complaint, (reason, repairs) in product(book().units, book().complaints, PEOPLE):
        ending = passing(begin(unit, complaint), reason, repairs).ending
        ends[ending.kind] += 1
        judged = [one.cause for one in ending.results if one.proved or one.holds or one.failed]
        if judged or ending.kind in ("nothing wrong", "proved"):
            claims += 1
            print(f"{unit}, {complaint}, {reason}, repairs {repairs}: {ending.kind}, {judged}")
    print(f"{sum(ends.values())} sessions, {claims} claim too much; {dict(ends)}")


if __name__ == "__main__":
    main()
