"""Conductors against IEC 60228, IEC 60028, ASTM B258, NEC Chapter 9 Table 8 and `fluids`."""

import pytest
from fluids.piping import t_from_gauge
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.supply.conductor import (
    OHM_PER_KM,
    Strand,
    awg_area_mm2,
    awg_circular_mils,
    awg_diameter_mm,
    factor_back_to_20c,
    ohm_per_km,
    parse_awg,
    resistivity_ohm_mm2_per_m,
    sae_circular_mils,
    temperature_factor,
)

# IEC 60228:2004 Table 3, class 5 plain copper, maximum ohm/km at 20 C.
CLASS_5 = {
    0.5: 39.0, 0.75: 26.0, 1: 19.5, 1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91,
    16: 1.21, 25: 0.780, 35: 0.554, 50: 0.386,
}  # fmt: skip
# IEC 60228:2004 Table 3, class 5 metal-coated copper.
CLASS_5_COATED = {
    0.75: 26.7, 1: 20.0, 1.5: 13.7, 2.5: 8.21, 4: 5.09, 6: 3.39, 10: 1.95, 16: 1.24,
    25: 0.795, 35: 0.565,
}  # fmt: skip
# IEC 60228:2004 Table 2, class 2 plain copper.
CLASS_2 = {1.5: 12.1, 2.5: 7.41, 4: 4.61, 6: 3.08, 10: 1.83, 16: 1.15, 25: 0.727, 35: 0.524}
# IEC 60228:2004 Table 2, class 2 metal-coated, from memory: one size, and a wide tolerance below.
IEC_TABLES: dict[Strand, dict[float, float]] = {
    "class 5": CLASS_5,
    "class 5 metal-coated": CLASS_5_COATED,
    "class 2": CLASS_2,
}
# AWG: diameter in, mm, mm2, cmil, ohm/km, ohm/1000 ft at 20 C, NEC 75 C solid ohm/1000 ft.
# ASTM B258; NEC Chapter 9 Table 8.
AWG = {
    18: (0.0403, 1.0237, 0.8230, 1624, 20.948, 6.385, 7.77),
    16: (0.0508, 1.2908, 1.3087, 2583, 13.174, 4.016, 4.89),
    14: (0.0641, 1.6277, 2.0809, 4107, 8.285, 2.525, 3.07),
    12: (0.0808, 2.0525, 3.3088, 6530, 5.211, 1.588, 1.93),
    10: (0.1019, 2.5882, 5.2612, 10383, 3.277, 0.9988, 1.21),
    8: (0.1285, 3.2636, 8.3656, 16510, 2.061, 0.6282, 0.764),
    6: (0.1620, 4.1154, 13.302, 26251, 1.296, 0.3951, None),
    4: (0.2043, 5.1894, 21.151, 41741, 0.8152, 0.2485, None),
    2: (0.2576, 6.5437, 33.631, 66371, 0.5127, 0.1563, None),
}
# NEC Chapter 9 Table 8, stranded copper at 75 C, ohm/1000 ft.
NEC_STRANDED = {18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24, 8: 0.778, 6: 0.491, 4: 0.308}
# IEC 60228 Table A.1, factor back to 20 C.
BACK_TO_20 = {5: 1.063, 10: 1.041, 30: 0.962, 40: 0.927, 50: 0.895, 60: 0.864, 70: 0.836}


@pytest.mark.parametrize(
    ("strand", "area", "ohm"),
    [(strand, area, ohm) for strand, table in IEC_TABLES.items() for area, ohm in table.items()],
)
def test_iec_60228_sizes(strand: Strand, area: float, ohm: float) -> None:
    """Every size of IEC 60228:2004 Tables 2 and 3 has its maximum resistance."""
    assert ohm == ohm_per_km(area, strand)


@pytest.mark.parametrize(
    ("area", "ratio"),
    [
        (0.75, 1.131), (1, 1.131), (25, 1.131), (1.5, 1.157), (2.5, 1.157), (4, 1.148),
        (6, 1.148), (10, 1.108), (16, 1.123), (35, 1.125),
    ],
)  # fmt: skip
def test_class_5_stands_above_plain_copper(area: float, ratio: float) -> None:
    """Fine strands cost 11 to 16 % over copper's resistivity (IEC 60228 over IEC 60028)."""
    assert ratio == pytest.approx(ohm_per_km(area) * area / 17.241, abs=6e-4)
    assert ratio == pytest.approx(ohm_per_km(area) / ohm_per_km(area, "solid"), abs=6e-4)


def test_coated_strands_resist_more() -> None:
    """Metal coating adds 1 to 4 % at every size; class 2 coated is from memory."""
    for plain, coated in (("class 5", "class 5 metal-coated"), ("class 2", "class 2 metal-coated")):
        bare = dict(OHM_PER_KM[plain])
        for area, ohm in OHM_PER_KM[coated]:
            assert 1.0 < ohm / bare[area] < 1.04


def test_resistivity_of_copper() -> None:
    """Annealed copper has 0.017241 ohm mm2/m at 20 C and rises 0.393 % per degree (IEC 60028)."""
    assert pytest.approx(0.017241, abs=5e-7) == resistivity_ohm_mm2_per_m()
    assert pytest.approx(1 + 0.00393 * 55) == temperature_factor(75.0)


@pytest.mark.parametrize(("temperature", "factor"), BACK_TO_20.items())
def test_factor_back_to_20(temperature: float, factor: float) -> None:
    """A measured resistance goes back to 20 C by 254.5 / (234.5 + T) (IEC 60228 Table A.1)."""
    assert factor == pytest.approx(factor_back_to_20c(temperature), abs=6e-4)


@given(st.floats(-30, 90))
def test_factors_are_inverse(temperature: float) -> None:
    """Going to a temperature and back changes nothing but the constants' rounding."""
    there_and_back = temperature_factor(temperature) * factor_back_to_20c(temperature)
    assert pytest.approx(1.0, abs=2e-4) == there_and_back


@pytest.mark.parametrize(("gauge", "row"), AWG.items())
def test_awg_table(gauge: int, row: tuple[float, ...]) -> None:
    """Each gauge has the diameter, area and resistance of ASTM B258 at 20 C."""
    inches, mm, mm2, cmil, ohm_km, ohm_kft, _ = row
    assert inches == pytest.approx(awg_diameter_mm(gauge) / 25.4, abs=6e-5)
    assert mm == pytest.approx(awg_diameter_mm(gauge), rel=1e-4)
    assert mm2 == pytest.approx(awg_area_mm2(gauge), rel=1e-4)
    assert cmil == pytest.approx(awg_circular_mils(gauge), rel=4e-4)
    solid = ohm_per_km(awg_area_mm2(gauge), "solid")
    assert ohm_km == pytest.approx(solid, rel=4e-4)
    assert ohm_kft == pytest.approx(solid * 0.3048, rel=4e-4)


@pytest.mark.parametrize(("gauge", "row"), [(g, r) for g, r in AWG.items() if r[6]])
def test_awg_at_75_c(gauge: int, row: tuple[float, ...]) -> None:
    """Solid wire at 75 C has the resistance of NEC Chapter 9 Table 8, stranded 2 to 3 % more."""
    hot = ohm_per_km(awg_area_mm2(gauge), "solid", 75.0) * 0.3048
    assert row[6] == pytest.approx(hot, rel=5e-3)
    assert 1.015 < NEC_STRANDED[gauge] / hot < 1.035


@pytest.mark.parametrize("gauge", AWG)
def test_awg_diameter_against_fluids(gauge: int) -> None:
    """`fluids` knows the same wire diameters, rounded to 0.0001 in."""
    assert t_from_gauge(gauge, schedule="AWG") * 1000 == pytest.approx(
        awg_diameter_mm(gauge), abs=0.0254 * 0.06
    )


@pytest.mark.parametrize(
    ("gauge", "cmil"),
    [
        (18, 1537), (16, 2336), (14, 3702), (12, 5833), (10, 9343),
        # from memory
        (8, 14810), (6, 24538), (4, 37360), (2, 62450),
    ],
)  # fmt: skip
def test_sae_areas(gauge: int, cmil: float) -> None:
    """SAE cable may be thinner than the same AWG (SAE J1127/J1128 as quoted in ABYC E-11)."""
    assert cmil == sae_circular_mils(gauge)
    assert sae_circular_mils(gauge) < awg_circular_mils(gauge)


@pytest.mark.parametrize(
    ("text", "gauge"),
    [("14", 14), ("AWG 14", 14), (" 0 ", 0), ("1/0", 0), ("2/0", -1), ("4/0", -3)],
)
def test_awg_as_written(text: str, gauge: int) -> None:
    """A gauge is read as people write it (ASTM B258)."""
    assert gauge == parse_awg(text)


@given(st.floats(0.5, 49.0), st.floats(1.001, 1.02))
def test_thicker_resists_less(area: float, times: float) -> None:
    """Between the standard sizes too, a thicker cable has less resistance."""
    assert ohm_per_km(area * times) < ohm_per_km(area)
    assert ohm_per_km(area * times, "solid") < ohm_per_km(area, "solid")


@given(st.floats(0.5, 50.0), st.floats(-40, 80), st.floats(0.01, 20))
def test_hotter_resists_more(area: float, temperature: float, rise: float) -> None:
    """A warmer cable has more resistance."""
    cold = ohm_per_km(area, temperature_c=temperature)
    assert cold < ohm_per_km(area, temperature_c=temperature + rise)
