"""The catalogue: every formula computes in the units that it states, checked by `pint`."""

import pint
import pytest

from diag.model.expression import Formula
from diag.physics.formulas.catalogue import FORMULAS

UNITS = {
    "V", "mV", "A", "mA", "W", "kW", "ohm", "mohm", "C", "K", "m", "mm", "mm2", "l", "ml", "l/h",
    "ml/h", "g", "kg", "s", "min", "h", "Hz", "Pa", "hPa", "kPa", "m/s", "m3/h", "ppm", "mg/m3",
    "%", "1", "Ah", "Wh", "kWh", "MJ/kg", "kg/m3",
}  # fmt: skip
BY_NAME = {formula.name: formula for formula in FORMULAS}

# Name, inputs in the stated units, result in the stated unit, and where the number is from.
WORKED = [
    ("resistance from two loads", (50, 12.35, 250, 11.55), 0.004),  # arithmetic
    ("resting volts from two loads", (50, 12.35, 250, 11.55), 12.55),  # arithmetic
    ("short-circuit current from two loads", (0, 12.6, 100, 12.0), 2100.0),  # arithmetic
    ("volts at the terminals", (12.6, 0.01, 10), 12.5),  # Ohm's law
    ("volts at the appliance", (12.6, 0.01, 10, 0.08), 11.7),  # Ohm's law
    ("cable circuit resistance", (5, 2.5), 0.0798),  # IEC 60228:2004 Table 3
    ("cable circuit resistance at temperature", (5, 2.5, 75), 0.0798 * 1.21615),  # IEC 60028
    ("drop along a cable", (0.08, 10, 12), 0.8),  # Ohm's law
    ("drop along a cable as a share of the supply", (0.06, 10, 12), 5.0),  # Ohm's law
    ("small-craft cable drop", (1.6, 22, 1.5), 0.3849),  # ISO 10133 Annex A, worked example
    ("share of a drop", (0.3, 1.2), 25.0),  # arithmetic
    ("least volts in a half-cold-crank test", (10,), 9.4),  # memory of the load test
    ("usable charge", (100, 50), 50.0),  # arithmetic
    ("hours on a battery", (50, 2), 25.0),  # arithmetic
    ("starts on a battery", (50, 0.25), 200.0),  # arithmetic
    ("hours of standby", (100, 50, 0.085), 588.2),  # common practice, no source
    ("standby days", (100, 50, 0.085), 24.51),  # common practice, no source
    ("pulse rate from a count", (150, 30), 5.0),  # arithmetic
    ("dose per pulse", (2.0, 100), 0.02),  # common practice, no source
    ("pump flow", (5, 0.02), 0.36),  # common practice, no source
    ("fuel power", (1.0, 840, 43.0), 10.033),  # IPCC 2006 Table 1.2
    ("diesel power from pulses", (5, 0.02), 3.578),  # IPCC 2006 Table 1.2, EN 590
    ("kerosene power from pulses", (5, 0.02), 3.515),  # IPCC 2006 Table 1.2
    ("hours on a tank", (9, 0.36), 25.0),  # arithmetic
    ("air flow in a duct", (8.1667, 75), 129.9),  # arithmetic
    ("heat in the air from the centre speed", (12.5, 60, 18, 105), 2.364),  # common practice
    ("heat in the air from the mean speed", (12.5, 60, 18, 105), 2.894),  # common practice
    ("heat in the air from the centre speed at altitude", (12.5, 60, 18, 105, 2000), 1.855),  # ISA
    ("density of air", (20, 101325), 1.2041),  # ideal gas, CoolProp within 0.1 %
    ("pressure at altitude", (2000,), 79501.4),  # ISO 2533
    ("mixture richness at altitude", (2000,), 1 / 0.82168),  # ISO 2533
    ("efficiency", (2.36, 3.58), 65.92),  # arithmetic
    ("pulse rate needed for a heat", (5, 5, 0.02), 6.987),  # conservation of energy
    ("dose needed for a heat", (5, 5, 0.02), 0.02795),  # conservation of energy
    ("electricity for a kilowatt-hour of heat", (12.5, 1.5, 2.0), 9.375),  # arithmetic
    ("flue loss from oxygen", (180, 20, 4), 7.520),  # 1. BImSchV annex 2
    ("flue loss from carbon dioxide", (200, 20, 12), 8.76),  # 1. BImSchV annex 2
    ("excess air from oxygen", (5,), 29.26),  # stoichiometry
    ("excess air from carbon dioxide", (11.68,), 29.27),  # stoichiometry
    ("air ratio from oxygen", (0,), 1.0),  # definition
    ("carbon dioxide that belongs to oxygen", (5,), 11.76),  # 1. BImSchV constants
    ("carbon monoxide in mg/m3", (30, 25), 34.35),  # ideal gas
    ("carbon monoxide in ppm", (35, 25), 30.57),  # ideal gas
]


@pytest.mark.parametrize(("name", "inputs", "result"), WORKED)
def test_worked_number(name: str, inputs: tuple[float, ...], result: float) -> None:
    """Each formula gives its worked number in its stated unit."""
    formula = BY_NAME[name]
    assert len(formula.inputs) == len(inputs)
    assert result == pytest.approx(formula.compute(*inputs), rel=1e-3)


def test_every_formula_has_a_worked_number() -> None:
    """No formula stands in the catalogue unproved, and no name stands twice."""
    assert sorted(name for name, _, _ in WORKED) == sorted(formula.name for formula in FORMULAS)


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.name)
def test_a_formula_says_what_it_is(formula: Formula) -> None:
    """Units are of the known symbols, inputs have names of their own, and words are given."""
    assert UNITS.issuperset({formula.unit, *(unit for _, unit in formula.inputs)})
    names = [name for name, _ in formula.inputs]
    assert len(names) == len(set(names))
    assert formula.source
    assert formula.explains.endswith(".")
    assert formula.explains.count(".") - formula.explains.count("0.") == 1


@pytest.mark.parametrize(
    ("name", "symbols", "factor"),
    [
        ("volts at the terminals", ("V", "ohm", "A"), 1.0),
        ("pump flow", ("Hz", "ml"), 1.0),
        ("fuel power", ("l/h", "kg/m3", "MJ/kg"), 1.0),
        ("hours on a battery", ("Ah", "A"), 1.0),
        ("hours on a tank", ("l", "l/h"), 1.0),
        ("dose per pulse", ("ml", "1"), 1.0),
        ("drop along a cable", ("ohm", "A", "V"), 1.0),
        ("electricity for a kilowatt-hour of heat", ("V", "A", "kW"), 1.0),
    ],
)
def test_units_by_pint(name: str, symbols: tuple[str, ...], factor: float) -> None:
    """Products and quotients come out in the stated unit when `pint` carries the units."""
    ureg = pint.UnitRegistry()
    spoken = {"Ah": "A*h", "ml": "ml", "Hz": "1/s", "1": "dimensionless", "l/h": "l/hour"}
    formula = BY_NAME[name]
    assert symbols == tuple(unit for _, unit in formula.inputs)
    worked = next(inputs for each, inputs, _ in WORKED if each == name)
    q = [
        ureg.Quantity(value, spoken.get(symbol, symbol.replace("m3", "m**3")))
        for value, symbol in zip(worked, symbols, strict=True)
    ]
    carried = {
        "volts at the terminals": lambda: q[0] - q[1] * q[2],
        "pump flow": lambda: (q[0] * q[1]).to("l/hour"),
        "fuel power": lambda: (q[0] * q[1] * q[2]).to("kW"),
        "hours on a battery": lambda: (q[0] / q[1]).to("hour"),
        "hours on a tank": lambda: (q[0] / q[1]).to("hour"),
        "dose per pulse": lambda: q[0] / q[1],
        "drop along a cable": lambda: (q[0] * q[1]).to("V"),
        "electricity for a kilowatt-hour of heat": lambda: (
            q[0] * q[1] / q[2] * ureg.Quantity(1, "kW*hour")
        ).to("W*hour"),
    }[name]()
    assert carried.magnitude == pytest.approx(factor * formula.compute(*worked))
