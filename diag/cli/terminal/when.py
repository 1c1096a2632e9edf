"""Times as they are kept, in UTC, written as the clock on the wall shows them here."""

from __future__ import annotations

from datetime import datetime


def local(at: str) -> str:
    """Return a kept time to the minute, in the time of this place; as it stands if it is none."""
    try:
        return datetime.fromisoformat(at).astimezone().strftime("%Y-%m-%d %H:%M")
    except (ValueError, OverflowError, OSError):
        return at
