"""Which checks separate which causes: what the rulebook detects and isolates.

Two causes are told apart when all the signs that the checks settle, taken together, would
mislead at most one guess in three between the two at even odds. The measure is half the product
of the signs' overlaps (see `predictive.overlap`), an upper bound on the share of wrong guesses:
one sign that one cause shows in three of four units and the other hardly ever just does it, or
two signs at one in two. Signs count as independent given the cause, a sign made redundant by
another is left out, and answers are taken as right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import prod

from diag.authoring.predictive import expected, overlap
from diag.authoring.settling import Bench
from diag.authoring.testability import Assessment, assess
from diag.model.rulebook import Rulebook, UnitData
from diag.reason.belief.links import Links

MOST_MISTAKES = 1 / 3
"""Share of wrong guesses, at even odds, up to which two causes count as told apart."""
CLOSEST = 5
"""How many of the most alike pairs are named although they are told apart."""


@dataclass(frozen=True, slots=True)
class CausePair:
    """Two causes, the bound on wrong guesses between them, and what the rulebook itself says
    tells them apart (empty when it says nothing)."""

    causes: tuple[str, str]
    mistakes: float
    explained: str


@dataclass(frozen=True, slots=True)
class Separation:
    """A check, and how many pairs of causes it tells apart all by itself."""

    check: str
    signs: tuple[str, ...]
    pairs: int
    detects: int


@dataclass(frozen=True, slots=True)
class Coverage:
    """What all checks together detect and isolate, and what each adds."""

    figures: Assessment
    unseparated: tuple[CausePair, ...]
    """Causes that all checks together do not tell apart, the most alike first."""
    closest: tuple[CausePair, ...]
    """The most alike of those that are told apart."""
    checks: tuple[Separation, ...]
    unsettled: tuple[str, ...]
    """Signs that no check, nor all of them together, can settle on this unit."""


def settled_by(rulebook: Rulebook, unit: UnitData, checks: Iterable[str]) -> tuple[str, ...]:
    """Return the signs that the findings of these checks would settle, redundant ones left out.

    Raises `KeyError` for an unknown check.
    """
    return _kept(rulebook, Bench(rulebook, unit).signs(checks))


def coverage(
    rulebook: Rulebook, unit: UnitData, progress: Callable[[float], None] = lambda _: None
) -> Coverage:
    """Work out what the checks detect and isolate on a unit, over all causes by their share.

    `progress` is told the share of the work done, 0 to 1. Raises `ValueError` for a rulebook
    without causes.
    """
    bench = Bench(rulebook, unit)
    links = bench.compiled.links
    every = bench.signs(rulebook.checks)
    mistakes = _mistakes(links, _kept(rulebook, every))
    figures = assess(
        {cause.id: cause.odds for cause in rulebook.causes.values()},
        lambda one, other: mistakes(one, other) <= MOST_MISTAKES,
        lambda name: rulebook.causes[name].repair.do,
    )
    pairs = [
        CausePair((one, other), mistakes(one, other), _explained(rulebook, one, other))
        for one, other in combinations(rulebook.causes, 2)
    ]
    pairs.sort(key=lambda pair: (-pair.mistakes, pair.causes))
    told = [pair for pair in pairs if pair.mistakes <= MOST_MISTAKES]
    alone = _separations(rulebook, bench, links, progress)
    return Coverage(
        figures,
        tuple(pair for pair in pairs if pair.mistakes > MOST_MISTAKES),
        tuple(told[:CLOSEST]),
        tuple(sorted(alone, key=lambda one: (-one.pairs, one.check))),
        tuple(sign for sign in rulebook.signs if sign not in every),
    )


def _kept(rulebook: Rulebook, signs: tuple[str, ...]) -> tuple[str, ...]:
    """Leave out the signs that another of them makes redundant."""
    redundant = {name for sign in signs for name in rulebook.signs[sign].supersedes}
    return tuple(sign for sign in signs if sign not in redundant)


Between = Callable[[str, str], float]


def _mistakes(links: Links, signs: Iterable[str]) -> Between:
    """Return the bound on wrong guesses between two causes, or a cause and none (empty)."""
    tables = [links.table(sign) for sign in signs]

    @cache
    def between(one: str, other: str) -> float:
        places = [links.cause_index[name] for name in (one, other) if name]
        # A sign linked to neither is expected alike under both and changes nothing.
        linked = [t.sign for t in tables if any(place in t.given for place in places)]
        return 0.5 * prod(
            overlap(expected(links, one, sign), expected(links, other, sign)) for sign in linked
        )

    return between


def _explained(rulebook: Rulebook, one: str, other: str) -> str:
    first, second = rulebook.causes[one], rulebook.causes[other]
    return first.confused_with.get(other) or second.confused_with.get(one, "")


def _separations(
    rulebook: Rulebook, bench: Bench, links: Links, progress: Callable[[float], None]
) -> Iterator[Separation]:
    for number, check in enumerate(rulebook.checks):
        progress(number / len(rulebook.checks))
        signs = _kept(rulebook, bench.signs([check]))
        mistakes = _mistakes(links, signs)
        pairs = sum(
            mistakes(one, other) <= MOST_MISTAKES for one, other in combinations(rulebook.causes, 2)
        )
        detects = sum(mistakes(one, "") <= MOST_MISTAKES for one in rulebook.causes)
        yield Separation(check, signs, pairs, detects)
