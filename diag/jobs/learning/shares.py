"""How common causes are here: the rules' word and the proved repairs of the record, together.

The shares of the causes of a complaint are Dirichlet: the rules' shares are worth so many repairs
(`record strength` of the settings), each proved repair is one more. The share of one cause is then
beta. Gelman and others, Bayesian Data Analysis, 3rd edition (2013), section 3.4.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import exp, fsum

from diag.jobs.learning.beta import Beta
from diag.model.frozen import frozen
from diag.model.rulebook import Rulebook
from diag.model.settings import Settings
from diag.reason.belief.belief import Priors, start
from diag.reason.belief.links import Links, compile_links
from diag.session.journal.recalled import Recalled, Recollection

DIGITS = 6
LEAST_STRENGTH = 1.0
"""The rules' word is worth one repair at least, or a first repair would be all that is known."""


@frozen
class LearnedShare:
    """The share of a cause among those of a complaint, from 0 to 1."""

    cause: str
    rules: float
    """By the rules alone."""
    repairs: int
    """Proved repairs in the record."""
    here: Beta
    """By both."""

    @property
    def times(self) -> float:
        """Return by how much the record makes the cause more common than the rules say."""
        return self.here.mean / self.rules


@frozen
class LearnedShares:
    """The causes of a complaint, in order of id."""

    complaint: str
    repairs: int
    """Proved repairs of the record, of all units."""
    of_unit: int | None
    """Those of the unit asked for, where they are enough to be weighed by themselves."""
    shares: tuple[LearnedShare, ...]


def rules_shares(links: Links, settings: Settings, complaint: str) -> dict[str, float]:
    """Return the share of each cause among those of a complaint, by the rules; they add up to 1."""
    bare = start(links, Priors.from_settings(settings), complaint).bare
    weights = {name: exp(log) for name, log in zip(links.causes, bare, strict=True)}
    total = fsum(weights.values())
    return {name: weight / total for name, weight in weights.items() if weight}


def dirichlet(
    shares: Mapping[str, float], counts: Mapping[str, int], strength: float
) -> dict[str, Beta]:
    """Return the share of each cause after so many times each, from shares worth `strength` times.

    >>> dirichlet({"rust": 0.75, "wear": 0.25}, {"wear": 2}, 4.0)["wear"].mean
    0.5
    """
    whole = strength + sum(counts.get(name, 0) for name in shares)
    found = {}
    for name, share in shares.items():
        a = strength * share + counts.get(name, 0)
        found[name] = Beta(a, whole - a)
    return found


def learned_shares(
    book: Rulebook,
    complaint: str,
    proved: Mapping[tuple[str, str], int],
    unit: str = "",
    links: Links | None = None,
) -> LearnedShares:
    """Return the shares by rules and record; `proved` counts repairs by unit and cause.

    Where a unit has at least as many proved repairs as the rules' word is worth, those of the
    others are taken in first, and what comes of that is worth as much for this unit.
    """
    settings = book.scales.settings
    strength = max(settings.record_strength, LEAST_STRENGTH)
    links = links or compile_links(book.signs, book.causes)
    rules = rules_shares(links, settings, complaint)
    own = _counts(proved, rules, lambda each: each == unit)
    others = _counts(proved, rules, lambda each: each != unit)
    total, of_unit = sum(own.values()) + sum(others.values()), sum(own.values())
    counts = {name: own.get(name, 0) + others.get(name, 0) for name in rules}
    enough = bool(unit) and of_unit >= strength
    if enough:
        among = {name: one.mean for name, one in dirichlet(rules, others, strength).items()}
        here = dirichlet(among, own, strength)
    else:
        here = dirichlet(rules, counts, strength)
    shares = tuple(LearnedShare(name, rules[name], counts[name], here[name]) for name in rules)
    return LearnedShares(complaint, total, of_unit if enough else None, shares)


def _counts(
    proved: Mapping[tuple[str, str], int],
    causes: Mapping[str, float],
    wanted: Callable[[str], bool],
) -> dict[str, int]:
    """Return how often each cause was proved, on the units that are wanted."""
    counts: dict[str, int] = {}
    for (unit, cause), count in proved.items():
        if cause in causes and wanted(unit):
            counts[cause] = counts.get(cause, 0) + count
    return counts


def as_recalled(learned: LearnedShares, past: tuple[Recollection, ...] = ()) -> Recalled:
    """Return what a session writes down of the record, and of the unit's own past beside it."""
    shares = learned.shares if learned.repairs else ()
    told = (Recollection(one.cause, _written(one.times)) for one in shares)
    return Recalled(learned.complaint, learned.repairs, tuple(told), past)


def _written(number: float) -> float:
    return float(f"{number:.{DIGITS}g}")
