"""Where what a rulebook holds comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a number or a claim comes from; `note` names the source of what is published."""

    kind: Literal["published", "common practice", "memory", "invented"]
    note: str = ""

    def __str__(self) -> str:
        return f"{self.kind} {self.note}".rstrip()
