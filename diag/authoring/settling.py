"""What checks would settle on a unit of which nothing is known yet."""

from __future__ import annotations

from collections.abc import Iterable

from diag.model.rulebook import Rulebook, UnitData
from diag.reason.chain.engine import Chain
from diag.reason.chain.sufficiency import Needs, SufficientSets
from diag.session.compiled_rulebook import CompiledRulebook


class Bench:
    """A unit before its first reading, and the signs that the findings of checks would settle."""

    def __init__(self, rulebook: Rulebook, unit: UnitData) -> None:
        self.compiled = CompiledRulebook.of(rulebook, unit)
        self._rulebook = rulebook
        chain = Chain(self.compiled.network, unit)
        self._sufficient = SufficientSets(chain, self.compiled.rules, rulebook.signs)
        self._known: dict[frozenset[str], tuple[str, ...]] = {}

    def needs(self, sign: str) -> Needs:
        """Return the sets of findings of which any one would settle a sign, the least first."""
        return self._sufficient.needs(sign)

    def reliability(self, sign: str) -> float:
        """Return how far a sign can be relied on when the surest readings settle it."""
        scale = self._rulebook.scales.reliability
        how = self.how(sign)
        return scale[how] if how else min(scale.values(), default=1.0)

    def how(self, sign: str) -> str:
        """Return how a sign is known by the surest readings: by the least sure of them; empty where
        none settles it."""
        scale, findings = self._rulebook.scales.reliability, self._rulebook.findings
        needs = [need for need in self.needs(sign) if need and need <= findings.keys()]
        ways = [min((findings[name].how for name in need), key=scale.__getitem__) for need in needs]
        return max(ways, key=scale.__getitem__, default="")

    def signs(self, checks: Iterable[str]) -> tuple[str, ...]:
        """Return the signs that these checks together would settle; `KeyError` for no check."""
        done = frozenset(checks)
        if done not in self._known:
            yields = [self._rulebook.checks[check].yields for check in done]
            brought = frozenset(name for names in yields for name in names)
            signs = self._rulebook.signs
            self._known[done] = tuple(s for s in signs if self._sufficient.settles(s, brought))
        return self._known[done]
