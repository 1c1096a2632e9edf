"""What a cause lets one expect of a sign, and how far two such expectations lie apart."""

from __future__ import annotations

from math import sqrt

from diag.logic.rests_on import depending_on, directly_below, resting_on
from diag.model.rulebook import Rulebook
from diag.reason.belief.competing_risks import Chances
from diag.reason.belief.links import Links


def expected(links: Links, cause: str, sign: str) -> Chances:
    """Return P(state | only this cause) for each state of a sign; no cause when it is empty.

    Raises `KeyError` for an unknown cause or sign.
    """
    table = links.table(sign)
    return table.chances([links.cause_index[cause]] if cause else [])


def apart(one: Chances, other: Chances) -> float:
    """Return the total variation distance, 0 for alike to 1 for never the same state.

    Whoever must say which of the two is present, at even odds, is right in (1 + distance) / 2
    of all cases at best.

    >>> round(apart((0.5, 0.5), (0.98, 0.02)), 2)
    0.48
    """
    return 0.5 * sum(abs(a - b) for a, b in zip(one, other, strict=True))


def overlap(one: Chances, other: Chances) -> float:
    """Return the Bhattacharyya coefficient, 1 for alike to 0 for never the same state.

    Coefficients of independent signs multiply, and the share of wrong guesses between two at even
    odds is at most half the product (Kailath, IEEE Trans. Commun. Technol. 15, 1967, from memory).

    >>> round(overlap((0.25, 0.75), (0.98, 0.02)), 3)
    0.617
    """
    return sum(sqrt(a * b) for a, b in zip(one, other, strict=True))


def signs_resting_on(rulebook: Rulebook, name: str) -> tuple[str, ...]:
    """Return the signs whose state can hang on a name, the name itself if it is a sign."""
    below = directly_below(rulebook.rules, rulebook.figures, rulebook.signs)
    reached = depending_on(name, below)
    return tuple(sign for sign in rulebook.signs if sign in reached)


def readings_under(rulebook: Rulebook) -> dict[str, frozenset[str]]:
    """Return, for each sign, the findings that its state can hang on."""
    below = directly_below(rulebook.rules, rulebook.figures, rulebook.signs)

    def under(name: str) -> tuple[str, ...] | None:
        return None if name in rulebook.findings else below.get(name)

    return {
        sign: frozenset(resting_on([sign], under)).intersection(rulebook.findings)
        for sign in rulebook.signs
    }
