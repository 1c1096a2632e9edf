"""The load test that typed answers describe."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.bench.amounts import read_amount, read_error
from diag.bench.battery.inputs import (
    AMPS_ERROR,
    AREA,
    CUT_OFF,
    IGNITION_AMPS,
    JOINTS,
    LENGTH,
    LOAD_AMPS,
    NEEDED,
    TERMINALS,
    VOLTS_ERROR,
    point_of,
)
from diag.bench.cable.inputs import area_mm2
from diag.bench.inputs import measured
from diag.physics.supply.cable import circuit_resistance_ohm
from diag.physics.supply.verdict import Measured, MeasuredLoad, SupplyTest

SYSTEM_24_V = 18.0  # a rested battery above this is taken for a 24 V one


def supply_test(
    answers: Mapping[str, str], points: Sequence[str] = ()
) -> tuple[SupplyTest, tuple[str, ...]]:
    """Return the load test that the typed answers describe, and the names of what was assumed."""
    rest_v, load_v, load_a = (measured(each, answers[each.option]).value for each in NEEDED)
    if load_v == rest_v:
        raise ValueError(
            f"`volts under load` equals `volts at rest`, {rest_v:g} V: expected less; load the "
            "battery harder, or read the volts on a finer range"
        )
    twice = 2.0 if rest_v > SYSTEM_24_V else 1.0
    usual = {"ignition-amps": f"{10 / twice:g} A", "cut-off": f"{10.5 * twice:g} V"}
    usual |= {"volts-error": VOLTS_ERROR, "amps-error": AMPS_ERROR}
    typed = {**usual, **answers}

    def volts(value: float) -> Measured:
        return Measured(value, read_error("voltmeter's error", typed["volts-error"], "V", value))

    def amps(value: float) -> Measured:
        return Measured(value, read_error("ammeter's error", typed["amps-error"], "A", value))

    more = tuple(
        MeasuredLoad(
            amps(measured(LOAD_AMPS, point_a).value), volts(measured(TERMINALS, point_v).value)
        )
        for point_a, point_v in map(point_of, points)
    )
    test = SupplyTest(
        volts(rest_v),
        volts(load_v),
        amps(load_a),
        read_amount(IGNITION_AMPS.name, typed["ignition-amps"], "A"),
        read_amount(CUT_OFF.name, typed["cut-off"], "V"),
        _circuit_ohm(answers),
        more,
    )
    return test, tuple(name for name in usual if name not in answers)


def _circuit_ohm(answers: Mapping[str, str]) -> float | None:
    joints = read_amount(JOINTS.name, answers.get("joints", "0 ohm"), "ohm")
    if "length" not in answers or "area" not in answers:
        return None
    length_m = read_amount(LENGTH.name, answers["length"], "m")
    return circuit_resistance_ohm(length_m, area_mm2(AREA.name, answers["area"]), joints_ohm=joints)
