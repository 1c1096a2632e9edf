"""A worked case: a unit on the bench with all that its checks would show, and the truth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from diag.model.frozen import frozen
from diag.model.problem import Place
from diag.model.rulebook import NOWHERE, Value


@frozen
class Case:
    """A complaint, what every check would show, and the truth."""

    id: str
    unit: str
    complaint: str
    truth: tuple[str, ...]
    readings: Mapping[str, Value]
    dangers: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    """Readings planted wrong; the tool is to name one of them."""
    volunteered: tuple[str, ...] = ()
    """Findings that the owner tells before anything is asked."""
    after: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)
    """Cause to what reads otherwise once it has been repaired; danger, once it was heeded."""
    path: tuple[str, ...] = ()
    """The checks of the shortest way to the truth, in order."""
    note: str = ""
    place: Place = NOWHERE
