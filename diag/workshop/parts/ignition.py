"""What lights the fuel: glow plug, its wire and connector, and the screen around it."""

from typing import Annotated

from diag.model.frozen import frozen
from diag.workshop.amount import Amount, Ohm, Share


@frozen
class GlowPlug:
    """A heating rod whose resistance rises as it glows."""

    cold_resistance_ohm: Ohm
    """At 20 C."""
    temperature_coefficient_per_k: Annotated[float, Amount("1/K", -0.001, 0.01)]
    heat_capacity_j_per_k: Annotated[float, Amount("J/K", 0.1, 50.0)]
    conductance_w_per_k: Annotated[float, Amount("W/K", 0.001, 1.0)]
    radiating_area_cm2: Annotated[float, Amount("cm2", 0.1, 30.0)]
    deposit: Share
    """Carbon on its tip, which keeps the glow from the fuel."""
    burns_out_at_c: Annotated[float, Amount("C", 1000.0, 2000.0)]


@frozen
class PlugWire:
    """The wire from the control unit to the glow plug and back."""

    resistance_ohm: Ohm


@frozen
class PlugConnector:
    """The connector of the glow plug's wire."""

    resistance_ohm: Ohm


@frozen
class PlugScreen:
    """The fine wire around the plug that the fuel soaks into."""

    clogging: Share
    gap_mm: Annotated[float, Amount("mm", 0.0, 10.0)]
    """How far it stands off from its seat."""
