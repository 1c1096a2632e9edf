"""Where what a rulebook holds comes from."""

from __future__ import annotations

from typing import Literal

from diag.model.frozen import frozen


@frozen
class Origin:
    """Where a number or a claim comes from; `note` names the source of what is published."""

    kind: Literal["published", "common practice", "memory", "invented"]
    note: str = ""

    def __str__(self) -> str:
        return f"{self.kind} {self.note}".rstrip()
