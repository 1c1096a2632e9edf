"""How much each sign, looked at next, is expected to tell: one step ahead, in bits.

Sparse: a hypothesis that a sign is not linked to shares the leak's chances, so a sign costs as
much work as it has links. A pair counts as the sum of its halves, put right only at the signs
that both halves are linked to.

The expected fall of entropy of Lindley, "On a measure of the information provided by an
experiment", Ann. Math. Statist. 27 (1956). To work it out sparsely is an idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import log2
from operator import mul

from diag.model.frozen import frozen
from diag.reason.belief.competing_risks import Chances
from diag.reason.belief.links import Links, SignTable
from diag.reason.belief.posterior import Posterior, Several

IMPOSSIBLE = 1e-6


def entropy(masses: Sequence[float]) -> float:
    """Return the entropy in bits of unnormalised masses, times their sum.

    >>> round(entropy([9 / 14, 5 / 14]), 6)  # Mitchell 1997, Table 3.2: 9 yes, 5 no
    0.940286
    """
    total = sum(masses)
    inside = total * log2(total) if total > 0 else 0.0
    return inside - sum([mass * log2(mass) for mass in masses if mass > 0])


def information_gain(before: Sequence[float], after: Iterable[Sequence[float]]) -> float:
    """Return the bits that an outcome is expected to tell, times the sum of the masses.

    `before` are the masses of what is to be told apart, `after` the same for each outcome, which
    add up to those before (Lindley 1956; Quinlan 1986).

    >>> information_gain([1.0, 1.0], [[1.0, 0.0], [0.0, 1.0]])
    2.0
    """
    return entropy(before) - sum([entropy(masses) for masses in after])


def relative_entropy(after: Sequence[float], before: Sequence[float]) -> float:
    """Return the bits that belief has moved, from the shares `before` to those `after`.

    Never below 0; over all outcomes of a look, weighed by their chances, its mean is the look's
    `information_gain` (Kullback and Leibler, "On information and sufficiency", Ann. Math. Statist.
    22 (1951)). What was held impossible before counts as one in a million.

    >>> relative_entropy([1.0, 0.0], [0.5, 0.5])
    1.0
    """
    found = [a * log2(a / max(b, IMPOSSIBLE)) for a, b in zip(after, before, strict=True) if a > 0]
    return max(0.0, sum(found))


def mutual_information(weights: Sequence[float], rows: Sequence[Chances]) -> float:
    """Return the bits that an outcome is expected to tell of which row it comes from.

    `weights` of the rows need not add to 1, the chances of each row do. The entropy of the outcome
    less its mean entropy given the row (Shannon 1948), which is the same as `information_gain` over
    the sum of the weights.

    >>> mutual_information([1.0, 1.0], [(1.0, 0.0), (0.0, 1.0)])
    1.0
    """
    within = {row: entropy(row) for row in set(rows)}
    outcomes = [sum(map(mul, weights, column)) for column in zip(*rows, strict=True)]
    left = sum([weight * within[row] for weight, row in zip(weights, rows, strict=True)])
    return (entropy(outcomes) - left) / sum(weights)


Profile = tuple[float, ...]
"""The chances of a sign's states after the first, and last the entropy in bits of all of them."""


@frozen
class Row:
    """One sign, ready to be ranked; profiles other than `alone` are differences from it."""

    reliability: float
    alone: Profile
    unknown: Profile
    linked: Mapping[int, Profile]


Shared = dict[str, list[tuple[float, Profile]]]
"""By sign, the weight of each pair of causes linked to it, and how they differ from their sum."""


class Ranker:
    """Ranks signs for one set of links; made once, then asked after every answer.

    It remembers, for each sign of at most three states, the sum of what is linked to it by
    weight, and adds up anew only where a weight has changed since: the result is the same as that
    of a new ranker, bit for bit.
    """

    __slots__ = (
        "_flat",
        "_joint",
        "_links",
        "_present",
        "_shared",
        "_signs_of",
        "_stale",
        "links",
        "rows",
    )

    def __init__(self, links: Links, reliability: Mapping[str, float] | None = None) -> None:
        """Prepare the rows; a sign not listed in `reliability` will be known for sure."""
        sure = reliability or {}
        self.links = links
        self.rows = {t.sign: _row(t, sure.get(t.sign, 1.0)) for t in links.tables}
        narrow = {sign: row for sign, row in self.rows.items() if len(row.alone) <= 3}
        self._links = {
            sign: [(cause, *_three(profile)) for cause, profile in row.linked.items()]
            for sign, row in narrow.items()
        }
        self._flat: dict[str, Profile] = {
            sign: (*_three(row.alone), *_three(row.unknown), 0.0, 0.0, 0.0)
            for sign, row in narrow.items()
        }
        self._signs_of = [[links.signs[place] for place in places] for places in links.signs_of]
        self._present = [0.0] * len(links.causes)
        self._shared: Shared = {}
        self._stale: set[str] = set()
        self._joint: dict[Several, tuple[tuple[str, Profile], ...]] = {}

    def gains(self, posterior: Posterior, signs: Iterable[str] | None = None) -> dict[str, float]:
        """Return the bits that each sign is expected to tell about which hypothesis is true.

        This is the mutual information of sign and hypothesis: the entropy of the answer less
        its expected entropy once the hypothesis is known. Raises `KeyError` for an unknown sign.
        """
        self._take_in(posterior)
        asked = self.links.signs if signs is None else tuple(signs)
        gains = {sign: self._gain(sign, posterior) for sign in asked if sign not in self._flat}
        narrow = [sign for sign in asked if sign in self._flat] if gains else asked
        self._add_up(self._stale.intersection(narrow))
        scale, unknown, log = posterior.scale, posterior.unknown, log2
        for sign, row in zip(narrow, map(self._flat.__getitem__, narrow), strict=True):
            one, two, within, apart_one, apart_two, apart_within, sum_one, sum_two, total = row
            one += unknown * apart_one + scale * sum_one
            two += unknown * apart_two + scale * sum_two
            within += unknown * apart_within + scale * total
            first = 1 - one - two
            if first > 0:
                within += first * log(first)
            if one > 0:
                within += one * log(one)
            if two > 0:
                within += two * log(two)
            gains[sign] = -within if within < 0 else 0.0
        return gains

    def _gain(self, sign: str, posterior: Posterior) -> float:
        """Return the same for one sign of any number of states."""
        row, weights, scale = self.rows[sign], posterior.weights, posterior.scale
        linked = [(self._present[cause], change) for cause, change in row.linked.items()]
        profile, shared = list(row.alone), self._shared.get(sign, ())
        for weight, change in ((weights.unknown, row.unknown), *linked, *shared):
            for place, value in enumerate(change):
                profile[place] += scale * weight * value
        *chances, within = profile
        return max(entropy([1 - sum(chances), *chances]) - within, 0.0)

    def _take_in(self, posterior: Posterior) -> None:
        """Note which signs have a linked cause or pair whose weight is another than before."""
        present, shared = posterior.weights.present(), self._pairs(posterior)
        for weight, before, signs in zip(present, self._present, self._signs_of, strict=True):
            if weight != before:
                self._stale.update(signs)
        for sign in shared.keys() | self._shared.keys():
            if shared.get(sign) != self._shared.get(sign):
                self._stale.add(sign)
        self._present, self._shared = present, shared

    def _add_up(self, signs: set[str]) -> None:
        """Add up anew what is linked to each of these signs."""
        flat, links, present, shared = self._flat, self._links, self._present, self._shared
        for sign in signs:
            one = two = within = 0.0
            for cause, more_one, more_two, more_within in links[sign]:
                weight = present[cause]
                one += weight * more_one
                two += weight * more_two
                within += weight * more_within
            for weight, (more_one, more_two, more_within) in shared.get(sign, ()):
                one += weight * more_one
                two += weight * more_two
                within += weight * more_within
            flat[sign] = (*flat[sign][:6], one, two, within)
        self._stale -= signs

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
        order = sorted(gains)
        order.sort(key=gains.__getitem__, reverse=True)
        return tuple([(sign, gains[sign]) for sign in order])

    def _pairs(self, posterior: Posterior) -> Shared:
        """Return, by sign, how each pair of causes linked to it differs from their sum."""
        found: Shared = {}
        for pair, weight in posterior.weights.pair.items():
            for sign, change in self._interaction(pair):
                found.setdefault(sign, []).append((weight, change))
        return found

    def _interaction(self, pair: Several) -> tuple[tuple[str, Profile], ...]:
        """Return, for each sign linked to two or more, the profile of all less those of each."""
        if pair not in self._joint:
            found: list[tuple[str, Profile]] = []
            for place, chances in self.links.joint(*pair):
                sign = self.links.signs[place]
                row = self.rows[sign]
                both = _profile(chances, row.reliability)
                halves = [own for cause in pair if (own := row.linked.get(cause))]
                change = _less(both, row.alone, *halves)
                found.append((sign, _three(change) if sign in self._flat else change))
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
    alone = _profile(table.leak_chances, reliability)
    unknown = _less((*[1 / states] * (states - 1), log2(states)), alone)
    linked = {
        cause: _less(_profile(chances, reliability), alone)
        for cause, chances in table.given.items()
    }
    return Row(reliability, alone, unknown, linked)


def _three(profile: Profile) -> tuple[float, float, float]:
    """Widen the profile of a sign of two states by a third that never shows."""
    return (profile[0], 0.0 if len(profile) == 2 else profile[1], profile[-1])
