"""Heat from gas to body to air: effectiveness of each stream, and what the exhaust keeps."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp

from diag.physics.air import air_heat_capacity_j_per_kg_k
from diag.workshop.parts.combustion import Exchanger

GAS_J_PER_KG_K = 1160.0  # mean of wet flue gas from 20 to 1,500 C: handbooks, memory
_SOOT = 0.8  # how much a full coat of soot adds to the gas side's resistance: memory


@dataclass(frozen=True, slots=True)
class HeatFlows:
    """Hold one moment's heat: freed by the flame, to the warm air, out of the exhaust, lost (W).

    With the temperatures (C) of the gas behind the exchanger and of the warm air.
    """

    freed_w: float
    air_w: float
    exhaust_w: float
    case_w: float
    exhaust_c: float
    outlet_c: float

    @property
    def stored_w(self) -> float:
        """Give what the body keeps (W)."""
        return self.freed_w - self.air_w - self.exhaust_w - self.case_w


@dataclass(frozen=True, slots=True)
class Streams:
    """Hold both streams that pass the body: kg/s and the temperature (C) that they come with."""

    gas_kg_per_s: float
    gas_in_c: float
    air_kg_per_s: float
    air_in_c: float


def _effectiveness(conductance_w_per_k: float, capacity_w_per_k: float) -> float:
    """Give what share of the greatest possible heat passes to a wall of one temperature.

    Source: handbook, 1 - exp(-NTU) for a wall of even temperature.
    """
    if capacity_w_per_k <= 0.0:
        return 0.0
    return 1.0 - exp(-conductance_w_per_k / capacity_w_per_k)


def heat_flows(exchanger: Exchanger, streams: Streams, freed_w: float, body_c: float) -> HeatFlows:
    """Give the heat flows of a body at a temperature (C) with a flame of a power (W).

    Conductance grows with flow to the power 0.8 in the gas and 0.7 in the air (handbook forms).
    """
    gas = streams.gas_kg_per_s * GAS_J_PER_KG_K
    exhaust_c, taken_w = body_c, freed_w
    if gas > 0.0:
        flame_c = streams.gas_in_c + freed_w / gas
        grown = (streams.gas_kg_per_s * 3600.0 / exchanger.design_gas_kg_per_h) ** 0.8
        passes = exchanger.gas_conductance_w_per_k * grown / (1.0 + _SOOT * exchanger.soot)
        exhaust_c = flame_c - _effectiveness(passes, gas) * (flame_c - body_c)
        taken_w = gas * (flame_c - exhaust_c)
    heat_capacity = air_heat_capacity_j_per_kg_k(min(200.0, max(-50.0, streams.air_in_c)))
    air = streams.air_kg_per_s * heat_capacity
    outlet_c, air_w = body_c, 0.0
    if air > 0.0:
        grown = (streams.air_kg_per_s * 3600.0 / exchanger.design_air_kg_per_h) ** 0.7
        share = _effectiveness(exchanger.air_conductance_w_per_k * grown, air)
        outlet_c = streams.air_in_c + share * (body_c - streams.air_in_c)
        air_w = air * (outlet_c - streams.air_in_c)
    case_w = exchanger.case_loss_w_per_k * (body_c - streams.air_in_c)
    return HeatFlows(freed_w, air_w, freed_w - taken_w, case_w, exhaust_c, outlet_c)
