"""Battery, glow plug and motor against published values and an outside solver."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from diag.workshop import Fault, Heater, apply_fault
from diag.workshop.laws import battery as cells
from diag.workshop.laws import motor as motors
from diag.workshop.laws import plug as plugs
from diag.workshop.parts.combustion import Motor
from diag.workshop.standing import load_test, standing
from tests.workshop.shipped import small

# TM 5-3820-256-24-4 Table 2 (acid of 1.265): freezing point by charge.
FREEZES_C = {1.0: -59.5, 0.75: -37.2, 0.5: -26.1, 0.25: -15.0, 0.0: -9.4}
# BCI-derived table of a flooded battery, which Bode's electrode formulas give to 0.03 V.
FLOODED_V = {1.0: 12.65, 0.75: 12.45, 0.5: 12.24, 0.25: 12.06}


def _with(part: str, **quantities: float | str) -> Heater:
    heater = small()
    for name, value in quantities.items():
        fault = Fault(part, name.replace("_", " "), "becomes", value)
        heater = apply_fault(heater, fault)
    return heater


@pytest.mark.parametrize(("charge", "celsius"), FREEZES_C.items())
def test_flooded_batteries_freeze_where_the_manual_says(charge: float, celsius: float) -> None:
    """The freezing point follows the army manual's table."""
    battery = _with("battery", kind="flooded", charge=charge).battery
    assert celsius == pytest.approx(cells.freezes_at_c(battery), abs=0.1)


@pytest.mark.parametrize(("charge", "volts"), FLOODED_V.items())
def test_flooded_volts_at_rest_follow_the_table(charge: float, volts: float) -> None:
    """Rest volts follow the BCI-derived table."""
    battery = _with("battery", kind="flooded", charge=charge).battery
    assert volts == pytest.approx(cells.rest_v(battery), abs=0.03)


def test_ice_bars_charge_and_load() -> None:
    """An empty flooded battery at -15 C is frozen: no charge in, hardly any current out."""
    heater = _with("battery", kind="flooded", charge=0.1, temperature=-15.0)
    warm = _with("battery", kind="flooded", charge=0.1, temperature=15.0)
    assert cells.frozen(heater.battery)
    assert not cells.may_charge(heater.battery)
    assert cells.resistance_ohm(heater.battery) > 20 * cells.resistance_ohm(warm.battery)


def test_frost_bars_charging_of_lithium_but_not_its_discharge() -> None:
    """LiFePO4 at -5 C takes no charge and still gives current; below -20 C it gives none."""
    cool = _with("battery", kind="LiFePO4", temperature=-5.0)
    cold = _with("battery", kind="LiFePO4", temperature=-25.0)
    assert not cells.may_charge(cool.battery)
    assert cells.resistance_ohm(cool.battery) < 0.1
    assert standing(cold, "battery resistance") > 1e6


def test_a_healthy_starter_battery_has_three_to_five_milliohms() -> None:
    """At 25 C and full, a fresh battery has the resistance of the published band."""
    battery = _with("battery", charge=1.0, temperature=25.0, health=1.0).battery
    assert 0.003 <= cells.resistance_ohm(battery) <= 0.0051


@settings(max_examples=60)
@given(st.floats(0.1, 1.0), st.floats(0.02, 0.95), st.floats(0.01, 0.05))
def test_a_battery_with_less_in_it_never_holds_more_volts(
    health: float, charge: float, more: float
) -> None:
    """Under one load, a fuller and a healthier battery holds at least as many volts."""
    held = load_test(_with("battery", health=health, charge=charge), 25.0, 20.0).loaded_v
    fuller = load_test(_with("battery", health=health, charge=charge + more), 25.0, 20.0)
    healthier = load_test(_with("battery", health=min(1.0, health + more), charge=charge), 25.0, 20)
    assert held <= fuller.loaded_v + 1e-9
    assert held <= healthier.loaded_v + 1e-9


@pytest.mark.parametrize("volts", [8.0, 9.5, 11.0, 12.2, 13.8])
def test_a_plug_settles_where_an_outside_solver_puts_it(volts: float) -> None:
    """Heating by V2/R against loss by conduction and radiation, solved by scipy's brentq."""
    plug = small().glow_plug

    def surplus_w(kelvin: float) -> float:
        ohm = plug.cold_resistance_ohm * (
            1 + plug.temperature_coefficient_per_k * (kelvin - 293.15)
        )
        radiated = 0.8 * 5.670374e-8 * plug.radiating_area_cm2 * 1e-4 * (kelvin**4 - 293.15**4)
        lost = plug.conductance_w_per_k * (kelvin - 293.15) + radiated
        return (volts / (ohm + 0.05)) ** 2 * ohm - lost

    expected = brentq(surplus_w, 293.15, 2000.0) - 273.15
    assert expected == pytest.approx(plugs.settled_c(plug, volts, 0.05), abs=0.5)


def test_small_steps_bring_a_plug_to_where_it_settles() -> None:
    """Steps of 0.2 s end at the same temperature as the balance, without overshoot."""
    plug, celsius, hottest = small().glow_plug, 20.0, 20.0
    for _ in range(600):
        ohm = plugs.resistance_ohm(plug, celsius)
        celsius = plugs.warmed_c(plug, celsius, 20.0, (12.0 / (ohm + 0.05)) ** 2 * ohm, 0.2)
        hottest = max(hottest, celsius)
    settled = plugs.settled_c(plug, 12.0, 0.05)
    assert settled == pytest.approx(celsius, abs=1.0)
    assert hottest < settled + 60.0


# A worked brushed motor: 2 ohm, 0.02 V s, 2e-5 kg m2, 12 V, 0.8 A running. Its load grows with
# speed and ours with the square of it, hence the tolerance.
_BARE = Motor(2.0, 0.02, 2e-5, 0.0, 1.0, 0.0)
WORKED = replace(_BARE, wheel_drag=0.0163 / motors.drag_nm(_BARE, 520.0, 1.2))
WORKED_A = {0.0: 6.0, 0.05: 3.7, 0.1: 2.4, 0.2: 1.3, 0.3: 0.94, 1.0: 0.80}


@pytest.mark.parametrize(("seconds", "amps"), WORKED_A.items())
def test_a_motor_runs_up_as_the_worked_one(seconds: float, amps: float) -> None:
    """Its current falls from V/R to its running current as the worked example's does."""
    speed = 0.0
    for _ in range(round(seconds / 0.01)):
        speed = motors.turned_rad_per_s(WORKED, speed, 12.0, 1.2, 0.01)
    assert amps == pytest.approx(motors.current_a(WORKED, 12.0, speed), abs=0.2)


def test_a_motor_with_wheels_runs_up_as_an_outside_solver_says() -> None:
    """With drag that grows with the square of speed, steps of 0.2 s keep to scipy's solution."""
    motor = small().motor

    def slope(_: float, speed: list[float]) -> list[float]:
        push = motor.volt_seconds * (11.0 - motor.volt_seconds * speed[0]) / motor.resistance_ohm
        return [(push - motors.drag_nm(motor, speed[0], 1.2)) / motor.inertia_kg_m2]

    expected = solve_ivp(slope, (0.0, 2.0), [0.0], t_eval=[2.0], rtol=1e-8).y[0][-1]
    speed = 0.0
    for _ in range(10):
        speed = motors.turned_rad_per_s(motor, speed, 11.0, 1.2, 0.2)
    assert expected == pytest.approx(speed, rel=0.01)


def test_a_seized_motor_stays_at_its_standstill_current() -> None:
    """A seized brushed motor draws V/R and does not turn."""
    seized = replace(small().motor, seized=1.0)
    assert motors.turned_rad_per_s(seized, 0.0, 12.0, 1.2, 1.0) == 0.0
    assert motors.current_a(seized, 12.0, 0.0) == 6.0
