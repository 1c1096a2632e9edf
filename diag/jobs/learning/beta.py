"""The beta distribution: what is known of a chance after so many times of so many.

The regularised incomplete beta function by its continued fraction (NIST Digital Library of
Mathematical Functions 8.17.22), summed by the modified method of Lentz (Thompson and Barnett,
Coulomb and Bessel functions of complex arguments and order, 1986); its inverse by Newton's steps,
halved where they would leave the bracket.
"""

from __future__ import annotations

from math import exp, lgamma, log, log1p

from diag.model.frozen import frozen

TINY, CLOSE, MOST_TERMS, MOST_STEPS = 1e-300, 1e-14, 10_000, 200
LEAST = 1e-12
"""A chance below this is told as 0."""


@frozen
class Beta:
    """A belief about a chance; `a` and `b` are above 0."""

    a: float
    b: float

    @property
    def mean(self) -> float:
        """Return the mean, from 0 to 1."""
        return self.a / (self.a + self.b)

    def below(self, chance: float) -> float:
        """Return how sure it is that the chance is at most this.

        >>> round(Beta(2.0, 1.0).below(0.5), 12)
        0.25
        """
        if chance <= 0:
            return 0.0
        if chance >= 1:
            return 1.0
        a, b = self.a, self.b
        front = a * log(chance) + b * log1p(-chance) - _log_beta(a, b)
        # The fraction is quick on this side of the mean; the other side is one less its mirror.
        if chance < (a + 1) / (a + b + 2):
            return exp(front) * _fraction(a, b, chance) / a
        return 1 - exp(front) * _fraction(b, a, 1 - chance) / b

    def quantile(self, sure: float) -> float:
        """Return the chance that it is this sure not to be above; 0 for one below `LEAST`."""
        if self.below(LEAST) >= sure:
            return 0.0
        low, high, tried = LEAST, 1.0, self.mean
        for _ in range(MOST_STEPS):
            over = self.below(tried) - sure
            low, high = (low, tried) if over > 0 else (tried, high)
            slope = self._density(tried)
            better = tried - over / slope if slope else high
            if not low < better < high:
                better = (low + high) / 2
            if abs(better - tried) <= CLOSE * tried:
                break
            tried = better
        return tried

    def _density(self, chance: float) -> float:
        a, b = self.a, self.b
        return exp((a - 1) * log(chance) + (b - 1) * log1p(-chance) - _log_beta(a, b))

    def holds(self, chance: float, sure: float = 0.95) -> bool:
        """Tell whether a chance lies in the middle interval, without working out its ends."""
        return (1 - sure) / 2 <= self.below(chance) <= (1 + sure) / 2

    def interval(self, sure: float = 0.95) -> tuple[float, float]:
        """Return the middle interval in which the chance is, this sure."""
        return self.quantile((1 - sure) / 2), self.quantile((1 + sure) / 2)


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def _fraction(a: float, b: float, x: float) -> float:
    """Return one over the continued fraction of DLMF 8.17.22."""
    c, d = 1.0, _away(1 - (a + b) * x / (a + 1))
    d = 1 / d
    found = d
    for m in range(1, MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / _away(1 + term * d)
            c = _away(1 + term / c)
            found *= c * d
        if abs(c * d - 1) < CLOSE:
            break
    return found


def _away(number: float) -> float:
    """Keep a number away from 0, so that it can be divided by."""
    return number if abs(number) > TINY else TINY
