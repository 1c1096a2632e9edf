"""What a learner does at the bench, one deed for each line typed, and how it is stored."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args
from typing import Literal as OneOf

from diag.model.frozen import frozen

DeedKind = OneOf["read", "shake", "ready", "repair", "swap", "hint", "call"]


_OF_ONE, _OF_SOME = ("ready", "repair", "swap"), ("read",)
"""Deeds that name just one thing, and one at least."""


@frozen
class Deed:
    """One thing done: its kind, what it is done to by the rules' names, and the words typed.

    `read` names findings and checks, `shake` parts (none: everything), `ready` what acts need,
    `repair` causes, `swap` parts, `call` causes (none: nothing is wrong); `hint` names nothing.
    """

    kind: DeedKind
    names: tuple[str, ...] = ()
    said: str = ""


def as_payload(deed: Deed) -> dict[str, Any]:
    """Return what is stored of a deed beside its kind."""
    return {"names": list(deed.names), "said": deed.said}


def deed_from(kind: str, payload: Mapping[str, Any]) -> Deed | None:
    """Return a stored deed; None for one that this version cannot read.

    >>> deed_from("swap", {"names": ["filter"], "said": "swap filter"})
    Deed(kind='swap', names=('filter',), said='swap filter')
    """
    names = payload.get("names")
    if kind not in get_args(DeedKind) or not isinstance(names, list):
        return None
    fits = len(names) == 1 if kind in _OF_ONE else names or kind not in _OF_SOME
    if not fits or not all(isinstance(each, str) for each in names):
        return None
    said = payload.get("said")
    return Deed(kind, tuple(names), said if isinstance(said, str) else "")  # type: ignore[arg-type]
