"""How much each sign, looked at next, is expected to tell: one step ahead, in bits.

Sparse: a hypothesis that a sign is not linked to shares the leak's chances, so a sign costs as
much work as it has links. A pair counts as the sum of its halves, put right only at the signs
that both halves are linked to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log2
from operator import itemgetter

from diag.reason.clocks import Chances
from diag.reason.links import Links, SignTable
from diag.reason.posterior import Pair, Posterior


def entropy(chances: Iterable[float]) -> float:
    """Return the entropy in bits.

    >>> round(entropy([9 / 14, 5 / 14]), 6)
    0.940286
    """
    return -sum(chance * log2(chance) for chance in chances if chance > 0)


Profile = tuple[float, ...]
"""The chances of a sign's states after the first, and last the entropy in bits of all of them."""


@dataclass(frozen=True, slots=True)
class Row:
    """One sign, ready to be ranked; profiles other than `alone` are differences from it."""

    reliability: float
    alone: Profile
    unknown: Profile
    linked: Mapping[int, Profile]
    narrow: tuple[float, float, float, float, float, float, tuple[Link, ...]] | None
    """The same for at most three states, laid out flat for the one loop where time counts."""


Link = tuple[int, float, float, float]


class Ranker:
    """Ranks signs for one set of links; made once, then asked after every answer."""

    __slots__ = ("_joint", "_narrow", "links", "rows")

    def __init__(self, links: Links, reliability: Mapping[str, float] | None = None) -> None:
        """Prepare the rows; a sign not listed in `reliability` will be known for sure."""
        sure = reliability or {}
        self.links = links
        self.rows = {t.sign: _row(t, sure.get(t.sign, 1.0)) for t in links.tables}
        self._narrow = {sign: row.narrow for sign, row in self.rows.items()}
        self._joint: dict[Pair, tuple[tuple[str, Profile], ...]] = {}

    def gains(self, posterior: Posterior, signs: Iterable[str] | None = None) -> dict[str, float]:
        """Return the bits that each sign is expected to tell about which hypothesis is true.

        This is the mutual information of sign and hypothesis: the entropy of the answer less
        its expected entropy once the hypothesis is known. Raises `KeyError` for an unknown sign.
        """
        narrows, present, unknown = self._narrow, posterior.present(), posterior.unknown
        shared = self._shared(posterior)
        gains: dict[str, float] = {}
        for sign in self.links.signs if signs is None else signs:
            narrow = narrows[sign]
            if narrow is None:
                gains[sign] = _gain(self.rows[sign], present, unknown, shared.get(sign, ()))
                continue
            one, two, within, flat_one, flat_two, flat_within, links = narrow
            one += unknown * flat_one
            two += unknown * flat_two
            within += unknown * flat_within
            for cause, more_one, more_two, more_within in links:
                share = present[cause]
                one += share * more_one
                two += share * more_two
                within += share * more_within
            if sign in shared:
                for share, (more_one, more_two, more_within) in shared[sign]:
                    one += share * more_one
                    two += share * more_two
                    within += share * more_within
            first = 1 - one - two
            if first > 0:
                within += first * log2(first)
            if one > 0:
                within += one * log2(one)
            if two > 0:
                within += two * log2(two)
            gains[sign] = -within if within < 0 else 0.0
        return gains

    def rank(
        self,
        posterior: Posterior,
        signs: Iterable[str] | None = None,
        minutes: Mapping[str, float] | None = None,
    ) -> tuple[tuple[str, float], ...]:
        """Return signs with their bits, or bits per minute, the best first, ties by id."""
        gains = self.gains(posterior, signs)
        if minutes is not None:
            gains = {sign: gain / minutes[sign] for sign, gain in gains.items()}
        return tuple(sorted(sorted(gains.items()), key=itemgetter(1), reverse=True))

    def _shared(self, posterior: Posterior) -> dict[str, list[tuple[float, Profile]]]:
        """Return, by sign, how each pair of causes linked to it differs from their sum."""
        found: dict[str, list[tuple[float, Profile]]] = {}
        for pair, share in posterior.pair.items():
            for sign, change in self._interaction(pair):
                found.setdefault(sign, []).append((share, change))
        return found

    def _interaction(self, pair: Pair) -> tuple[tuple[str, Profile], ...]:
        """Return, for each sign linked to both, the pair's profile less those of its halves."""
        if pair not in self._joint:
            found: list[tuple[str, Profile]] = []
            for place, chances in self.links.joint(*pair):
                sign = self.links.signs[place]
                row = self.rows[sign]
                both = _profile(chances, row.reliability)
                halves = [row.linked[cause] for cause in pair]
                change = _less(both, row.alone, *halves)
                found.append((sign, _three(change) if row.narrow else change))
            self._joint[pair] = tuple(found)
        return self._joint[pair]


def _profile(chances: Chances, reliability: float) -> Profile:
    flat = (1 - reliability) / len(chances)
    mixed = [reliability * chance + flat for chance in chances]
    return (*mixed[1:], entropy(mixed))


def _less(whole: Profile, *parts: Profile) -> Profile:
    return tuple(first - sum(rest) for first, *rest in zip(whole, *parts, strict=True))


def _row(table: SignTable, reliability: float) -> Row:
    states = len(table.states)
    alone = _profile(table.alone, reliability)
    unknown = _less((*[1 / states] * (states - 1), log2(states)), alone)
    linked = {
        cause: _less(_profile(chances, reliability), alone)
        for cause, chances in table.given.items()
    }
    narrow = None
    if states <= 3:
        links = tuple((cause, *_three(profile)) for cause, profile in linked.items())
        narrow = (*_three(alone), *_three(unknown), links)
    return Row(reliability, alone, unknown, linked, narrow)


def _three(profile: Profile) -> tuple[float, float, float]:
    """Widen the profile of a sign of two states by a third that never shows."""
    return (profile[0], 0.0 if len(profile) == 2 else profile[1], profile[-1])


def _gain(
    row: Row, present: list[float], unknown: float, shared: Iterable[tuple[float, Profile]]
) -> float:
    """Return the same as the flat loop, for any number of states and for pairs that interact."""
    profile = list(row.alone)
    own = ((present[cause], change) for cause, change in row.linked.items())
    for share, change in ((unknown, row.unknown), *own, *shared):
        for place, value in enumerate(change):
            profile[place] += share * value
    *chances, within = profile
    return max(entropy([1 - sum(chances), *chances]) - within, 0.0)
