"""Dangers over a session: raised by a reading, held until later readings release them.

A danger holds from the journal's entry that makes `raised when` true, or reads it true once more,
until one makes `released when` true from readings that are all taken after it. While a defect in
plain sight raises it nothing releases it: clean air on one day makes no torn gasket tight.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from diag.logic.evaluate import evaluate
from diag.logic.rests_on import Direct, findings_under
from diag.logic.ways import ways
from diag.model.frozen import frozen
from diag.model.rulebook import Danger, Rulebook
from diag.reason.chain.engine import Chain

Under = Callable[[Iterable[str]], frozenset[str]]
"""Names to the findings on which they rest as things stand."""
Since = Callable[[int], Chain]
"""The conclusions from the readings taken after a moment alone."""


@frozen
class HeldDanger:
    """A danger that holds: the moment of the reading that raised it, and that reading's finding."""

    since: int
    by: str
    heeded: bool = False
    """Whether the user has been told and has done what is to be done at once."""


@frozen
class Passage:
    """What became of a danger at a moment: it was `raised` or `released` by a reading."""

    danger: str
    what: str
    by: str
    moment: int


@frozen
class Watched:
    """The dangers of a rulebook, and the findings by which each is raised or released."""

    dangers: Mapping[str, Danger]
    raised_by: Mapping[str, tuple[str, ...]]
    released_by: Mapping[str, tuple[str, ...]]
    in_sight: Mapping[str, frozenset[str]]
    """Danger to the findings that raise it and have a state which is a defect in plain sight."""

    @classmethod
    def of(cls, rulebook: Rulebook, below: Direct) -> Watched:
        """Work out what each danger rests on, as the rules are written."""
        raising: dict[str, list[str]] = {}
        releasing: dict[str, list[str]] = {}
        in_sight: dict[str, frozenset[str]] = {}
        signs = rulebook.signs
        for name, danger in rulebook.dangers.items():
            raises = findings_under(danger.raised_when, rulebook.findings, below)
            releases = findings_under(danger.released_when, rulebook.findings, below)
            seen = frozenset(one for one in raises if one in signs and signs[one].defects)
            in_sight[name] = seen
            for finding in raises:
                raising.setdefault(finding, []).append(name)
            for finding in seen.union(releases):
                releasing.setdefault(finding, []).append(name)
        return cls(
            rulebook.dangers,
            {finding: tuple(names) for finding, names in raising.items()},
            {finding: tuple(names) for finding, names in releasing.items()},
            in_sight,
        )


@frozen
class Conclusions:
    """What follows from the readings so far, and how to ask it about some of them."""

    chain: Chain
    under: Under
    since: Since


@dataclass(slots=True)
class DangerWatch:
    """The dangers that hold, kept up to date reading by reading."""

    about: Watched
    held: dict[str, HeldDanger] = field(default_factory=dict)
    passages: list[Passage] = field(default_factory=list)

    def read(self, finding: str, moment: int, so_far: Conclusions) -> None:
        """Take in that a finding was read at a moment; the conclusions hold it already."""
        for name in self.about.raised_by.get(finding, ()):
            if any(finding in way for way in self._raising(name, so_far)):
                self.held[name] = HeldDanger(moment, finding)
                self.passages.append(Passage(name, "raised", finding, moment))
        for name in self.about.released_by.get(finding, ()):
            standing = self.held.get(name)
            if standing is None or standing.since >= moment:
                continue
            later = so_far.since(standing.since)
            released = evaluate(self.about.dangers[name].released_when, later).truth
            if released and not self.in_sight(name, so_far):
                del self.held[name]
                self.passages.append(Passage(name, "released", finding, moment))

    def in_sight(self, danger: str, so_far: Conclusions) -> frozenset[str]:
        """Return the findings by whose latest look a defect in plain sight raises a danger."""
        raising = self._raising(danger, so_far) if self.about.in_sight[danger] else ()
        return self.about.in_sight[danger] & frozenset().union(*raising)

    def _raising(self, danger: str, so_far: Conclusions) -> list[frozenset[str]]:
        """Return, for each way in which a danger is raised, the findings on which that rests."""
        found = ways(evaluate(self.about.dangers[danger].raised_when, so_far.chain))
        return [so_far.under(way) for way in found]

    def heed(self, danger: str) -> None:
        """Take in that the user has seen a danger."""
        if danger in self.held:
            self.held[danger] = replace(self.held[danger], heeded=True)

    @property
    def unheeded(self) -> tuple[str, ...]:
        """Return the dangers that the user has not been told of yet, in order of id."""
        return tuple(sorted(name for name, one in self.held.items() if not one.heeded))

    @property
    def forbidden(self) -> frozenset[str]:
        """Return the acts that the dangers which hold forbid together."""
        return frozenset(act for name in self.held for act in self.about.dangers[name].forbids)
