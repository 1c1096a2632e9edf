"""What a load test says about an ignition, with the meters' errors carried through."""

from dataclasses import dataclass
from math import hypot
from typing import Literal

from diag.model.quantity import compare
from diag.physics.battery import MAX_CURRENT_A, MAX_VOLTS_V, LoadPoint, source_from_loads
from diag.physics.errors import above, between

RESERVE_V = 0.5  # volts above the cut-out that a sound supply keeps: common practice, no source

Verdict = Literal["supplies", "marginal", "does not supply", "cannot tell"]


@dataclass(frozen=True, slots=True)
class Measured:
    """Hold a value and the half-width of what it may be out by, both in the same unit."""

    value: float
    error: float = 0.0


@dataclass(frozen=True, slots=True)
class SupplyTest:
    """Hold a load test and what the ignition asks: V, V, A; A, ohm (None: not known), V."""

    rest_v: Measured
    load_v: Measured
    load_a: Measured
    ignition_a: float
    cut_out_v: float
    circuit_ohm: float | None = None


@dataclass(frozen=True, slots=True)
class SupplyOutlook:
    """Hold resistance (ohm), volts at posts and appliance (V), margin to the cut-out (V), verdict.

    `appliance_v` is None when the circuit is not known; the margin is then that of the posts.
    `shares` is the share of each reading in the square of the margin's error, greatest first.
    """

    resistance_ohm: Measured
    posts_v: Measured
    appliance_v: Measured | None
    margin_v: Measured
    verdict: Verdict
    shares: tuple[tuple[str, float], ...]


def verdict_on(margin_v: Measured, reserve_v: float = RESERVE_V) -> Verdict:
    """Judge a margin to the cut-out (V) with its error (V) against the reserve (V).

    A margin inside its own error cannot be judged. Source: common practice for the reserve.

    >>> verdict_on(Measured(0.1, 0.2)), verdict_on(Measured(0.4, 0.2))
    ('cannot tell', 'marginal')
    """
    if compare(abs(margin_v.value), margin_v.error) <= 0:
        return "cannot tell"
    if margin_v.value < 0:
        return "does not supply"
    sure_v = margin_v.value - margin_v.error
    return "supplies" if compare(sure_v, reserve_v) >= 0 else "marginal"


def _root_sum(parts: dict[str, float]) -> float:
    return hypot(*parts.values())


def supply_outlook(test: SupplyTest) -> SupplyOutlook:
    """Give resistance (ohm), volts while igniting (V) and margin (V) of a load test.

    Errors are added in quadrature through the first derivatives. Source: Ohm's law; JCGM
    100:2008 (GUM) eq. 10 for the errors, readings taken as independent. Raises `PhysicsError`
    for values that cannot be, or volts that do not fall under load.

    >>> test = SupplyTest(Measured(12.6), Measured(12.0), Measured(50.0), 10.0, 10.5, 0.08)
    >>> round(supply_outlook(test).margin_v.value, 2)
    1.18
    """
    rest, load, amps = test.rest_v, test.load_v, test.load_a
    above("load current", amps.value, "A", most=MAX_CURRENT_A)
    above("volts at rest", rest.value, "V", most=MAX_VOLTS_V)
    above("ignition current", test.ignition_a, "A", most=100.0)
    above("low-voltage cut-out", test.cut_out_v, "V", most=MAX_VOLTS_V)
    circuit = between("circuit resistance", test.circuit_ohm or 0.0, "ohm", least=0.0, most=10.0)
    points = (LoadPoint(0.0, rest.value), LoadPoint(amps.value, load.value))
    ohm = source_from_loads(points).resistance_ohm

    # How far the ignition current reaches along the line through the two readings.
    reach = test.ignition_a / amps.value
    ohm_parts = {
        "volts at rest": rest.error / amps.value,
        "volts under load": load.error / amps.value,
        "load current": ohm * amps.error / amps.value,
    }
    volt_parts = {
        "volts at rest": abs(1 - reach) * rest.error,
        "volts under load": reach * load.error,
        "load current": reach * ohm * amps.error,
    }
    error_v = _root_sum(volt_parts)
    posts_v = max(0.0, rest.value - ohm * test.ignition_a)
    there_v = max(0.0, rest.value - (ohm + circuit) * test.ignition_a)
    margin = Measured(there_v - test.cut_out_v, error_v)
    return SupplyOutlook(
        Measured(ohm, _root_sum(ohm_parts)),
        Measured(posts_v, error_v),
        None if test.circuit_ohm is None else Measured(there_v, error_v),
        margin,
        verdict_on(margin),
        _shares(volt_parts, error_v),
    )


def _shares(parts: dict[str, float], whole: float) -> tuple[tuple[str, float], ...]:
    """Give each part's share of the square of the whole, greatest first; none if it is 0."""
    if whole == 0:
        return ()
    shares = ((name, (part / whole) ** 2) for name, part in parts.items())
    return tuple(sorted(shares, key=lambda share: -share[1]))
