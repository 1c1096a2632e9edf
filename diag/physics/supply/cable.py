"""A run of supply cable: its resistance, drop and loss, and the size that it needs."""

from types import MappingProxyType

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, above, between
from diag.physics.supply.conductor import (
    OHM_PER_KM,
    SAE_CIRCULAR_MILS,
    Strand,
    awg_circular_mils,
    ohm_per_km,
    sae_circular_mils,
)

MAX_LENGTH_M = 200.0
MAX_CURRENT_A = 2000.0
MAX_SUPPLY_V = 60.0
ISO_10133_OHM_MM2_PER_M = 0.0164  # ISO 10133:2012 Annex A, since 2020 in ISO 13297
ABYC_OHM_CMIL_PER_FT = 10.75  # ABYC E-11
FEET_PER_M = 1 / 0.3048

# IEC 60228 gives a real cable's highest resistance; the two small-craft formulas use one
# number each for all strands and stand at different copper temperatures.
WHY_THE_SIZES_DIFFER = (
    "ISO 10133's 0.0164 ohm mm2/m is copper at about 8 C; ABYC E-11's 10.75 is copper at "
    "about 29 C, so it asks for 9 % more; IEC 60228 class 5 allows for the fine strands, "
    "11 to 16 % above plain copper at 20 C, and is the one that a real cable is held to."
)


# Drop that a circuit may take in percent of the supply, and least areas in mm2:
# ISO 10133 cl. 4.8 and 7.7, ABYC E-11.
DROP_PERCENT = MappingProxyType({"vital": 3.0, "other": 10.0})
LEAST_AREA_MM2 = MappingProxyType({"single conductor": 1.0, "in a multi-core cable": 0.75})


@frozen
class CableDrop:
    """Hold what a run of cable does to the supply: ohm, volts, percent of supply, watts."""

    resistance_ohm: float
    drop_v: float
    drop_percent: float
    loss_w: float


@frozen
class SizeComparison:
    """Hold the size asked for by three ways of working for the same run and drop."""

    class_5_mm2: float
    iso_10133_mm2: float
    abyc_cmil: float
    awg_by_awg_area: int
    awg_by_sae_area: int


def circuit_resistance_ohm(
    length_one_way_m: float,
    area_mm2: float,
    temperature_c: float = 20.0,
    strand: Strand = "class 5",
    joints_ohm: float = 0.0,
) -> float:
    """Give the ohm of both leads of a run, from its length ONE WAY (m), area (mm2) and C.

    The circuit is twice the length; `joints_ohm` adds joints and fuse holder. Source: IEC
    60228 and IEC 60028. Raises `PhysicsError` for a length, area or temperature that cannot be.

    >>> round(circuit_resistance_ohm(5.0, 2.5), 4)
    0.0798
    """
    above("cable length one way", length_one_way_m, "m", most=MAX_LENGTH_M)
    between("joint resistance", joints_ohm, "ohm", least=0.0, most=10.0)
    return 2 * length_one_way_m * ohm_per_km(area_mm2, strand, temperature_c) / 1000 + joints_ohm


def cable_drop(resistance_ohm: float, current_a: float, supply_v: float) -> CableDrop:
    """Give drop (V and % of supply) and loss (W) of a resistance (ohm) at a current (A).

    Source: Ohm's law. Raises `PhysicsError` for a negative resistance or current, a supply of
    0 V, or more current than the supply can drive.

    >>> cable_drop(0.08, 10.0, 12.0).drop_percent
    6.666666666666667
    """
    between("circuit resistance", resistance_ohm, "ohm", least=0.0, most=100.0)
    between("current", current_a, "A", least=0.0, most=MAX_CURRENT_A)
    above("supply voltage", supply_v, "V", most=MAX_SUPPLY_V)
    drop_v = resistance_ohm * current_a
    if drop_v > supply_v:
        raise PhysicsError(
            f"`current` is {current_a:g} A: expected at most {supply_v / resistance_ohm:.3g} A, "
            f"all that {supply_v:g} V can drive through {resistance_ohm:.3g} ohm of cable"
        )
    return CableDrop(resistance_ohm, drop_v, 100 * drop_v / supply_v, drop_v * current_a)


def drop_limit_v(supply_v: float, percent: float = DROP_PERCENT["vital"]) -> float:
    """Give the drop (V) that a percent of the supply (V) allows.

    Source: ISO 10133 cl. 4.8 and ABYC E-11 allow 3 % to vital circuits, 10 % to others.
    Raises `PhysicsError` for a percent above 100.

    >>> round(drop_limit_v(12.0), 2)
    0.36
    """
    above("supply voltage", supply_v, "V", most=MAX_SUPPLY_V)
    above("drop limit", percent, "%", most=100.0)
    return supply_v * percent / 100


def smallest_area_mm2(
    length_one_way_m: float,
    current_a: float,
    drop_limit_v: float,
    temperature_c: float = 20.0,
    strand: Strand = "class 5",
    *,
    joints_ohm: float = 0.0,
) -> float:
    """Give the smallest standard area (mm2) that keeps the drop (V) of a run within a limit.

    Length ONE WAY in m, current in A. Source: IEC 60228. Raises `PhysicsError` if no listed
    size will do.

    >>> smallest_area_mm2(5.0, 10.0, 0.36)
    6.0
    """
    above("current", current_a, "A", most=MAX_CURRENT_A)
    above("drop limit", drop_limit_v, "V", most=MAX_SUPPLY_V)
    if strand not in OHM_PER_KM:
        raise PhysicsError(f"`strand` is `{strand}`: expected one of {', '.join(OHM_PER_KM)}")
    sizes = tuple(size for size, _ in OHM_PER_KM[strand])
    for size in sizes:
        ohm = circuit_resistance_ohm(length_one_way_m, size, temperature_c, strand, joints_ohm)
        if ohm * current_a <= drop_limit_v:
            return size
    raise PhysicsError(
        f"`drop limit` is {drop_limit_v:g} V: expected more than {ohm * current_a:.3g} V, what "
        f"{sizes[-1]:g} mm2 loses at {current_a:g} A over {length_one_way_m:g} m one way"
    )


def iso_10133_drop_v(current_a: float, round_trip_m: float, area_mm2: float) -> float:
    """Give the drop (V) at a current (A) over a ROUND TRIP length (m) in an area (mm2).

    Source: ISO 10133 Annex A, E = 0.0164 I L / S. Raises `PhysicsError` for values of 0 or less.

    >>> round(iso_10133_drop_v(1.6, 22.0, 1.5), 4)
    0.3849
    """
    above("current", current_a, "A", most=MAX_CURRENT_A)
    above("round trip length", round_trip_m, "m", most=2 * MAX_LENGTH_M)
    above("conductor area", area_mm2, "mm2", most=400.0)
    return ISO_10133_OHM_MM2_PER_M * current_a * round_trip_m / area_mm2


def iso_10133_area_mm2(current_a: float, round_trip_m: float, drop_limit_v: float) -> float:
    """Give the area (mm2) that a drop limit (V) needs at a current (A) over a ROUND TRIP (m).

    Source: ISO 10133 Annex A, solved for S. Raises `PhysicsError` for values of 0 or less.

    >>> round(iso_10133_area_mm2(1.6, 22.0, 0.3849), 2)
    1.5
    """
    above("current", current_a, "A", most=MAX_CURRENT_A)
    above("round trip length", round_trip_m, "m", most=2 * MAX_LENGTH_M)
    above("drop limit", drop_limit_v, "V", most=MAX_SUPPLY_V)
    return ISO_10133_OHM_MM2_PER_M * current_a * round_trip_m / drop_limit_v


def abyc_circular_mils(current_a: float, round_trip_ft: float, drop_limit_v: float) -> float:
    """Give the area (circular mils) that a drop limit (V) needs at A over a ROUND TRIP (ft).

    Source: ABYC E-11, CM = 10.75 I L / E. Raises `PhysicsError` for values of 0 or less.

    >>> round(abyc_circular_mils(10.0, 21.0, 0.36))
    6271
    """
    above("current", current_a, "A", most=MAX_CURRENT_A)
    above("round trip length", round_trip_ft, "ft", most=2 * MAX_LENGTH_M * FEET_PER_M)
    above("drop limit", drop_limit_v, "V", most=MAX_SUPPLY_V)
    return ABYC_OHM_CMIL_PER_FT * current_a * round_trip_ft / drop_limit_v


def smallest_awg(circular_mils: float, sae: bool = True) -> int:
    """Give the thinnest even gauge (AWG) with at least so many circular mils.

    `sae` takes the smaller areas of SAE cable, else ASTM B258's. Source: SAE J1127/J1128 as
    quoted in ABYC E-11; ASTM B258. Raises `PhysicsError` if 2 AWG is not enough.

    >>> smallest_awg(6271), smallest_awg(6271, sae=False)
    (10, 12)
    """
    above("conductor area", circular_mils, "cmil", most=1e6)
    area = sae_circular_mils if sae else awg_circular_mils
    for gauge in SAE_CIRCULAR_MILS:
        if area(gauge) >= circular_mils:
            return gauge
    raise PhysicsError(
        f"`conductor area` is {circular_mils:.0f} cmil: expected at most {area(2):.0f} cmil, 2 AWG"
    )


def compare_sizes(
    length_one_way_m: float, current_a: float, drop_limit_v: float, temperature_c: float = 20.0
) -> SizeComparison:
    """Size one run (m ONE WAY, A, V of drop, C) by IEC 60228 class 5, ISO 10133 and ABYC E-11.

    Sources as for each; `WHY_THE_SIZES_DIFFER` says why. Raises `PhysicsError` as they do.

    >>> compare_sizes(3.2, 10.0, 0.36).awg_by_sae_area
    10
    """
    class_5 = smallest_area_mm2(length_one_way_m, current_a, drop_limit_v, temperature_c)
    round_trip_m = 2 * length_one_way_m
    cmil = abyc_circular_mils(current_a, round_trip_m * FEET_PER_M, drop_limit_v)
    return SizeComparison(
        class_5_mm2=class_5,
        iso_10133_mm2=iso_10133_area_mm2(current_a, round_trip_m, drop_limit_v),
        abyc_cmil=cmil,
        awg_by_awg_area=smallest_awg(cmil, sae=False),
        awg_by_sae_area=smallest_awg(cmil),
    )
