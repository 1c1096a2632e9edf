"""A whole unit with its supply and its cabin: which parts there are, by name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field, fields, replace
from functools import wraps
from types import MappingProxyType
from typing import Any, TypeVar, get_type_hints

from diag.model.frozen import frozen
from diag.workshop.amount import AmountField, WorkshopError, quantities
from diag.workshop.parts.combustion import (
    Burner,
    CombustionWheel,
    Exchanger,
    Exhaust,
    Gasket,
    Intake,
    Motor,
)
from diag.workshop.parts.fuel import (
    DeliveryHose,
    Filter,
    FuelPart,
    Pump,
    PumpConnector,
    Standpipe,
    SuctionHose,
    Tank,
)
from diag.workshop.parts.ignition import GlowPlug, PlugConnector, PlugScreen, PlugWire
from diag.workshop.parts.sensing import (
    ControlUnit,
    FlameSensor,
    OverheatSensor,
    Panel,
    RoomSensor,
)
from diag.workshop.parts.supply import (
    BatteryPart,
    Cable,
    Charger,
    Fuse,
    Isolator,
    Joint,
    OtherLoads,
    SupplyConnector,
)
from diag.workshop.parts.warm_air import Cabin, Duct, Inlet, Outlets, WarmAirWheel, Weather

Told = TypeVar("Told")


@frozen
class Heater:
    """All parts of one unit, what feeds it and what it heats."""

    battery: BatteryPart
    charger: Charger
    other_loads: OtherLoads
    positive_joint: Joint
    positive_cable: Cable
    fuse: Fuse
    isolator: Isolator
    supply_connector: SupplyConnector
    negative_cable: Cable
    negative_joint: Joint
    glow_plug: GlowPlug
    plug_wire: PlugWire
    plug_connector: PlugConnector
    screen: PlugScreen
    pump: Pump
    pump_connector: PumpConnector
    suction_hose: SuctionHose
    delivery_hose: DeliveryHose
    filter: Filter
    tank: Tank
    standpipe: Standpipe
    fuel: FuelPart
    motor: Motor
    combustion_wheel: CombustionWheel
    intake: Intake
    exhaust: Exhaust
    burner: Burner
    gasket: Gasket
    exchanger: Exchanger
    warm_air_wheel: WarmAirWheel
    inlet: Inlet
    duct: Duct
    outlets: Outlets
    flame_sensor: FlameSensor
    overheat_sensor: OverheatSensor
    room_sensor: RoomSensor
    panel: Panel
    control_unit: ControlUnit
    cabin: Cabin
    weather: Weather
    told: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What has been worked out of these parts (`once`)."""


_CLASSES = get_type_hints(Heater)

PARTS: Mapping[str, type[Any]] = MappingProxyType(
    {each.name.replace("_", " "): _CLASSES[each.name] for each in fields(Heater) if each.init}
)
"""The class of each part by the part's name."""


QUANTITIES: Mapping[str, Mapping[str, AmountField]] = MappingProxyType(
    {name: quantities(part) for name, part in PARTS.items()}
)
"""The quantities of each part, by the names of part and quantity."""


def once(of: Callable[[Heater], Told]) -> Callable[[Heater], Told]:
    """Work out only once what follows from a unit's parts alone; they never change."""

    @wraps(of)
    def told(heater: Heater) -> Told:
        try:
            return heater.told[of]  # type: ignore[no-any-return]
        except KeyError:
            made = heater.told[of] = of(heater)
            return made

    return told


def field_of(part: str, quantity: str) -> AmountField:
    """Find a quantity of a part; raises `WorkshopError` with the names that there are.

    >>> field_of("glow plug", "cold resistance").attribute
    'cold_resistance_ohm'
    """
    if part not in PARTS:
        raise WorkshopError(f"there is no part `{part}`: expected one of {', '.join(PARTS)}")
    known = QUANTITIES[part]
    if quantity not in known:
        raise WorkshopError(f"`{part}` has no `{quantity}`: expected one of {', '.join(known)}")
    return known[quantity]


def read(heater: Heater, part: str, quantity: str) -> Any:
    """Read a quantity of a part by their names; raises `WorkshopError`."""
    field = field_of(part, quantity)
    return getattr(getattr(heater, part.replace(" ", "_")), field.attribute)


def with_quantity(heater: Heater, part: str, quantity: str, value: Any) -> Heater:
    """Give the unit with one quantity changed; raises `WorkshopError` outside its range."""
    field = field_of(part, quantity)
    mistake = field.takes.mistake(f"{part} {quantity}", value)
    if mistake is not None:
        raise WorkshopError(mistake)
    attribute = part.replace(" ", "_")
    changed = replace(getattr(heater, attribute), **{field.attribute: value})
    return replace(heater, **{attribute: changed})
