"""How a session on a worked case went, held against what the case says is true."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.model.case import Case
from diag.session.proof.ending import Ending

FIRST = 3
"""Among so many of the likeliest causes both of two stand, proposed or not."""


@dataclass(frozen=True, slots=True)
class CaseRun:
    """How a session on a case ended, and whether it found the truth."""

    case: Case
    ranking: tuple[tuple[str, float], ...]
    nothing: float
    unknown: float
    dangers: tuple[str, ...]
    """The dangers raised, in order."""
    proposed: tuple[str, ...]
    """The repairs proposed, in order."""
    late_dangers: tuple[str, ...]
    """Dangers raised only after a repair or another check had been proposed."""
    forbidden: tuple[str, ...]
    """Checks and repairs put forward while a danger forbade what they do."""
    suspects: tuple[str, ...]
    """Readings that the tool asks to take again."""
    checks: tuple[str, ...]
    minutes: float
    path_minutes: float
    """The minutes of the case's own path; 0 where it gives none."""
    ending: Ending | None
    """None where the session stopped at a repair."""

    @property
    def failures(self) -> tuple[str, ...]:
        """Say in one sentence each what is not as the case wants it; empty when all is well."""
        return (*self._causes(), *self._of_dangers(), *self._of_readings())

    @property
    def wrong_repairs(self) -> tuple[str, ...]:
        """Return the repairs proposed that the unit does not need."""
        return tuple(name for name in self.proposed if name not in self.case.truth)

    def _causes(self) -> Iterator[str]:
        truth = self.case.truth
        ranked = dict.fromkeys((*self.proposed, *(name for name, _ in self.ranking)))
        first = list(ranked)[: 1 if len(truth) < 2 else FIRST]
        missed = [name for name in truth if name not in first]
        if missed:
            lost = ", ".join(f"`{name}`" for name in missed)
            leading = ", ".join(f"`{name}` {share:.2f}" for name, share in self.ranking[:3])
            yield f"{lost} is not found; leading are {leading}"
        if not truth and self.ranking and self.ranking[0][1] >= self.nothing:
            name, share = self.ranking[0]
            yield f"nothing is wrong, yet `{name}` leads with {share:.2f}"
        if self.ending and self.ending.kind == "proved":
            made = {result.cause for result in self.ending.results}
            left = ", ".join(f"`{name}`" for name in truth if name not in made)
            if left:
                yield f"it says proved, and {left} was never repaired"
        if self.ending and self.ending.kind == "nothing wrong" and truth:
            yield "it says that nothing is wrong"

    def _of_dangers(self) -> Iterator[str]:
        for name in self.case.dangers:
            if name not in self.dangers:
                yield f"danger `{name}` is not raised"
        for name in dict.fromkeys(self.dangers):
            if name not in self.case.dangers:
                yield f"danger `{name}` is raised, which the case does not know"
        for name in self.late_dangers:
            yield f"danger `{name}` is raised too late"
        for name in self.forbidden:
            yield f"`{name}` is put forward although a danger forbids it"

    def _of_readings(self) -> Iterator[str]:
        if self.case.wrong and not set(self.case.wrong) & set(self.suspects):
            planted = ", ".join(f"`{name}`" for name in self.case.wrong)
            yield f"the wrong reading {planted} is not suspected"
