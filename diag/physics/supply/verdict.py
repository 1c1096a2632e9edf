"""What a load test says about an ignition, with the meters' errors carried through."""

from collections.abc import Callable, Sequence
from typing import Literal

from diag.model.frozen import frozen
from diag.model.quantity import compare
from diag.physics.errors import above, between
from diag.physics.supply.battery import (
    MAX_CURRENT_A,
    MAX_VOLTS_V,
    LoadPoint,
    TheveninSource,
    source_from_loads,
)
from diag.physics.uncertainty import Budget, error_budget

SupplyVerdict = Literal["holds", "borderline", "sags", "cannot tell"]


@frozen
class Measured:
    """Hold a value and the half-width of what it may be out by, both in the same unit."""

    value: float
    error: float = 0.0


@frozen
class MeasuredLoad:
    """Hold one more load of a test: current (A) and volts at the terminals (V)."""

    amps: Measured
    volts: Measured


@frozen
class LineReading:
    """Hold one reading that the battery's line is drawn from: its name, value, error, unit."""

    name: str
    value: float
    error: float
    unit: str


@frozen
class SupplyTest:
    """Hold a load test and what the ignition asks: V, V, A; A, V, ohm (None: not known).

    `more` holds further loads. With any, the line goes through the loads alone, since the
    first amps cost more volts than the later ones.
    """

    rest_v: Measured
    load_v: Measured
    load_a: Measured
    ignition_a: float
    cut_off_v: float
    circuit_ohm: float | None = None
    more: tuple[MeasuredLoad, ...] = ()


@frozen
class SupplyOutlook:
    """Hold resistance (ohm), volts at terminals and appliance (V), margin (V), verdict.

    `line` is the battery as a source. `appliance_v` is None when the circuit is not known; the
    margin is then that of the terminals.
    `shares` is the share of each reading in the square of the margin's error, greatest first.
    """

    resistance_ohm: Measured
    terminals_v: Measured
    appliance_v: Measured | None
    margin_v: Measured
    verdict: SupplyVerdict
    shares: tuple[tuple[str, float], ...]
    line: TheveninSource


def verdict_on(margin_v: Measured, reserve_v: float) -> SupplyVerdict:
    """Judge a margin to the cut-off (V) with its error (V) against the reserve (V).

    A margin inside its own error cannot be judged; what holds must hold beyond it.

    >>> verdict_on(Measured(0.1, 0.2), 0.5), verdict_on(Measured(0.4, 0.2), 0.5)
    ('cannot tell', 'borderline')
    """
    if compare(abs(margin_v.value), margin_v.error) <= 0:
        return "cannot tell"
    if margin_v.value < 0:
        return "sags"
    sure_v = margin_v.value - margin_v.error
    return "holds" if compare(sure_v, reserve_v) >= 0 else "borderline"


def line_readings(test: SupplyTest) -> tuple[LineReading, ...]:
    """Give the readings that the battery's line goes through: current (A), volts (V) by turns.

    Without further loads the first point is the rest, at 0 A exactly.

    >>> test = SupplyTest(Measured(12.6), Measured(12.0), Measured(50.0), 10.0, 10.5)
    >>> [reading.value for reading in line_readings(test)]
    [0.0, 12.6, 50.0, 12.0]
    """
    points = [("load current", test.load_a, "volts under load", test.load_v)]
    if not test.more:
        points.insert(0, ("no current", Measured(0.0), "volts at rest", test.rest_v))
    for place, load in enumerate(test.more, start=2):
        points.append((f"current of load {place}", load.amps, f"volts of load {place}", load.volts))
    return tuple(
        LineReading(name, of.value, of.error, unit)
        for amps_name, amps, volts_name, volts in points
        for name, of, unit in ((amps_name, amps, "A"), (volts_name, volts, "V"))
    )


def line_through(values: Sequence[float]) -> TheveninSource:
    """Fit a source to current (A) and volts (V) by turns, as `line_readings` orders them.

    Source: as for `source_from_loads`. Raises `PhysicsError` as it does.

    >>> round(line_through((0.0, 12.6, 50.0, 12.0)).resistance_ohm, 6)
    0.012
    """
    pairs = zip(values[::2], values[1::2], strict=True)
    return source_from_loads([LoadPoint(amps, volts) for amps, volts in pairs])


def supply_outlook(test: SupplyTest, reserve_v: float) -> SupplyOutlook:
    """Give resistance (ohm), volts while igniting (V) and margin (V) of a load test.

    `reserve_v` is what a sound supply keeps above the cut-off. Errors are carried through the
    first derivatives: for the resistance as if the readings were independent, for the volts as if
    all of one meter were out the same way, if that is more. Source: Ohm's law; JCGM 100:2008
    (GUM) eq. 10, 5.2.2 and F.1.2.3. Raises `PhysicsError` for values that cannot be, or volts
    that do not fall under load.

    >>> test = SupplyTest(Measured(12.6), Measured(12.0), Measured(50.0), 10.0, 10.5, 0.08)
    >>> round(supply_outlook(test, 0.5).margin_v.value, 2)
    1.18
    """
    circuit = _checked_circuit_ohm(test)
    readings = line_readings(test)
    values, errors = [each.value for each in readings], [each.error for each in readings]
    line = line_through(values)
    ohm = error_budget(lambda *now: line_through(now).resistance_ohm, values, errors)
    terminals = _wider_budget(
        lambda *now: _volts(line_through(now), test.ignition_a), values, errors,
        [each.unit for each in readings],
    )  # fmt: skip
    terminals_v = max(0.0, terminals.value)
    there_v = max(0.0, terminals.value - circuit * test.ignition_a)
    margin = Measured(there_v - test.cut_off_v, terminals.error)
    return SupplyOutlook(
        Measured(ohm.value, ohm.error),
        Measured(terminals_v, terminals.error),
        None if test.circuit_ohm is None else Measured(there_v, terminals.error),
        margin,
        verdict_on(margin, reserve_v),
        _shares(readings, terminals),
        line,
    )


def _checked_circuit_ohm(test: SupplyTest) -> float:
    """Refuse what cannot be, also against the rest, and give the circuit's ohm, 0 if unknown."""
    above("load current", test.load_a.value, "A", most=MAX_CURRENT_A)
    above("volts at rest", test.rest_v.value, "V", most=MAX_VOLTS_V)
    above("ignition current", test.ignition_a, "A", most=100.0)
    above("low-voltage cut-off", test.cut_off_v, "V", most=MAX_VOLTS_V)
    loads = [LoadPoint(load.amps.value, load.volts.value) for load in test.more]
    first = LoadPoint(test.load_a.value, test.load_v.value)
    source_from_loads((LoadPoint(0.0, test.rest_v.value), first, *loads))
    return between("circuit resistance", test.circuit_ohm or 0.0, "ohm", least=0.0, most=10.0)


def _wider_budget(
    volts: Callable[..., float],
    values: Sequence[float],
    errors: Sequence[float],
    meters: Sequence[str],
) -> Budget:
    """Guard a verdict by the wider error: of readings out each for itself, or all one way."""
    apart, together = (error_budget(volts, values, errors, of) for of in ((), meters))
    return max(apart, together, key=lambda budget: budget.error)


def _volts(line: TheveninSource, current_a: float) -> float:
    return line.emf_v - line.resistance_ohm * current_a


def _shares(readings: Sequence[LineReading], budget: Budget) -> tuple[tuple[str, float], ...]:
    """Give each reading's share of the square of the error, greatest first; none if it is 0."""
    if budget.error == 0:
        return ()
    shares = [
        (each.name, (part / budget.error) ** 2)
        for each, part in zip(readings, budget.contributions, strict=True)
        if each.name != "no current"
    ]
    return tuple(sorted(shares, key=lambda share: -share[1]))
