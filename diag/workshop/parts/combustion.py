"""Where it burns: motor and wheel, intake, burner, gasket, exchanger, exhaust."""

from typing import Annotated

from diag.model.frozen import frozen
from diag.workshop.amount import OPEN_OHM, Amount, Metres, Share, Times


@frozen
class Motor:
    """The brushed motor that turns both wheels."""

    resistance_ohm: Annotated[float, Amount("ohm", 0.05, OPEN_OHM)]
    volt_seconds: Annotated[float, Amount("1", 0.001, 1.0)]
    """Volts per rad/s, which is also newton metres per ampere."""
    inertia_kg_m2: Annotated[float, Amount("kg m2", 1e-7, 1e-2)]
    bearing_drag_nm: Annotated[float, Amount("Nm", 0.0, 1.0)]
    wheel_drag: Times
    """Drag of both wheels in the air, against a new unit."""
    seized: Share


@frozen
class CombustionWheel:
    """The wheel that blows the combustion air; `output` falls when broken or fouled."""

    free_flow_m3_per_h: Annotated[float, Amount("m3/h", 0.1, 100.0)]
    """At full speed through a new unit."""
    output: Times


@frozen
class Intake:
    """The hose of the combustion air."""

    blockage: Share


@frozen
class Exhaust:
    """The exhaust pipe with its silencer."""

    length_m: Metres
    blockage: Share
    leak: Share
    """Share of the gas that leaves on the way."""
    into_cabin: Share
    """Share of what leaks that finds its way to the cabin."""


@frozen
class Burner:
    """The burning chamber: carbon in it, and fuel that lies pooled."""

    carbon: Share
    pooled_ml: Annotated[float, Amount("ml", 0.0, 200.0)]
    burnt_through: Share


@frozen
class Gasket:
    """The gasket between burner and warm air."""

    leak: Share


@frozen
class Exchanger:
    """The finned body that takes heat from gas to air."""

    soot: Share
    crack: Share
    gas_conductance_w_per_k: Annotated[float, Amount("W/K", 0.1, 100.0)]
    """Of its gas side, at its design flow of gas."""
    air_conductance_w_per_k: Annotated[float, Amount("W/K", 0.1, 500.0)]
    """Of its air side, at its design flow of warm air."""
    design_gas_kg_per_h: Annotated[float, Amount("kg/h", 0.1, 200.0)]
    design_air_kg_per_h: Annotated[float, Amount("kg/h", 1.0, 2000.0)]
    case_loss_w_per_k: Annotated[float, Amount("W/K", 0.0, 20.0)]
    heat_capacity_j_per_k: Annotated[float, Amount("J/K", 50.0, 20000.0)]
