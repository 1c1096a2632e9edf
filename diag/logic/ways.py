"""In how many ways a condition that is true is true: on what each of them stands."""

from __future__ import annotations

from itertools import product

from diag.logic.evaluate import Outcome, grounds
from diag.model.expression import And, Not, Or

MOST_WAYS = 64


def ways(outcome: Outcome) -> tuple[frozenset[str], ...]:
    """Return the names on which a true outcome stands, one set for each way in which it is true.

    Of an `or` each true part is a way of its own; of an `and` each way takes one of every part.
    Beyond `MOST_WAYS` all that it stands on counts as one way.
    """
    if not outcome.truth:
        return ()
    if isinstance(outcome.node, Or):
        found = tuple(way for part in outcome.parts for way in ways(part))
    elif isinstance(outcome.node, And):
        parts = [ways(part) for part in outcome.parts]
        size = 1
        for part in parts:
            size *= len(part)
        if size > MOST_WAYS:
            return (frozenset(grounds(outcome)),)
        found = tuple(frozenset().union(*each) for each in product(*parts))
    elif isinstance(outcome.node, Not):
        found = (frozenset(grounds(outcome)),)
    else:
        found = (frozenset(outcome.values),)
    return tuple(dict.fromkeys(found))
