"""Bad input: each gets one sentence, and the test holds the whole of it."""

from collections.abc import Callable
from math import inf, nan

import pytest

from diag.physics.combustion.carbon_monoxide import (
    Sample,
    mg_per_m3_from_ppm,
    time_weighted_mean_ppm,
)
from diag.physics.combustion.flue import (
    check_flue_pair,
    mean_smoke_spot,
    siegert_loss_from_co2,
    siegert_loss_from_o2,
    spot_reflectance_percent,
)
from diag.physics.combustion.fuel import (
    dose_ml,
    fuel,
    fuel_l_per_h,
    mildest_grade_for,
    pulse_rate_hz,
)
from diag.physics.combustion.stoichiometry import hydrogen_per_carbon
from diag.physics.errors import PhysicsError
from diag.physics.heat.air import air_heat_kw, duct_flow_m3_per_s
from diag.physics.heat.atmosphere import pressure_at_altitude_pa
from diag.physics.heat.balance import efficiency_percent, judge_claim
from diag.physics.heat.compare import Level, delivery
from diag.physics.heat.traverse import traverse_mean_m_s, traverse_points_mm
from diag.physics.supply.battery import (
    LoadPoint,
    appliance_volts_v,
    half_crank_minimum_v,
    half_crank_test,
    internal_resistance_ohm,
    source_from_loads,
)
from diag.physics.supply.cable import circuit_resistance_ohm, smallest_area_mm2, smallest_awg
from diag.physics.supply.charge import charge_band, rest_volts_v
from diag.physics.supply.conductor import awg_area_mm2, ohm_per_km, parse_awg, sae_circular_mils
from diag.physics.supply.endurance import standby_days, usable_charge_ah
from diag.physics.supply.ignition import TheveninSource, ignition_profile, largest_circuit_ohm
from diag.physics.supply.split import SupplyVolts, share_percent, split_drop, split_supply
from diag.physics.uncertainty import instrument_error, margin_verdict, propagate

REFUSALS: list[tuple[Callable[[], object], str]] = [
    # zero, negative, absurd, missing
    (
        lambda: circuit_resistance_ohm(0.0, 2.5),
        "`cable length one way` is 0 m: expected above 0 m and at most 200 m",
    ),
    (
        lambda: circuit_resistance_ohm(-4.0, 2.5),
        "`cable length one way` is -4 m: expected above 0 m and at most 200 m",
    ),
    (
        lambda: standby_days(100.0, 50.0, 0.0),
        "`current` is 0 A: expected above 0 A and at most 1000 A",
    ),
    (
        lambda: fuel_l_per_h(500.0, 0.02),
        "`pulse rate` is 500 Hz: expected above 0 Hz and at most 50 Hz",
    ),
    (
        lambda: efficiency_percent(2.0, 0.0),
        "`fuel power` is 0 kW: expected above 0 kW and at most 200 kW",
    ),
    (
        lambda: judge_claim(2.0, 5.0, None),  # type: ignore[arg-type]
        "`dose per pulse` is missing: give a number in ml",
    ),
    (
        lambda: judge_claim(nan, 5.0, 0.02),
        "`claimed heat` is `nan`: expected a plain number in kW",
    ),
    (
        lambda: duct_flow_m3_per_s(inf, 60.0),
        "`mean air speed` is `inf`: expected a plain number in m/s",
    ),
    (
        lambda: duct_flow_m3_per_s("fast", 60.0),  # type: ignore[arg-type]
        "`mean air speed` is `fast`: expected a plain number in m/s",
    ),
    # two-point test
    (
        lambda: internal_resistance_ohm(0.0, 12.4, 20.0, 12.6),
        "`volts under load` is 12.6 V at 20 A: expected less than the 12.4 V at 0 A",
    ),
    (
        lambda: internal_resistance_ohm(20.0, 12.4, 20.0, 12.2),
        "`load current` is 20 A twice: expected different currents, since equal ones cannot tell "
        "a resistance",
    ),
    (
        lambda: source_from_loads((LoadPoint(5.0, 12.4),)),
        "`load points` are 1: expected two or more",
    ),
    (
        lambda: appliance_volts_v(12.0, 0.5, 30.0, 0.5),
        "`current` is 30 A: expected at most 12 A, all that 12 V can drive through this supply",
    ),
    # the half-crank test
    (
        lambda: half_crank_minimum_v(-25.0),
        "`battery temperature` is -25 C: expected -18 C to 60 C",
    ),
    (
        lambda: half_crank_test(10.0, 100.0, 600.0, 20.0),
        "`load current` is 100 A: expected 270 A to 330 A",
    ),
    # charge
    (lambda: rest_volts_v("AGM", 120.0), "`charge` is 120 %: expected 0 % to 100 %"),
    (
        lambda: charge_band(12.5, "nickel", 5.0),  # type: ignore[arg-type]
        "`chemistry` is `nickel`: expected one of flooded, AGM, gel, LiFePO4",
    ),
    (lambda: charge_band(24.9, "gel", 5.0), "`volts at rest` is 24.9 V: expected 0 V to 16 V"),
    (
        lambda: charge_band(12.5, "gel", 5.0, nominal_v=6.0),
        "`nominal voltage` is 6 V: expected 12, 24, 36 or 48 V",
    ),
    (
        lambda: usable_charge_ah(100.0, 101.0),
        "`share of the capacity used` is 101 %: expected 0 % to 100 %",
    ),
    # ignition
    (lambda: ignition_profile(10.0, 15.0, 9.0), "`glow plug time` is 10 s: expected 30 s to 180 s"),
    (
        lambda: ignition_profile(60.0, 9.0, 15.0),
        "`settled current` is 15 A: expected above 0 A and at most 9 A",
    ),
    (
        lambda: largest_circuit_ohm(TheveninSource(11.0, 0.1), 15.0, 10.5),
        "`volts at the terminals` is 9.5 V at 15 A: expected at least the cut-off, 10.5 V",
    ),
    # cable
    (lambda: parse_awg("57"), "`wire gauge` is `57`: expected an AWG size from 4/0 to 56"),
    (lambda: parse_awg("5/0"), "`wire gauge` is `5/0`: expected an AWG size from 4/0 to 56"),
    (
        lambda: awg_area_mm2(14.5),
        "`wire gauge` is 14.5 AWG: expected a whole number from -3 (4/0) to 56",
    ),
    (
        lambda: sae_circular_mils(13),
        "`wire gauge` is 13 AWG: expected an even SAE gauge from 2 to 18",
    ),
    (
        lambda: ohm_per_km(120.0),
        "`conductor area, class 5` is 120 mm2: expected 0.5 mm2 to 50 mm2",
    ),
    (
        lambda: ohm_per_km(2.5, "class 6"),  # type: ignore[arg-type]
        "`strand` is `class 6`: expected one of class 5, class 5 metal-coated, class 2, "
        "class 2 metal-coated, solid",
    ),
    (
        lambda: smallest_area_mm2(50.0, 20.0, 0.1),
        "`drop limit` is 0.1 V: expected more than 0.772 V, what 50 mm2 loses at 20 A over 50 m "
        "one way",
    ),
    (
        lambda: smallest_awg(80000.0),
        "`conductor area` is 80000 cmil: expected at most 62450 cmil, 2 AWG",
    ),
    # split of a drop
    (
        lambda: split_supply(SupplyVolts(12.6, 12.8, 12.2, 11.8, 0.1, 10.0)),
        "`volts at the terminals under load` is 12.8 V: expected at most the `volts at rest`, "
        "12.6 V",
    ),
    (
        lambda: split_drop({}, 10.0),
        "`drops` is empty: expected the drop of at least one part in V",
    ),
    (lambda: share_percent(2.0, 1.0), "`part of the drop` is 2 V: expected 0 V to 1 V"),
    # fuel
    (lambda: dose_ml(2.0, 0.0), "`pulses` is 0: expected above 0 and at most 1e+06"),
    (lambda: pulse_rate_hz(0.0, 60.0), "`pulses` is 0: expected above 0 and at most 1e+06"),
    (
        lambda: dose_ml(200.0, 100.0),
        "`dose per pulse` is 2 ml: expected above 0 ml and at most 1 ml",
    ),
    (
        lambda: fuel("petrol"),  # type: ignore[arg-type]
        "`fuel` is `petrol`: expected one of diesel, kerosene, jet kerosene",
    ),
    (
        lambda: mildest_grade_for(-50.0),
        "`fuel temperature` is -50 C: expected -44 C or warmer, the limit of the coldest diesel "
        "grade",
    ),
    (
        lambda: hydrogen_per_carbon(90.0, 14.0),
        "`carbon and hydrogen` are 104 %: expected at most 100 %",
    ),
    # air
    (
        lambda: duct_flow_m3_per_s(10.0, 0.0),
        "`duct bore` is 0 mm: expected above 0 mm and at most 1000 mm",
    ),
    (
        lambda: air_heat_kw(10.0, 60.0, 30.0, 20.0),
        "`outlet temperature` is 20 C: expected above the inlet temperature, 30 C",
    ),
    (
        lambda: air_heat_kw(10.0, 60.0, -300.0, 20.0),
        "`inlet temperature` is -300 C: expected a temperature above absolute zero, -273.15 C",
    ),
    (
        lambda: traverse_mean_m_s([8.0, 9.0, 10.0]),
        "`traverse` has 3 points: expected 6 along each diameter",
    ),
    (
        lambda: traverse_mean_m_s([8.0] * 8),
        "`traverse` has 8 points: expected 6 along each diameter",
    ),
    (
        lambda: traverse_mean_m_s([8.0, 9.0, 10.0, 10.0, 9.0, -8.0]),
        "`air speed at point 6` is -8 m/s: expected 0 m/s to 60 m/s",
    ),
    (
        lambda: traverse_points_mm(60.0, "log-linear", 2),
        "`points per radius` is 2: expected 3 or 4",
    ),
    (
        lambda: pressure_at_altitude_pa(20000.0),
        "`altitude` is 20000 m: expected -500 m to 11000 m",
    ),
    (
        lambda: judge_claim(2.0, 5.0, 0.02, at_percent=120.0),
        "`efficiency` is 120 %: expected above 0 % and at most 100 %",
    ),
    (
        lambda: delivery("LIB-03", (), 2.0),
        "`levels` is empty: expected at least one level with heat in kW",
    ),
    (
        lambda: delivery("LIB-03", (Level(2.0, 0.3, 2.0), Level(2.0, 0.3, 2.0)), 2.0),
        "`heat of a level` is 2 kW twice: expected different levels",
    ),
    # flue gas
    (
        lambda: siegert_loss_from_o2(200.0, 20.0, 120.0),
        "`oxygen in the flue gas` is 120 %: expected 0 % to 20 %",
    ),
    (
        lambda: siegert_loss_from_o2(10.0, 20.0, 8.0),
        "`flue gas temperature` is 10 C: expected at least the combustion air's, 20 C",
    ),
    (
        lambda: siegert_loss_from_co2(200.0, 20.0, 16.0),
        "`carbon dioxide in the flue gas` is 16 %: expected above 0 % and at most 15.44 %",
    ),
    (
        lambda: check_flue_pair(8.0, 13.0),
        "`carbon dioxide in the flue gas` is 13 % with 8 % oxygen: expected 9.6 % within 1 %, "
        "since light oil cannot make another pair",
    ),
    (lambda: spot_reflectance_percent(10.0), "`smoke spot number` is 10: expected 0 to 9"),
    (lambda: mean_smoke_spot([1.0, 2.0]), "`smoke spots` are 2: expected three or more"),
    # carbon monoxide
    (
        lambda: mg_per_m3_from_ppm(-5.0),
        "`carbon monoxide` is -5 ppm: expected 0 ppm to 100000 ppm",
    ),
    (
        lambda: time_weighted_mean_ppm((Sample(0.0, 10.0),)),
        "`readings of CO` are 1: expected two or more",
    ),
    (
        lambda: time_weighted_mean_ppm((Sample(5.0, 10.0), Sample(5.0, 12.0))),
        "`minute of a reading` is 5 min: expected after the one before, 5 min",
    ),
    # errors
    (
        lambda: instrument_error(12.0, 150.0),
        "`percent of reading` is 150 %: expected 0 % to 100 %",
    ),
    (
        lambda: margin_verdict(0.5, -0.1),
        "`error of the margin` is -0.1: expected 0 to 1e+12",
    ),
    (
        lambda: propagate(lambda a, b: a + b, (1.0, 2.0), (0.1,)),
        "`errors` are 1: expected 2, one for each value",
    ),
]


@pytest.mark.parametrize(("call", "message"), REFUSALS, ids=[message for _, message in REFUSALS])
def test_refusal(call: Callable[[], object], message: str) -> None:
    """A value that cannot be true is refused, saying which, what was given and what expected."""
    with pytest.raises(PhysicsError) as caught:
        call()
    assert message == str(caught.value)


def test_a_refusal_is_a_value_error() -> None:
    """Callers that know nothing of physics may catch `ValueError`."""
    assert issubclass(PhysicsError, ValueError)
