"""Numbers with units: the one place where a unit symbol gets its meaning."""

from __future__ import annotations

import math
from typing import NamedTuple

from diag.model.frozen import frozen


class Dimension(NamedTuple):
    """Exponents of the SI base units, and whether a temperature is a point or a difference."""

    mass: int = 0
    length: int = 0
    time: int = 0
    current: int = 0
    temperature: int = 0
    point: bool = False

    def times(self, other: Dimension) -> Dimension:
        """Return the dimension of a product.

        >>> UNITS["V"].dimension.times(UNITS["A"].dimension) == UNITS["W"].dimension
        True
        """
        a, b = self, other
        return Dimension(a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4])

    def over(self, other: Dimension) -> Dimension:
        """Return the dimension of a quotient.

        >>> UNITS["V"].dimension.over(UNITS["A"].dimension) == UNITS["ohm"].dimension
        True
        """
        a, b = self, other
        return Dimension(a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3], a[4] - b[4])


DIMENSIONLESS = Dimension()
POINT = Dimension(temperature=1, point=True)


@frozen
class Unit:
    """One unit: SI value = given value * factor + offset."""

    symbol: str
    dimension: Dimension
    factor: float = 1.0
    offset: float = 0.0
    names: tuple[str, ...] = ()

    def to_si(self, value: float) -> float:
        """Convert `value` in this unit to SI."""
        return value * self.factor + self.offset

    def from_si(self, value: float) -> float:
        """Convert an SI `value` to this unit."""
        return (value - self.offset) / self.factor

    def written(self, value: float) -> str:
        """Write a number of this unit as people do.

        >>> UNITS["V"].written(12.7), UNITS["1"].written(3.0)
        ('12.7 V', '3')
        """
        number = plain_number(value)
        return number if self.symbol == "1" else f"{number} {self.symbol}"


_LEAST_PLAIN = 1e-6
"""Gauges above nought are numbers; at nought and below they are written as 1/0, 2/0 and so on."""


class Gauge(Unit):
    """The American wire gauge, whose numbers fall as the area of the conductor grows."""

    __slots__ = ()

    def to_si(self, value: float) -> float:
        """Return the area in m2 of a gauge number (1/0 is 0, 4/0 is -3).

        Source: ASTM B258, diameter 0.127 mm * 92^((36 - n)/39).

        >>> round(UNITS["AWG"].to_si(12) * 1e6, 2)
        3.31
        """
        return math.pi / 4 * (0.127e-3 * math.pow(92, (36 - value) / 39)) ** 2

    def from_si(self, value: float) -> float:
        """Return the gauge number, whole or not, of an area in m2."""
        return 36 - 39 * math.log(math.sqrt(value * 4 / math.pi) / 0.127e-3, 92)

    def written(self, value: float) -> str:
        """Write a gauge as it is marked: 2/0 and not -1; there, what is between two is an area.

        >>> UNITS["AWG"].written(-1.0), UNITS["AWG"].written(12.0)
        ('2/0 AWG', '12 AWG')
        """
        if value > _LEAST_PLAIN:
            return super().written(value)
        if abs(value - round(value)) < _LEAST_PLAIN:
            return f"{1 - round(value)}/0 AWG"
        return f"{plain_number(self.to_si(value) * 1e6)} mm2"

    @staticmethod
    def holds(value: float) -> bool:
        """Tell whether there is such a gauge: ASTM B258 has them from 4/0 to 56."""
        return -3 <= value <= 56


_length, _time, _mass = Dimension(length=1), Dimension(time=1), Dimension(mass=1)
_area, _volume = Dimension(length=2), Dimension(length=3)
_current, _warmth = Dimension(current=1), Dimension(temperature=1)
_speed, _flow = _length.over(_time), _volume.over(_time)
_energy = Dimension(mass=1, length=2, time=-2)
_power = _energy.over(_time)
_volt = _power.over(_current)
_ohm = _volt.over(_current)
_pressure, _density = Dimension(mass=1, length=-1, time=-2), _mass.over(_volume)
_frequency, _charge = DIMENSIONLESS.over(_time), _current.times(_time)
_units = (
    Unit("1", DIMENSIONLESS),
    Unit("%", DIMENSIONLESS, 0.01, names=("percent", "pct")),
    Unit("ppm", DIMENSIONLESS, 1e-6),
    Unit("V", _volt, names=("v", "volt", "volts")),
    Unit("mV", _volt, 1e-3, names=("mv", "millivolt", "millivolts")),
    Unit("A", _current, names=("a", "amp", "amps", "ampere", "amperes")),
    Unit("mA", _current, 1e-3, names=("ma", "milliamp", "milliamps", "milliampere")),
    Unit("uA", _current, 1e-6, names=("µA", "microamp", "microamps", "microampere")),
    Unit("W", _power, names=("w", "watt", "watts")),
    Unit("kW", _power, 1e3, names=("kw", "kilowatt", "kilowatts")),
    Unit("ohm", _ohm, names=("Ω", "ohms")),
    Unit("mohm", _ohm, 1e-3, names=("mΩ", "milliohm", "milliohms", "mohms")),
    Unit("kohm", _ohm, 1e3, names=("kΩ", "kilohm", "kilohms", "kiloohm", "kohms")),
    Unit("Mohm", _ohm, 1e6, names=("MΩ", "megohm", "megohms", "megaohm", "megaohms", "Mohms")),
    Unit(
        "C", POINT, 1.0, 273.15, names=("°C", "c", "degC", "degreesC", "celsius", "degrees", "deg")
    ),
    Unit("F", POINT, 5 / 9, 459.67 * 5 / 9, ("°F", "f", "degF", "degreesF", "fahrenheit")),
    Unit("K", _warmth, names=("k", "kelvin", "kelvins")),
    Unit("m", _length, names=("metre", "metres", "meter", "meters")),
    Unit("mm", _length, 1e-3, names=("millimetre", "millimetres")),
    Unit("cm", _length, 1e-2, names=("centimetre", "centimetres")),
    Unit("in", _length, 0.0254, names=("inch", "inches")),
    Unit("ft", _length, 0.3048, names=("foot", "feet")),
    Unit("mm2", _area, 1e-6, names=("mm²", "mm^2", "sqmm")),
    Gauge("AWG", _area, names=("awg",)),
    Unit("l", _volume, 1e-3, names=("L", "litre", "litres", "liter", "liters")),
    Unit("ml", _volume, 1e-6, names=("mL", "cc", "millilitre", "millilitres")),
    Unit("m3", _volume, names=("m³",)),
    Unit("g", _mass, 1e-3, names=("gram", "grams")),
    Unit("kg", _mass, names=("kilogram", "kilograms")),
    Unit("s", _time, names=("sec", "secs", "second", "seconds")),
    Unit("min", _time, 60.0, names=("mins", "minute", "minutes")),
    Unit("h", _time, 3600.0, names=("hr", "hrs", "hour", "hours")),
    Unit("d", _time, 86400.0, names=("day", "days")),
    Unit("week", _time, 604800.0, names=("weeks", "wk", "wks")),
    Unit("Hz", _frequency, names=("hz", "/s", "hertz")),
    Unit("rpm", _frequency, 1 / 60, names=("/min",)),
    Unit("Pa", _pressure, names=("pa",)),
    Unit("hPa", _pressure, 1e2, names=("mbar",)),
    Unit("kPa", _pressure, 1e3, names=("kpa",)),
    Unit("bar", _pressure, 1e5),
    Unit("m/s", _speed),
    Unit("km/h", _speed, 1 / 3.6, names=("kph",)),
    Unit("l/h", _flow, 1e-3 / 3600, names=("L/h",)),
    Unit("ml/h", _flow, 1e-6 / 3600, names=("mL/h",)),
    Unit("ml/min", _flow, 1e-6 / 60, names=("mL/min",)),
    Unit("m3/h", _flow, 1 / 3600, names=("m³/h",)),
    Unit("mg/m3", _density, 1e-6, names=("mg/m³",)),
    Unit("kg/m3", _density, names=("kg/m³",)),
    Unit("Ah", _charge, 3600.0, names=("ah",)),
    Unit("mAh", _charge, 3.6, names=("mah",)),
    Unit("Wh", _energy, 3600.0, names=("wh",)),
    Unit("kWh", _energy, 3.6e6, names=("kwh",)),
    Unit("MJ/kg", _energy.over(_mass), 1e6),
    Unit("kg/s", _mass.over(_time)),
)
UNITS: dict[str, Unit] = {unit.symbol: unit for unit in _units}
SPELLINGS: dict[str, Unit] = {
    name: unit for unit in UNITS.values() for name in (unit.symbol, *unit.names)
}


OVER_RANGE = "over range"
"""What stands for a reading that is more than the meter can show."""


@frozen
class Quantity:
    """A number in SI with its dimension, and the unit in which people read it."""

    si: float
    unit: Unit
    error: float = 0.0
    """Half-width of what the instrument may be out by, in SI; 0 when not known."""

    @property
    def dimension(self) -> Dimension:
        """Return the dimension of the unit."""
        return self.unit.dimension

    @property
    def value(self) -> float:
        """Return the number in the quantity's own unit; infinite where the meter was over range."""
        return self.unit.from_si(self.si)

    @property
    def over_range(self) -> bool:
        """Tell whether this is no number, but more than the meter can show."""
        return self.si == math.inf

    def into(self, unit: Unit) -> Quantity:
        """Return the same quantity read in `unit`; `ValueError` when the dimensions differ.

        >>> str(quantity(500, "mA").into(UNITS["A"]))
        '0.5 A'
        """
        if unit.dimension != self.unit.dimension:
            raise ValueError(f"`{self.unit.symbol}` cannot be read as `{unit.symbol}`")
        return Quantity(self.si, unit, self.error)

    def __str__(self) -> str:
        if self.over_range:
            return OVER_RANGE
        return self.unit.written(self.value)


def quantity(value: float, symbol: str, error: float = 0.0) -> Quantity:
    """Make a quantity from a finite number and any known spelling of a unit.

    `error` is in the same unit. Raises `ValueError` for a number that is not finite and
    `KeyError` for an unknown unit.

    >>> round(quantity(64, "F").into(UNITS["C"]).value, 2)
    17.78
    """
    unit = SPELLINGS[symbol]
    if not math.isfinite(unit.to_si(value)):
        raise ValueError(f"`{value}` is not a number that a meter can show")
    return Quantity(unit.to_si(value), unit, error * unit.factor)


def plain_number(value: float) -> str:
    """Write a number as people do: up to six figures, no exponent where it can be helped.

    >>> plain_number(12.70000001), plain_number(0.02), plain_number(1500.0)
    ('12.7', '0.02', '1500')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    places = max(0, 5 - math.floor(math.log10(abs(value))))
    text = f"{value:.{min(places, 12)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


CLOSE = 1e-9


def compare(left: float, right: float) -> int:
    """Return -1, 0 or 1; two SI numbers within a billionth of each other count as equal.

    A conversion such as 64.4 F to 18 C must not fall on the wrong side of a limit by a
    rounding in the last place. What is over range lies above every number.

    >>> compare(291.15, SPELLINGS["F"].to_si(64.4)), compare(math.inf, 1e9)
    (0, 1)
    """
    if abs(left - right) <= CLOSE * max(abs(left), abs(right)) < math.inf or left == right:
        return 0
    return -1 if left < right else 1
