"""Flue gas against 1. BImSchV, ASTM D2156, DIN 51402 and stoichiometry."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.combustion.flue import (
    SIEGERT,
    FlueFuel,
    air_ratio_from_co2,
    air_ratio_from_o2,
    check_flue_pair,
    co2_from_o2,
    excess_air_percent,
    loss_limit_percent,
    mean_smoke_spot,
    siegert_co2_max,
    siegert_loss_from_co2,
    siegert_loss_from_o2,
    spot_reflectance_percent,
    spot_transmission_percent,
    undiluted_ppm,
)
from diag.physics.combustion.stoichiometry import combustion_of
from diag.physics.errors import PhysicsError

# Flue C, air C, O2 %, loss % for light oil: arithmetic on the formula of 1. BImSchV (2010)
# annex 2 no. 3.4; no published worked example was found.
LOSSES = [
    (180, 20, 4, 7.520), (190, 20, 3, 7.612), (200, 20, 5, 8.910), (250, 20, 6, 12.037),
    (400, 20, 10, 26.151), (300, 10, 12, 23.941),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "constants"),
    [
        ("light oil", (0.50, 0.68, 0.007)),
        ("natural gas", (0.37, 0.66, 0.009)),
        ("LPG", (0.42, 0.63, 0.008)),
    ],
)
def test_siegert_constants(name: str, constants: tuple[float, float, float]) -> None:
    """A1, A2 and B are those of 1. BImSchV (2010) annex 2 no. 3.4."""
    assert constants == SIEGERT[name]


@pytest.mark.parametrize(("flue", "air", "oxygen", "loss"), LOSSES)
def test_siegert_loss(flue: float, air: float, oxygen: float, loss: float) -> None:
    """The loss follows the formula of 1. BImSchV, with its B (arithmetic)."""
    assert loss == pytest.approx(siegert_loss_from_o2(flue, air, oxygen), abs=6e-4)


@pytest.mark.parametrize(("name", "co2_max"), [("light oil", 15.44), ("natural gas", 11.77)])
def test_co2_max_of_the_constants(name: FlueFuel, co2_max: float) -> None:
    """21 A1 / A2 is the most CO2: 15.4 % for light oil (from memory too), 11.8 % for gas."""
    assert co2_max == pytest.approx(siegert_co2_max(name), abs=6e-3)
    assert 15.4 == pytest.approx(siegert_co2_max(), abs=0.05)
    assert combustion_of(1.80).co2_max_percent == pytest.approx(siegert_co2_max(), abs=0.02)


@given(st.floats(0, 17), st.floats(50, 700), st.floats(-20, 40))
def test_loss_is_the_same_by_oxygen_or_co2(oxygen: float, flue: float, air: float) -> None:
    """Both Siegert forms agree for a pair that belongs together."""
    by_oxygen = siegert_loss_from_o2(flue, air, oxygen)
    by_dioxide = siegert_loss_from_co2(flue, air, min(15.44, co2_from_o2(oxygen)))
    assert pytest.approx(by_oxygen, rel=1e-3) == by_dioxide


@given(st.floats(0, 16), st.floats(0.1, 3), st.floats(100, 500))
def test_more_air_loses_more(oxygen: float, more: float, flue: float) -> None:
    """More oxygen or a hotter flue gas never loses less."""
    loss = siegert_loss_from_o2(flue, 20.0, oxygen)
    assert siegert_loss_from_o2(flue, 20.0, oxygen + more) > loss
    assert siegert_loss_from_o2(flue + 10.0, 20.0, oxygen) > loss


@given(st.floats(1.0, 4.0), st.floats(1.7, 2.2))
def test_air_ratio_from_a_flame_counted_by_atoms(ratio: float, x: float) -> None:
    """Burn CHx with a known air ratio, count the dry gas, and both meters find the ratio."""
    oxygen_needed = 1 + x / 4
    oxygen_left = (ratio - 1) * oxygen_needed
    nitrogen = ratio * oxygen_needed * 0.7905 / 0.2095
    dry = 1 + oxygen_left + nitrogen
    assert pytest.approx(ratio, rel=1e-6) == air_ratio_from_o2(100 * oxygen_left / dry, x)
    dioxide = min(100 / dry, round(combustion_of(x).co2_max_percent, 2))
    assert pytest.approx(ratio, rel=2e-3) == air_ratio_from_co2(dioxide, x)


def test_short_rule_for_excess_air() -> None:
    """21 / (21 - O2), the short rule, agrees within 3 % up to 8 % oxygen."""
    for oxygen in range(9):
        assert 21 / (21 - oxygen) == pytest.approx(air_ratio_from_o2(oxygen), rel=0.03)
    assert pytest.approx(0.0) == excess_air_percent(air_ratio_from_o2(0.0))


def test_flue_pairs() -> None:
    """A pair on the CO2max line passes; its distance is told."""
    assert pytest.approx(0.0) == check_flue_pair(0.0, siegert_co2_max())
    assert pytest.approx(0.24, abs=5e-3) == check_flue_pair(5.0, 12.0)


@pytest.mark.parametrize(
    ("kw", "percent"), [(4, 11), (25, 11), (25.1, 10), (50, 10), (50.1, 9), (400, 9)]
)
def test_loss_limits(kw: float, percent: float) -> None:
    """Fixed plants may lose 11, 10 or 9 % by their power (1. BImSchV sec. 10)."""
    assert percent == loss_limit_percent(kw)


@pytest.mark.parametrize(
    ("spot", "percent"), [(0, 100), (2, 95), (4, 80), (6, 54), (8, 18), (9, 0)]
)
def test_spot_transmission(spot: float, percent: float) -> None:
    """Light through the gas falls with the spot number (ASTM D2156 sec. 5.2)."""
    assert percent == spot_transmission_percent(spot)


def test_spot_scale_is_linear_from_white() -> None:
    """Spot k darkens the 85 % white by 10 k % (ASTM D2156, DIN 51402-1; step from memory)."""
    assert [85.0, 76.5, 68.0] == [spot_reflectance_percent(spot) for spot in (0, 1, 2)]
    assert pytest.approx(8.5) == spot_reflectance_percent(9)


def test_mean_of_three_spots() -> None:
    """The spot is the mean of three readings (DIN 51402)."""
    assert pytest.approx(2 / 3) == mean_smoke_spot([0, 1, 1])


@given(ppm=st.floats(0.0, 20000.0), parts=st.floats(0.0, 8.0))
def test_taking_the_air_out_undoes_mixing_it_in(ppm: float, parts: float) -> None:
    """Gas without oxygen, mixed with any parts of air of 20.95 % oxygen, reads again as it was."""
    oxygen = 20.95 * parts / (1 + parts)
    assert pytest.approx(ppm) == undiluted_ppm(ppm / (1 + parts), oxygen)


@pytest.mark.parametrize("oxygen", [-0.1, 20.5, 21.0])
def test_air_alone_has_no_undiluted_gas(oxygen: float) -> None:
    """Oxygen of nothing but air is refused, with the range that is expected."""
    with pytest.raises(PhysicsError) as error:
        undiluted_ppm(80.0, oxygen)
    assert f"`oxygen in the flue gas` is {oxygen:g} %: expected 0 % to 20 %" == str(error.value)
