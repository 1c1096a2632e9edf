"""A battery under load: resistance by load steps, and the volts that are left."""

from collections.abc import Sequence
from itertools import pairwise
from math import sqrt
from types import MappingProxyType

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, between, celsius
from diag.physics.interpolation import along

MAX_CURRENT_A = 2000.0
MAX_VOLTS_V = 60.0

# Least volts of a 12 V battery after 15 s at half its cold-crank current, by temperature:
# the load test of battery service manuals (from memory), in F (0, 10, 20, 30, 40, 50, 60, 70)
# with volts to one decimal.
HALF_CRANK_MINIMUM_V = tuple(
    ((fahrenheit - 32) / 1.8, volts)
    for fahrenheit, volts in (
        (0, 8.5), (10, 8.7), (20, 8.9), (30, 9.1), (40, 9.3), (50, 9.4), (60, 9.5), (70, 9.6),
    )
)  # fmt: skip


# Cold-crank ratings are not the same promise: volts that a 12 V battery keeps at -18 C, and
# after how many seconds. SAE J537; EN 50342-1:2015; IEC 60095-1 and DIN 43539-2, old editions.
COLD_CRANK_RATINGS = MappingProxyType(
    {"SAE": (7.2, 30.0), "EN": (7.5, 10.0), "IEC": (8.4, 60.0), "DIN": (9.0, 30.0)}
)


@frozen
class LoadPoint:
    """Hold one steady load: current in A and volts at the terminals in V."""

    current_a: float
    volts_v: float


@frozen
class TheveninSource:
    """Hold a battery as a voltage behind a resistance: V, ohm, and misfit of the line in V.

    `misfit_v` is the root mean square distance of the load points from the line; with two
    points it is 0.
    """

    emf_v: float
    resistance_ohm: float
    misfit_v: float = 0.0

    @property
    def short_circuit_a(self) -> float:
        """Give the current in A that the line reaches at 0 V.

        >>> round(TheveninSource(12.6, 0.006).short_circuit_a, 1)
        2100.0
        """
        return self.emf_v / self.resistance_ohm


@frozen
class LoadTest:
    """Hold a half-cold-crank test: least volts allowed, and volts by which it was passed."""

    minimum_v: float
    margin_v: float

    @property
    def passed(self) -> bool:
        """Say whether the battery kept its volts.

        >>> LoadTest(9.6, -0.1).passed
        False
        """
        return self.margin_v >= 0


def _checked(points: Sequence[LoadPoint]) -> list[LoadPoint]:
    """Sort load points by current, refusing equal currents and volts that do not fall."""
    if len(points) < 2:
        raise PhysicsError(f"`load points` are {len(points)}: expected two or more")
    for point in points:
        between("load current", point.current_a, "A", least=0.0, most=MAX_CURRENT_A)
        between("volts at the terminals", point.volts_v, "V", least=0.0, most=MAX_VOLTS_V)
    ordered = sorted(points, key=lambda point: point.current_a)
    for light, heavy in pairwise(ordered):
        if heavy.current_a == light.current_a:
            raise PhysicsError(
                f"`load current` is {heavy.current_a:g} A twice: expected different currents, "
                "since equal ones cannot tell a resistance"
            )
        if heavy.volts_v >= light.volts_v:
            raise PhysicsError(
                f"`volts under load` is {heavy.volts_v:g} V at {heavy.current_a:g} A: expected "
                f"less than the {light.volts_v:g} V at {light.current_a:g} A"
            )
    return ordered


def source_from_loads(points: Sequence[LoadPoint]) -> TheveninSource:
    """Fit a battery's voltage (V) and resistance (ohm) to two or more load points.

    Take each reading after the volts have settled, some 20 s. A battery's line is slightly
    curved, so let the loads stand on both sides of the current to be foretold, the larger at
    most 2.5 times the smaller (own model, no standard). Source: Ohm's law; least squares beyond
    two points. IEC 60896-21:2004 cl. 6.3 (from memory) has two loads as well, but of 3 to 10
    times, and none at rest. Raises `PhysicsError` for equal currents or volts that do not fall
    as the current rises.

    >>> battery = source_from_loads((LoadPoint(50, 12.35), LoadPoint(250, 11.55)))
    >>> round(battery.resistance_ohm, 6), round(battery.emf_v, 3)
    (0.004, 12.55)
    """
    ordered = _checked(points)
    mean_a = sum(point.current_a for point in ordered) / len(ordered)
    mean_v = sum(point.volts_v for point in ordered) / len(ordered)
    spread = sum((point.current_a - mean_a) ** 2 for point in ordered)
    slope = sum((p.current_a - mean_a) * (p.volts_v - mean_v) for p in ordered) / spread
    emf_v = mean_v - slope * mean_a
    squares = sum((p.volts_v - emf_v - slope * p.current_a) ** 2 for p in ordered)
    misfit_v = 0.0 if len(ordered) == 2 else sqrt(squares / len(ordered))
    return TheveninSource(emf_v, -slope, misfit_v)


def internal_resistance_ohm(
    first_a: float, first_v: float, second_a: float, second_v: float
) -> float:
    """Give a battery's resistance (ohm) from two loads, each a current (A) and volts (V).

    Source: Ohm's law, (U1 - U2) / (I2 - I1); one load may be none, at rest. Raises
    `PhysicsError` for equal currents or volts that do not fall as the current rises.

    >>> round(internal_resistance_ohm(0.0, 12.6, 100.0, 12.0), 6)
    0.006
    """
    return source_from_loads(
        (LoadPoint(first_a, first_v), LoadPoint(second_a, second_v))
    ).resistance_ohm


def short_circuit_current_a(
    first_a: float, first_v: float, second_a: float, second_v: float
) -> float:
    """Give the short-circuit current (A) of a battery from two loads (A, V).

    Source: Ohm's law, (U1 I2 - U2 I1) / (U1 - U2), as IEC 60896-21:2004 cl. 6.3 has it too
    (clause from memory). Raises `PhysicsError` as `source_from_loads` does.

    >>> round(short_circuit_current_a(50.0, 12.35, 250.0, 11.55), 1)
    3137.5
    """
    return source_from_loads(
        (LoadPoint(first_a, first_v), LoadPoint(second_a, second_v))
    ).short_circuit_a


def terminal_volts_v(emf_v: float, resistance_ohm: float, current_a: float) -> float:
    """Give the volts at the terminals (V) of a source (V, ohm) under a current (A).

    Source: Ohm's law. Raises `PhysicsError` for negative values or a current beyond the
    short circuit.

    >>> terminal_volts_v(13.0, 0.01, 20.0)
    12.8
    """
    return appliance_volts_v(emf_v, resistance_ohm, current_a, 0.0)


def appliance_volts_v(
    emf_v: float, resistance_ohm: float, current_a: float, circuit_ohm: float
) -> float:
    """Give the volts at the appliance (V) of a source (V, ohm) at A through a circuit (ohm).

    `circuit_ohm` is both leads with joints and fuse holder. Source: Ohm's law. Raises
    `PhysicsError` for negative values or a current that the circuit cannot carry.

    >>> appliance_volts_v(12.6, 0.01, 10.0, 0.08)
    11.7
    """
    between("volts at rest", emf_v, "V", least=0.0, most=MAX_VOLTS_V)
    between("battery resistance", resistance_ohm, "ohm", least=0.0, most=100.0)
    between("circuit resistance", circuit_ohm, "ohm", least=0.0, most=100.0)
    between("current", current_a, "A", least=0.0, most=MAX_CURRENT_A)
    left_v = emf_v - (resistance_ohm + circuit_ohm) * current_a
    if left_v < 0:
        limit_a = emf_v / (resistance_ohm + circuit_ohm)
        raise PhysicsError(
            f"`current` is {current_a:g} A: expected at most {limit_a:.3g} A, all that "
            f"{emf_v:g} V can drive through this supply"
        )
    return left_v


def half_crank_minimum_v(temperature_c: float) -> float:
    """Give the least volts (V) of a 12 V battery after 15 s at half cold-crank current, by C.

    Source: memory of the half-cold-crank load test, linear between its temperatures, 9.6 V above
    21 C. Raises `PhysicsError` below -18 C, where the table ends, and above 60 C.

    >>> round(half_crank_minimum_v(10.0), 2)
    9.4
    """
    celsius("battery temperature", temperature_c, least=-18.0, most=60.0)
    return along(HALF_CRANK_MINIMUM_V, temperature_c)


def half_crank_test(
    volts_v: float, current_a: float, cold_crank_a: float, temperature_c: float
) -> LoadTest:
    """Judge a 12 V battery's volts (V) at 15 s of half its cold-crank current (A), by C.

    Source: memory of the half-cold-crank load test. Raises `PhysicsError` if the load is not
    within 10 % of half the rating, or the temperature is outside the table.

    >>> half_crank_test(9.8, 300.0, 600.0, 21.2).passed
    True
    """
    between("volts under load", volts_v, "V", least=0.0, most=16.0)
    between("cold-crank current", cold_crank_a, "A", least=50.0, most=MAX_CURRENT_A)
    half_a = cold_crank_a / 2
    between("load current", current_a, "A", least=0.9 * half_a, most=1.1 * half_a)
    minimum_v = half_crank_minimum_v(temperature_c)
    return LoadTest(minimum_v, volts_v - minimum_v)
