"""Where the warm air goes: wheel, inlet, duct, outlets, cabin, weather."""

from typing import Annotated

from diag.model.frozen import frozen
from diag.workshop.amount import Amount, Celsius, Metres, Millimetres, Share, Times


@frozen
class WarmAirWheel:
    """The wheel that blows the warm air; `output` falls with dust."""

    free_flow_m3_per_h: Annotated[float, Amount("m3/h", 1.0, 2000.0)]
    """At full speed through a usual fitting, cold."""
    output: Times
    outlet_mm: Millimetres
    """Bore of the heater's own outlet, whatever duct hangs on it."""


@frozen
class Inlet:
    """Where warm air is drawn in, and how much of it has just left an outlet."""

    blockage: Share
    recirculation: Share


@frozen
class Duct:
    """The warm-air duct."""

    bore_mm: Millimetres
    length_m: Metres
    blockage: Share
    crushed: Share
    leak: Share


@frozen
class Outlets:
    """The outlets in the cabin, by the share that is open."""

    open: Annotated[float, Amount("1", 0.0, 1.0)]


@frozen
class Cabin:
    """The room that is heated."""

    volume_m3: Annotated[float, Amount("m3", 1.0, 500.0)]
    ventilation_m3_per_h: Annotated[float, Amount("m3/h", 0.0, 2000.0)]
    loss_w_per_k: Annotated[float, Amount("W/K", 1.0, 1000.0)]
    heat_capacity_kj_per_k: Annotated[float, Amount("kJ/K", 1.0, 10000.0)]
    temperature_c: Celsius
    carbon_monoxide_ppm: Annotated[float, Amount("ppm", 0.0, 100000.0)]


@frozen
class Weather:
    """The air outside."""

    temperature_c: Celsius
    altitude_m: Annotated[float, Amount("m", -400.0, 5000.0)]
