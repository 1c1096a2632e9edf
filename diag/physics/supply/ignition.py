"""What an ignition asks of a supply: sag by phase, and how cold or empty it may get."""

from collections.abc import Callable, Sequence
from typing import Literal

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, above, between, one_of
from diag.physics.supply.battery import (
    MAX_CURRENT_A,
    MAX_VOLTS_V,
    TheveninSource,
    appliance_volts_v,
)
from diag.physics.supply.charge import CHEMISTRIES, Chemistry, resistance_factor, rest_volts_v
from diag.physics.supply.frost import coldest_bearable_c

COLDEST_C = -30.0  # where the derating tables end
WARM_C = 25.0


@frozen
class Phase:
    """Hold one stretch of an ignition: its name, seconds, and current in A."""

    name: str
    seconds: float
    current_a: float


@frozen
class PhaseVolts:
    """Hold a phase with the volts left at its end, at the terminals and at the appliance (V)."""

    phase: Phase
    terminals_v: float
    appliance_v: float


@frozen
class Limit:
    """Hold how far something may go: a value where it `ends`, or that it `always`/`never` holds."""

    kind: Literal["ends", "always", "never"]
    value: float


@frozen
class IgnitionLoad:
    """Hold what ignition needs: current (A), ohm of the circuit, and least volts there (V)."""

    current_a: float
    circuit_ohm: float
    cut_off_v: float


def ignition_profile(
    plug_seconds: float, surge_a: float, settled_a: float, surge_seconds: float = 3.0
) -> tuple[Phase, Phase]:
    """Give an ignition as a first surge and a settled current (A) over the plug's time (s).

    Plug time 30 to 180 s: common practice, no source. Raises `PhysicsError` outside it, or
    when the settled current is above the surge.

    >>> [phase.seconds for phase in ignition_profile(60.0, 15.0, 9.0)]
    [3.0, 57.0]
    """
    between("glow plug time", plug_seconds, "s", least=30.0, most=180.0)
    above("surge time", surge_seconds, "s", most=plug_seconds)
    above("surge current", surge_a, "A", most=100.0)
    above("settled current", settled_a, "A", most=surge_a)
    return (
        Phase("first surge", surge_seconds, surge_a),
        Phase("plug hot", plug_seconds - surge_seconds, settled_a),
    )


def ignition_charge_ah(phases: Sequence[Phase]) -> float:
    """Give the charge (Ah) that an ignition takes.

    Source: current times time. Raises `PhysicsError` for negative seconds or amps.

    >>> round(ignition_charge_ah(ignition_profile(90.0, 15.0, 9.0)), 3)
    0.23
    """
    total = 0.0
    for phase in phases:
        between("phase time", phase.seconds, "s", least=0.0, most=3600.0)
        between("phase current", phase.current_a, "A", least=0.0, most=MAX_CURRENT_A)
        total += phase.current_a * phase.seconds / 3600
    return total


def ignition_sag(
    source: TheveninSource,
    circuit_ohm: float,
    phases: Sequence[Phase],
    fall_v_per_ah: float = 0.0,
) -> tuple[PhaseVolts, ...]:
    """Give the volts (V) left at the end of each phase, at the terminals and at the appliance.

    `fall_v_per_ah` lets the source's voltage fall with the charge taken (V/Ah). Source: Ohm's
    law. Raises `PhysicsError` for a current that the supply cannot drive.

    >>> sag = ignition_sag(TheveninSource(12.6, 0.01), 0.08, ignition_profile(90.0, 15.0, 9.0))
    >>> [round(step.appliance_v, 2) for step in sag]
    [11.25, 11.79]
    """
    between("fall of voltage", fall_v_per_ah, "V/Ah", least=0.0, most=10.0)
    steps = []
    taken_ah = 0.0
    for phase in phases:
        taken_ah += ignition_charge_ah((phase,))
        emf_v = source.emf_v - fall_v_per_ah * taken_ah
        terminals_v = appliance_volts_v(emf_v, source.resistance_ohm, phase.current_a, 0.0)
        there_v = appliance_volts_v(emf_v, source.resistance_ohm, phase.current_a, circuit_ohm)
        steps.append(PhaseVolts(phase, terminals_v, there_v))
    return tuple(steps)


def _edge(holds: Callable[[float], bool], good: float, bad: float) -> Limit:
    """Find where a property that holds towards `good` stops holding towards `bad`."""
    if holds(bad):
        return Limit("always", bad)
    if not holds(good):
        return Limit("never", good)
    for _ in range(40):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if holds(middle) else (good, middle)
    return Limit("ends", good)


def _check_load(resistance_ohm: float, load: IgnitionLoad) -> None:
    above("battery resistance when warm and full", resistance_ohm, "ohm", most=10.0)
    above("ignition current", load.current_a, "A", most=100.0)
    between("circuit resistance", load.circuit_ohm, "ohm", least=0.0, most=10.0)
    above("low-voltage cut-off", load.cut_off_v, "V", most=MAX_VOLTS_V)


def _volts_left(
    warm_full_ohm: float, load: IgnitionLoad, chemistry: Chemistry, at: tuple[float, float, float]
) -> float:
    temperature_c, charge_percent, nominal_v = at
    ohm = warm_full_ohm * resistance_factor(chemistry, temperature_c, charge_percent)
    emf_v = rest_volts_v(chemistry, charge_percent, nominal_v)
    return emf_v - (ohm + load.circuit_ohm) * load.current_a


def coldest_ignition_c(
    warm_full_ohm: float,
    load: IgnitionLoad,
    chemistry: Chemistry,
    charge_percent: float = 100.0,
    nominal_v: float = 12.0,
) -> Limit:
    """Give the coldest battery (C) that still keeps the appliance above its cut-off.

    It is never colder than the battery may be to be loaded at all. `warm_full_ohm` is its
    resistance at 25 C and full. Source: Ohm's law with the derating of `resistance_factor`
    (common practice, from memory), and `coldest_bearable_c`. Raises `PhysicsError` for values
    that cannot be.

    >>> limit = coldest_ignition_c(0.03, IgnitionLoad(15.0, 0.08, 10.5), "flooded", 75.0)
    >>> limit.kind, round(limit.value)
    ('ends', -7)
    """
    _check_load(warm_full_ohm, load)
    one_of("chemistry", chemistry, CHEMISTRIES)

    def holds(temperature_c: float) -> bool:
        at = (temperature_c, charge_percent, nominal_v)
        bears = temperature_c > coldest_bearable_c(chemistry, charge_percent)
        return bears and _volts_left(warm_full_ohm, load, chemistry, at) >= load.cut_off_v

    return _edge(holds, good=WARM_C, bad=COLDEST_C)


def emptiest_ignition_percent(
    warm_full_ohm: float,
    load: IgnitionLoad,
    chemistry: Chemistry,
    temperature_c: float = WARM_C,
    nominal_v: float = 12.0,
) -> Limit:
    """Give the lowest charge (%) that still keeps the appliance above its cut-off.

    It is never so empty that the battery may freeze. Source: Ohm's law with the rested volts of
    `rest_volts_v` and the derating of `resistance_factor` (common practice, from memory), and
    `coldest_bearable_c`. Raises `PhysicsError` for values that cannot be.

    >>> limit = emptiest_ignition_percent(0.01, IgnitionLoad(15.0, 0.08, 10.5), "flooded")
    >>> limit.kind, round(limit.value)
    ('ends', 16)
    """
    _check_load(warm_full_ohm, load)
    one_of("chemistry", chemistry, CHEMISTRIES)

    def holds(charge_percent: float) -> bool:
        at = (temperature_c, charge_percent, nominal_v)
        bears = temperature_c > coldest_bearable_c(chemistry, charge_percent)
        return bears and _volts_left(warm_full_ohm, load, chemistry, at) >= load.cut_off_v

    return _edge(holds, good=100.0, bad=0.0)


def largest_circuit_ohm(source: TheveninSource, current_a: float, cut_off_v: float) -> float:
    """Give the most resistance (ohm) of leads and joints that keeps the cut-off (V) at A.

    Source: Ohm's law. Raises `PhysicsError` if the terminals are below the cut-off already.

    >>> round(largest_circuit_ohm(TheveninSource(12.6, 0.01), 15.0, 10.5), 3)
    0.13
    """
    above("ignition current", current_a, "A", most=100.0)
    above("low-voltage cut-off", cut_off_v, "V", most=MAX_VOLTS_V)
    terminals_v = source.emf_v - source.resistance_ohm * current_a
    if terminals_v < cut_off_v:
        raise PhysicsError(
            f"`volts at the terminals` is {terminals_v:.4g} V at {current_a:g} A: expected at "
            f"least the "
            f"cut-off, {cut_off_v:g} V"
        )
    return (terminals_v - cut_off_v) / current_a
