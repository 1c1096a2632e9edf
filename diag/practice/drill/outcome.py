"""What comes of a deed at the bench."""

from __future__ import annotations

from dataclasses import dataclass, field

from diag.practice.drill.deeds import Deed
from diag.practice.drill.hindrances import Hindrance
from diag.session.journal.events import Event


@dataclass(slots=True)
class DeedOutcome:
    """What came of a deed, to be told: what was heard, what is seen, and what stood in the way."""

    heard: str
    said: list[str] = field(default_factory=list)
    stopped: Hindrance | None = None
    dangers: tuple[str, ...] = ()
    """Dangers of the rules that its readings raised."""
    cautions: tuple[str, ...] = ()


@dataclass(slots=True)
class DrillStep:
    """One deed of a drill with what it brought and took; `events` is what a session calls them."""

    deed: Deed
    outcome: DeedOutcome
    events: tuple[Event, ...]
    minutes: float
    waited: float
