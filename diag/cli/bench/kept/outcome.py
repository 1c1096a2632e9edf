"""What a bench sum came to, for a session: what went in, and the verdicts and figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.bench.figures import rounded
from diag.bench.report import BenchReport
from diag.model.frozen import frozen

LONGEST = 1000


@frozen
class BenchOutcome:
    """A sum by its command, its inputs as typed, by option, and what it says, by sentence."""

    command: str
    answers: Mapping[str, str]
    says: tuple[str, ...]

    @property
    def remark(self) -> str:
        """Return all of it as one remark for the record."""
        went_in = ", ".join(f"{option} {text}" for option, text in self.answers.items())
        return f"{self.command} ({went_in}): {'; '.join(self.says)}"[:LONGEST]


Take = Callable[[BenchOutcome], None]
"""What is done with a sum once it is shown."""


def outcome_of(command: str, answers: Mapping[str, str], report: BenchReport) -> BenchOutcome:
    """Return what a report says, verdicts first."""
    figures = (f"{one.name} {rounded(one.value, one.error, one.unit)}" for one in report.figures)
    sentences = (one.sentence for one in report.judgements)
    return BenchOutcome(command, answers, (*sentences, *figures))
