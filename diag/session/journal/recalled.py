"""What a session uses of the record beside it: written down as it opens, so that the journal alone
says what the session is.

The numbers are those that were used; a record that grows later changes no session that is begun.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isfinite
from typing import Any

from diag.model.frozen import frozen


@frozen
class Recollection:
    """What the record says of one cause: what its odds are multiplied by, and why, in words.

    `why` is empty where it is one of the shares of the whole record.
    """

    cause: str
    times: float
    why: str = ""


@frozen
class Recalled:
    """What is known beside the rules: it takes the place of what was recalled before."""

    complaint: str = ""
    """The complaint for which `shares` hold; they count while that is complained of."""
    repairs: int = 0
    """The proved repairs from which `shares` follow."""
    shares: tuple[Recollection, ...] = ()
    """How much more, or less, common causes are here than the rules say."""
    past: tuple[Recollection, ...] = ()
    """What was done to this very unit, as far as it makes causes likelier or less likely."""

    def counting(self, complaints: tuple[str, ...]) -> Iterator[Recollection]:
        """Yield what counts while these complaints are made."""
        if self.complaint in complaints:
            yield from self.shares
        yield from self.past


def recalled_from_data(data: Mapping[str, Any]) -> Recalled:
    """Return what was stored; `KeyError`, `TypeError` or `ValueError` where it cannot be read."""
    fields = dict(data)
    for key in ("shares", "past"):
        if not isinstance(fields.get(key, []), list | tuple):
            raise TypeError(f"`{key}` is no list")
        fields[key] = tuple(_recollection(one) for one in fields.get(key, []))
    made = Recalled(**fields)
    if not isinstance(made.complaint, str) or not isinstance(made.repairs, int):
        raise TypeError("a complaint and a number of repairs are expected")
    return made


def _recollection(data: Any) -> Recollection:
    if not isinstance(data, Mapping):
        raise TypeError("a recollection of a cause is expected")
    made = Recollection(**data)
    if not isinstance(made.cause, str) or not isinstance(made.why, str):
        raise TypeError("a cause and a reason are texts")
    if not (isfinite(made.times) and made.times > 0):
        raise ValueError("odds are multiplied by a number above 0")
    return made
