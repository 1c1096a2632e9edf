"""Heat from gas to body to air: effectiveness of each stream, and what the exhaust keeps."""

from __future__ import annotations

from math import exp, sqrt

from diag.model.frozen import frozen
from diag.physics.heat.air import air_heat_capacity_j_per_kg_k
from diag.workshop.parts.combustion import Exchanger

# Heat of wet flue gas above 0 C: a line through its mean heat capacity by temperature, fitted to
# the reference equations of its parts at an air ratio of 1.5.
_GAS_J_PER_KG_K, _GAS_RISE_J_PER_KG_K2 = 1040.0, 0.119
_GAS_MEAN_J_PER_KG_K = 1160.0  # from flame to exhaust
_SOOT = 0.8  # how much a full coat of soot adds to the gas side's resistance: memory


@frozen
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


@frozen
class Streams:
    """Hold both streams that pass the body: kg/s and the temperature (C) that they come with."""

    gas_kg_per_s: float
    gas_in_c: float
    air_kg_per_s: float
    air_in_c: float


def _effectiveness(conductance_w_per_k: float, capacity_w_per_k: float) -> float:
    """Give what share of the greatest possible heat passes to a wall of one temperature.

    Source: effectiveness-NTU method, 1 - exp(-NTU) for a wall of even temperature: Kays & London,
    Compact Heat Exchangers, 3rd ed. 1984, ch. 2 (chapter from memory).
    """
    if capacity_w_per_k <= 0.0:
        return 0.0
    return 1.0 - exp(-conductance_w_per_k / capacity_w_per_k)


def gas_j_per_kg(celsius: float) -> float:
    """Give the heat (J/kg) of flue gas at a temperature (C), above that at 0 C.

    >>> round(gas_j_per_kg(300.0))
    322710
    """
    return _GAS_J_PER_KG_K * celsius + _GAS_RISE_J_PER_KG_K2 * celsius**2


def gas_c(j_per_kg: float) -> float:
    """Give the temperature (C) of flue gas that holds a heat (J/kg) above that at 0 C.

    >>> round(gas_c(322710.0))
    300
    """
    under = _GAS_J_PER_KG_K**2 + 4.0 * _GAS_RISE_J_PER_KG_K2 * j_per_kg
    return (sqrt(under) - _GAS_J_PER_KG_K) / (2.0 * _GAS_RISE_J_PER_KG_K2)


def _gas_side(
    exchanger: Exchanger, streams: Streams, freed_w: float, body_c: float
) -> tuple[float, float]:
    """Give the temperature (C) of the gas behind the exchanger, and the heat that it keeps (W)."""
    flow = streams.gas_kg_per_s
    if flow <= 0.0:
        return body_c, 0.0
    brought = gas_j_per_kg(streams.gas_in_c)
    flame_c = gas_c(brought + freed_w / flow)
    grown = (flow * 3600.0 / exchanger.design_gas_kg_per_h) ** 0.8
    passes = exchanger.gas_conductance_w_per_k * grown / (1.0 + _SOOT * exchanger.soot)
    exhaust_c = flame_c - _effectiveness(passes, flow * _GAS_MEAN_J_PER_KG_K) * (flame_c - body_c)
    return exhaust_c, flow * (gas_j_per_kg(exhaust_c) - brought)


def heat_flows(exchanger: Exchanger, streams: Streams, freed_w: float, body_c: float) -> HeatFlows:
    """Give the heat flows of a body at a temperature (C) with a flame of a power (W).

    Conductance grows with flow to the power 0.8 in the gas and 0.7 in the air (forms from memory).
    """
    exhaust_c, exhaust_w = _gas_side(exchanger, streams, freed_w, body_c)
    heat_capacity = air_heat_capacity_j_per_kg_k(min(200.0, max(-50.0, streams.air_in_c)))
    air = streams.air_kg_per_s * heat_capacity
    outlet_c, air_w = body_c, 0.0
    if air > 0.0:
        grown = (streams.air_kg_per_s * 3600.0 / exchanger.design_air_kg_per_h) ** 0.7
        share = _effectiveness(exchanger.air_conductance_w_per_k * grown, air)
        outlet_c = streams.air_in_c + share * (body_c - streams.air_in_c)
        air_w = air * (outlet_c - streams.air_in_c)
    case_w = exchanger.case_loss_w_per_k * (body_c - streams.air_in_c)
    return HeatFlows(freed_w, air_w, exhaust_w, case_w, exhaust_c, outlet_c)
