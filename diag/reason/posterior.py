"""What is believed after the evidence: probabilities of hypotheses, as data."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass

from diag.reason.links import Links

Pair = tuple[int, int]
"""Indices of two causes present together, the lower first."""


@dataclass(frozen=True, slots=True)
class Posterior:
    """Probabilities of each single cause, the pairs, nothing wrong and the unknown; they add to 1.

    `single` and `pair` are by index, for speed; the properties give the same by id.
    """

    links: Links
    single: tuple[float, ...]
    pair: Mapping[Pair, float]
    nothing: float
    unknown: float

    @property
    def singles(self) -> dict[str, float]:
        """Return the probability that a cause is present and is the only one, by id."""
        return dict(zip(self.links.causes, self.single, strict=True))

    @property
    def pairs(self) -> dict[tuple[str, str], float]:
        """Return the probability of each pair, by ids."""
        names = self.links.causes
        return {(names[i], names[j]): share for (i, j), share in self.pair.items()}

    @property
    def causes(self) -> dict[str, float]:
        """Return the probability that a cause is present, alone or in a pair, by id."""
        return dict(zip(self.links.causes, self.present(), strict=True))

    @property
    def ranking(self) -> tuple[tuple[str, float], ...]:
        """Return causes with their probabilities, the likeliest first, ties in order of id."""
        return tuple(sorted(self.causes.items(), key=lambda item: (-item[1], item[0])))

    def present(self) -> list[float]:
        """Return, by index, the probability that a cause is present, alone or in a pair."""
        present = list(self.single)
        for (i, j), share in self.pair.items():
            present[i] += share
            present[j] += share
        return present

    def without(self, mended: Set[int]) -> Posterior:
        """Return what is left once the `mended` causes (by index) are no longer there."""
        if not mended:
            return self
        single, nothing, pair = list(self.single), self.nothing, {}
        for cause in sorted(mended):
            nothing += single[cause]
            single[cause] = 0.0
        for (i, j), share in self.pair.items():
            left = [cause for cause in (i, j) if cause not in mended]
            if len(left) == 2:
                pair[i, j] = share
            elif left:
                single[left[0]] += share
            else:
                nothing += share
        return Posterior(self.links, tuple(single), pair, nothing, self.unknown)

    def predict(self, sign: str) -> dict[str, float]:
        """Return the probability of each state of a sign, were it looked at now.

        Sparse: a hypothesis without a linked cause shares the leak's chances.
        """
        table = self.links.table(sign)
        flat = self.unknown / len(table.states)
        rest, chances = 1 - self.unknown, [flat] * len(table.states)
        shares = [(self.single[cause], given) for cause, given in table.given.items()]
        shares += [
            (share, table.chances(pair))
            for pair, share in self.pair.items()
            if pair[0] in table.given or pair[1] in table.given
        ]
        for share, given in [*shares, (rest - sum(share for share, _ in shares), table.alone)]:
            for state, chance in enumerate(given):
                chances[state] += share * chance
        return dict(zip(table.states, chances, strict=True))
