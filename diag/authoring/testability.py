"""Faults detected and isolated by a set of tests, by the definitions of IEEE 1522.

Detected means: told from a sound unit. An ambiguity group holds the detected faults that the
tests cannot tell apart; its size is the number of distinct repair items in it. Every share is a
share of the rate at which faults occur, and isolation is counted over the detected rate, not
over the whole (IEEE 1522-2004; MIL-HDBK-2165; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import fsum


@dataclass(frozen=True, slots=True)
class Group:
    """Faults that cannot be told apart, the number of repair items among them, and their rate."""

    faults: tuple[str, ...]
    size: int
    rate: float


@dataclass(frozen=True, slots=True)
class Assessment:
    """What a set of tests detects and isolates; rates in whatever unit they were given in."""

    total: float
    """Rate of all faults."""
    detected: float
    """Rate of the faults that are detected."""
    missed: tuple[str, ...]
    groups: tuple[Group, ...]

    @property
    def fraction_detected(self) -> float:
        """Return FFD, the rate of detected faults over the rate of all."""
        return self.detected / self.total

    def fraction_isolated(self, size: int) -> float:
        """Return FFI, the share of the detected rate in groups of at most `size`; 0 for none."""
        within = fsum(group.rate for group in self.groups if group.size <= size)
        return within / self.detected if self.detected else 0.0

    @property
    def expected_size(self) -> float:
        """Return the mean size of the group that a detected fault is isolated to; 0 for none."""
        weighed = fsum(group.size * group.rate for group in self.groups)
        return weighed / self.detected if self.detected else 0.0


def assess(
    rates: Mapping[str, float],
    told_apart: Callable[[str, str], bool],
    repair_item: Callable[[str], object] = str,
) -> Assessment:
    """Work out what is detected and isolated.

    `rates` are by fault, each above 0. `told_apart(fault, other)` says whether the tests tell
    two faults apart, and with an empty `other` whether they tell a fault from a sound unit. A
    chain of faults, each like the next, is one group, though its ends may differ: that errs
    towards larger groups. Raises `ValueError` for a rate of 0 or less, or for no fault at all.
    """
    if not rates or min(rates.values()) <= 0:
        raise ValueError("each fault needs a rate above 0, and there must be one fault at least")
    found = [fault for fault in rates if told_apart(fault, "")]
    groups: list[list[str]] = []
    for fault in found:
        like = [group for group in groups if not all(told_apart(fault, one) for one in group)]
        merged = [one for group in like for one in group] + [fault]
        groups = [group for group in groups if group not in like] + [merged]
    made = [
        Group(
            tuple(sorted(group)),
            len({repair_item(fault) for fault in group}),
            fsum(rates[fault] for fault in group),
        )
        for group in groups
    ]
    return Assessment(
        total=fsum(rates.values()),
        detected=fsum(rates[fault] for fault in found),
        missed=tuple(sorted(set(rates) - set(found))),
        groups=tuple(sorted(made, key=lambda group: (-group.size, group.faults))),
    )
