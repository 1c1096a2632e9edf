"""What was read, stage by stage, each begun by a repair: of the journal alone, without any rules.

So a session is shown even where the rules no longer know its unit. What a reading was judged by,
and all else that takes rules, is in `session.py` beside this.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from diag.session.journal.effective import effective
from diag.session.journal.events import Answered, Event, Repaired


@dataclass(slots=True)
class ReadStage:
    """What was read up to the next repair; `after` is the cause repaired before, empty at first."""

    after: str = ""
    readings: dict[str, Answered] = field(default_factory=dict)
    """Finding to its latest answer in this stage, in the order in which they were first read."""


def stages_of(journal: Sequence[Event]) -> list[ReadStage]:
    """Return the stages of a journal, without what was taken back; the first is always there."""
    stages = [ReadStage()]
    for entry in effective(journal):
        if isinstance(entry.event, Repaired):
            stages.append(ReadStage(entry.event.cause))
        elif isinstance(entry.event, Answered):
            stages[-1].readings[entry.event.finding] = entry.event
    return stages
