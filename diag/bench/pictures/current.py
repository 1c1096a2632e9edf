"""The current of each phase of a run, beside what is expected of the unit."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.frozen import frozen

PHASES = (
    ("fan run-up", "amps in fan run-up", "unit fan run-up current"),
    ("fan at speed", "amps with the fan at speed", "unit fan current at speed"),
    ("glow plug", "amps while igniting", "unit ignition current"),
    ("fuel on", "amps with fuel on", "unit fuel-on current"),
    ("it lights", "amps as it lights", "unit flame current"),
    ("plug off", "amps with the glow plug off", "unit burning current full"),
    ("full power", "amps at full power", "unit burning current full"),
    ("medium power", "amps at medium power", "unit burning current mid"),
    ("low power", "amps at low power", "unit burning current low"),
    ("shut-down", "amps in shut-down", "unit shut-down current"),
    ("cool-down", "amps in cool-down", "unit cool-down current"),
)
"""Each phase in the order of a run: its name, the reading, and the datum that is expected."""
READ_IN_PHASES = tuple(reading for _, reading, _ in PHASES)
FEWEST = 3
"""Phases read from which a course can be told."""


@frozen
class PhaseCurrent:
    """The current of a phase in A, and what is expected of this unit, where its data tell."""

    phase: str
    read_a: float
    expected_a: float | None


def phase_currents(numbers: Mapping[str, float]) -> tuple[PhaseCurrent, ...]:
    """Return the phases that were read, in the order of a run."""
    return tuple(
        PhaseCurrent(phase, numbers[reading], numbers.get(datum))
        for phase, reading, datum in PHASES
        if reading in numbers
    )
