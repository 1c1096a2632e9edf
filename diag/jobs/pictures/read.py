"""What can be drawn of a session as it stands: only what was read at this stage."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.jobs.pictures.drawn import (
    BeliefPath,
    HeatFlow,
    LoadLine,
    PhaseAmps,
    Picture,
    StartCurrent,
    SupplyDrops,
)
from diag.model.quantity import UNITS, Quantity
from diag.session.proof.good import good_range
from diag.session.state import SessionState

AT_REST = "volts at rest"
AT_TERMINALS = "volts at the terminals while igniting"
AT_HEATER = "volts at the heater while igniting"
IGNITING = "amps while igniting"
CUT_OFF = "low-voltage cut-off"
PHASES = {
    "amps in fan run-up": "fan runs up",
    "amps with the fan at speed": "fan at speed",
    IGNITING: "glow plug on",
    "amps with fuel on": "pump joins",
    "amps as it lights": "flame lights",
    "amps with the glow plug off": "glow plug off",
    "amps at full power": "full power",
    "amps at medium power": "medium power",
    "amps at low power": "low power",
    "amps in shut-down": "shut-down",
    "amps in cool-down": "cool-down",
}
"""Findings in the order of a run, to what the phase is called in a picture."""
LEAST_PHASES, MOST_LINES = 2, 4


def pictures_of(state: SessionState) -> Iterator[Picture]:
    """Yield what can be drawn of the readings of this stage."""
    rest, terminals = _si(state, AT_REST), _si(state, AT_TERMINALS)
    heater, amps = _si(state, AT_HEATER), _si(state, IGNITING)
    cut_off = state.unit.data[CUT_OFF].si if CUT_OFF in state.unit.data else None
    if rest is not None and terminals is not None and heater is not None:
        along = (_si(state, f"drop along the {side} cable") for side in ("positive", "negative"))
        yield SupplyDrops(rest, terminals, heater, cut_off, *along)
    if rest is not None and terminals is not None and amps:
        yield LoadLine(rest, terminals, amps, heater, cut_off)
    phases = tuple(_phases(state))
    if len(phases) >= LEAST_PHASES:
        yield StartCurrent(phases)
    fuel, air = _si(state, "heat in the fuel"), _si(state, "heat in the air")
    if fuel is not None and air is not None and fuel > 0:
        lost = _si(state, "heat lost in the exhaust")
        yield HeatFlow(fuel / 1e3, air / 1e3, None if lost is None else lost * fuel / 1e3)


def _si(state: SessionState, name: str) -> float | None:
    """Return a reading or a figure of this stage, in SI."""
    value = state.now.told.get(name) or (
        state.now.value(name) if name in state.rulebook.figures else None
    )
    return value.si if isinstance(value, Quantity) and not value.over_range else None


def _phases(state: SessionState) -> Iterator[PhaseAmps]:
    for name, phase in PHASES.items():
        amps = _si(state, name)
        if amps is None or name not in state.rulebook.findings:
            continue
        good = good_range(state.rulebook, state.unit, name, state.now.told, state.compiled.network)
        ends = (good.low, good.high) if good else (None, None)
        low, high = (None if end is None else UNITS["A"].from_si(end.si) for end in ends)
        yield PhaseAmps(phase, amps, low, high)


def belief_path(steps: Sequence[tuple[str, dict[str, float]]]) -> BeliefPath | None:
    """Return how the leading explanations went, of what was answered and the shares after it.

    Those that ever led by most, at most `MOST_LINES`; None with fewer than two steps.
    """
    if len(steps) < 2:
        return None
    names = dict.fromkeys(name for _, shares in steps for name in shares)
    most = sorted(names, key=lambda name: -max(shares.get(name, 0.0) for _, shares in steps))
    lines = tuple(
        (name, tuple(shares.get(name, 0.0) for _, shares in steps)) for name in most[:MOST_LINES]
    )
    return BeliefPath(tuple(after for after, _ in steps), lines)
