"""Copper conductors: published resistances, temperature, and gauges."""

from math import exp, log, pi, sqrt
from types import MappingProxyType
from typing import Literal

from diag.model.quantity import UNITS
from diag.physics.errors import PhysicsError, above, between, celsius, finite, one_of
from diag.physics.interpolation import along

Strand = Literal["class 5", "class 5 metal-coated", "class 2", "class 2 metal-coated", "solid"]

RESISTIVITY_20C_OHM_MM2_PER_M = 1 / 58  # IEC 60028, annealed copper, 100 % IACS
ALPHA_20C_PER_K = 0.00393  # IEC 60028
MAX_AREA_MM2 = 400.0
HOTTEST_CABLE_C = 250.0

# Maximum ohm/km at 20 C by nominal area in mm2.
# IEC 60228:2004 Table 3 (class 5) and Table 2 (class 2). The metal-coated column of
# class 2 is from memory.
OHM_PER_KM = MappingProxyType(
    {
        "class 5": (
            (0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4.0, 4.95),
            (6.0, 3.30), (10.0, 1.91), (16.0, 1.21), (25.0, 0.780), (35.0, 0.554), (50.0, 0.386),
        ),
        "class 5 metal-coated": (
            (0.75, 26.7), (1.0, 20.0), (1.5, 13.7), (2.5, 8.21), (4.0, 5.09), (6.0, 3.39),
            (10.0, 1.95), (16.0, 1.24), (25.0, 0.795), (35.0, 0.565),
        ),
        "class 2": (
            (1.5, 12.1), (2.5, 7.41), (4.0, 4.61), (6.0, 3.08), (10.0, 1.83), (16.0, 1.15),
            (25.0, 0.727), (35.0, 0.524),
        ),
        "class 2 metal-coated": (
            (1.5, 12.2), (2.5, 7.56), (4.0, 4.70), (6.0, 3.11), (10.0, 1.84), (16.0, 1.16),
            (25.0, 0.734), (35.0, 0.529),
        ),
    }
)  # fmt: skip

# Minimum areas in circular mils by gauge, SAE J1127/J1128 as quoted in ABYC E-11;
# gauges 8 and thicker are from memory.
SAE_CIRCULAR_MILS = MappingProxyType(
    {18: 1537, 16: 2336, 14: 3702, 12: 5833, 10: 9343, 8: 14810, 6: 24538, 4: 37360, 2: 62450}
)


def temperature_factor(temperature_c: float) -> float:
    """Give the ratio of copper's resistance at a temperature (C) to that at 20 C.

    Source: IEC 60028, 1 + 0.00393 (T - 20). Raises `PhysicsError` outside -100 to 250 C.

    >>> round(temperature_factor(75.0), 4)
    1.2162
    """
    celsius("conductor temperature", temperature_c, least=-100.0, most=HOTTEST_CABLE_C)
    return 1 + ALPHA_20C_PER_K * (temperature_c - 20)


def factor_back_to_20c(temperature_c: float) -> float:
    """Give the factor that takes a resistance MEASURED at a temperature (C) back to 20 C.

    Source: IEC 60228 Table A.1, 254.5 / (234.5 + T), the inverse of `temperature_factor` to
    within rounding of the constants. Raises `PhysicsError` outside -100 to 250 C.

    >>> round(factor_back_to_20c(30.0), 3)
    0.962
    """
    celsius("conductor temperature", temperature_c, least=-100.0, most=HOTTEST_CABLE_C)
    return 254.5 / (234.5 + temperature_c)


def resistivity_ohm_mm2_per_m(temperature_c: float = 20.0) -> float:
    """Give the resistivity of annealed copper in ohm mm2/m at a temperature (C).

    Source: IEC 60028. Raises `PhysicsError` outside -100 to 250 C.

    >>> round(resistivity_ohm_mm2_per_m(20.0), 6)
    0.017241
    """
    return RESISTIVITY_20C_OHM_MM2_PER_M * temperature_factor(temperature_c)


def ohm_per_km(area_mm2: float, strand: Strand = "class 5", temperature_c: float = 20.0) -> float:
    """Give the resistance of one conductor in ohm/km from its area (mm2), strand and C.

    Source: IEC 60228:2004 Tables 2 and 3, between sizes along a straight line in the
    logarithms; `solid` is resistivity over area. Raises `PhysicsError` for an area outside
    the table, an unknown strand, or a temperature outside -100 to 250 C.

    >>> ohm_per_km(2.5)
    7.98
    >>> round(ohm_per_km(2.5, "solid"), 3)
    6.897
    """
    one_of("strand", strand, (*OHM_PER_KM, "solid"))
    factor = temperature_factor(temperature_c)
    if strand == "solid":
        above("conductor area", area_mm2, "mm2", most=MAX_AREA_MM2)
        return 1000 * RESISTIVITY_20C_OHM_MM2_PER_M / area_mm2 * factor
    table = OHM_PER_KM[strand]
    between(f"conductor area, {strand}", area_mm2, "mm2", least=table[0][0], most=table[-1][0])
    listed = dict(table).get(area_mm2)
    if listed is not None:
        return listed * factor
    logs = tuple((log(size), log(ohm)) for size, ohm in table)
    return exp(along(logs, log(area_mm2))) * factor


def parse_awg(text: str) -> int:
    """Read a wire gauge as people write it (`14`, `2/0`, `0`), giving 0 for 1/0, -1 for 2/0.

    Source: ASTM B258 (4/0 to 56). Raises `PhysicsError` for a gauge that does not exist.

    >>> parse_awg("14"), parse_awg("4/0")
    (14, -3)
    """
    head, slash, tail = text.strip().upper().removeprefix("AWG").strip().partition("/")
    if head.isdecimal() and len(head) <= 2 and slash and tail == "0" and 1 <= int(head) <= 4:
        return 1 - int(head)
    if head.isdecimal() and len(head) <= 2 and not slash and int(head) <= 56:
        return int(head)
    raise PhysicsError(f"`wire gauge` is `{text}`: expected an AWG size from 4/0 to 56")


def _whole_gauge(gauge: float) -> int:
    checked = finite("wire gauge", gauge, "AWG")
    if checked != int(checked) or not -3 <= checked <= 56:
        raise PhysicsError(
            f"`wire gauge` is {checked:g} AWG: expected a whole number from -3 (4/0) to 56"
        )
    return int(checked)


def awg_diameter_mm(gauge: float) -> float:
    """Give the diameter in mm of a solid wire of a gauge (AWG; 1/0 is 0, 4/0 is -3).

    Source: ASTM B258, 0.127 * 92^((36 - n)/39). Raises `PhysicsError` for a gauge that does
    not exist.

    >>> round(awg_diameter_mm(14), 4)
    1.6277
    """
    return 2 * sqrt(awg_area_mm2(gauge) / pi)


def awg_area_mm2(gauge: float) -> float:
    """Give the area in mm2 of a solid wire of a gauge (AWG).

    Source: ASTM B258. Raises `PhysicsError` for a gauge that does not exist.

    >>> round(awg_area_mm2(14), 4)
    2.0809
    """
    return 1e6 * UNITS["AWG"].to_si(_whole_gauge(gauge))


def awg_circular_mils(gauge: float) -> float:
    """Give the area in circular mils of a solid wire of a gauge (AWG).

    Source: ASTM B258; a circular mil is the square of the diameter in thousandths of an inch.
    Raises `PhysicsError` for a gauge that does not exist.

    >>> round(awg_circular_mils(12))
    6530
    """
    return (awg_diameter_mm(gauge) / 0.0254) ** 2


def sae_circular_mils(gauge: float) -> float:
    """Give the least area in circular mils that SAE cable of an even gauge (AWG) must have.

    Source: SAE J1127/J1128 as quoted in ABYC E-11; 8 AWG and thicker from memory. Raises
    `PhysicsError` for a gauge outside the table.

    >>> sae_circular_mils(12)
    5833.0
    """
    listed = SAE_CIRCULAR_MILS.get(_whole_gauge(gauge))
    if listed is None:
        raise PhysicsError(
            f"`wire gauge` is {gauge:g} AWG: expected an even SAE gauge from 2 to 18"
        )
    return float(listed)
