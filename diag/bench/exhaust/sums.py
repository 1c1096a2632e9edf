"""What the exhaust gas says in figures: air, loss, smoke, carbon monoxide, thin air."""

from __future__ import annotations

from collections.abc import Mapping

from diag.bench.exhaust.inputs import O2
from diag.bench.figures import DerivedFigure, Measurement, derive
from diag.physics.combustion.carbon_monoxide import mg_per_m3_from_ppm
from diag.physics.combustion.flue import (
    air_ratio_from_co2,
    air_ratio_from_o2,
    check_flue_pair,
    co2_from_o2,
    excess_air_percent,
    siegert_loss_from_co2,
    siegert_loss_from_o2,
    spot_transmission_percent,
    undiluted_ppm,
)
from diag.physics.combustion.fuel import Fuel
from diag.physics.combustion.stoichiometry import combustion_of
from diag.physics.errors import between
from diag.physics.heat.atmosphere import mixture_richness, temperature_at_altitude_k

UNDILUTED, DILUTION = "CO undiluted", "dilution with air"
ZERO_C_K = 273.15
BALANCE_SOURCE = "oxygen and carbon balance of the dry gas, air of 20.95 % oxygen"
SIEGERT_SOURCE = "Siegert, 1. BImSchV (2010) annex 2 no. 3.4, light oil"
SPOT_SOURCE = "ASTM D2156 and DIN 51402"
THIN_SOURCE = "ISO 2533:1975"
CO_SOURCE = "1. BImSchV (2010) sec. 7 no. 4"
WORK_LIMIT_PPM = 20.0  # Directive 2004/37/EC Annex III, by (EU) 2022/431, 8 h


def air_needs(oil: Fuel) -> list[DerivedFigure]:
    """Return the air that the fuel needs and the most CO2 that it can make."""
    burnt = combustion_of(oil.hydrogen_per_carbon)
    how = f"{burnt.air_m3_per_kg:.1f} m3 for 1 kg of {oil.name}"
    source = "CHx + (1 + x/4) O2, x from memory"
    return [
        DerivedFigure("air needed", burnt.air_kg_per_kg, 0.0, "kg", formula=how, source=source),
        DerivedFigure(
            "CO2 at most",
            burnt.co2_max_percent,
            0.0,
            "%",
            formula="dry gas, no spare air",
            source=source,
        ),
    ]


def air_figures(got: Mapping[str, Measurement], oil: Fuel) -> list[DerivedFigure]:
    """Return air ratio and excess air, by oxygen if it is there; refuse an impossible pair."""
    x = oil.hydrogen_per_carbon
    by_o2 = "o2" in got
    gas = got["o2"] if by_o2 else got["co2"]

    def ratio(percent: float) -> float:
        return air_ratio_from_o2(percent, x) if by_o2 else air_ratio_from_co2(percent, x)

    said = f"from {gas.value:g} % {'oxygen' if by_o2 else 'carbon dioxide'}"
    figures = [
        derive("air ratio", "1", ratio, (gas,), formula=said, source=BALANCE_SOURCE),
        derive(
            "excess air", "%", lambda percent: excess_air_percent(ratio(percent)), (gas,),
            formula=said, source=BALANCE_SOURCE,
        ),
    ]  # fmt: skip
    if by_o2 and "co2" in got:
        check_flue_pair(gas.value, got["co2"].value)
        pair = (got["co2"], gas)
        how = f"{co2_from_o2(gas.value):.1f} % belongs to the oxygen"
        figures.append(
            derive("CO2 off its pair", "%", lambda c, o: c - co2_from_o2(o), pair, formula=how,
                   source=SIEGERT_SOURCE)
        )  # fmt: skip
    return figures


def flue_loss(got: Mapping[str, Measurement]) -> DerivedFigure:
    """Return what leaves with the exhaust, in % of the net heat."""
    gas, air = got["gas-temperature"], got["air-temperature"]
    how = f"{gas.value:g} C out, {air.value:g} C in, of the net heat"
    if "o2" in got:
        readings = (gas, air, got["o2"])
        return derive(
            "flue loss", "%", siegert_loss_from_o2, readings, formula=how, source=SIEGERT_SOURCE
        )
    readings = (gas, air, got["co2"])
    return derive(
        "flue loss", "%", siegert_loss_from_co2, readings, formula=how, source=SIEGERT_SOURCE
    )


def smoke_spot(smoke: Measurement) -> DerivedFigure:
    """Return the mean smoke spot number."""
    light = spot_transmission_percent(smoke.value)
    how = f"mean of the spots; the gas lets {light:.0f} % of light through"
    return derive("smoke spot", "1", lambda spot: spot, (smoke,), formula=how, source=SPOT_SOURCE)


def thin_air(
    high: Measurement, base: Measurement, ratio: DerivedFigure | None
) -> list[DerivedFigure]:
    """Return how much richer it burns up there, and the air ratio there when one is known."""
    there_c, here_c = (temperature_at_altitude_k(m.value) - ZERO_C_K for m in (high, base))
    how = (
        f"{high.value:g} m against {base.value:g} m where it was set, in standard air of "
        f"{there_c:.0f} and {here_c:.0f} C"
    )
    rich = derive(
        "fuel to air, times", "1", mixture_richness, (high, base), formula=how, source=THIN_SOURCE
    )
    if ratio is None:
        return [rich]
    there = derive(
        "air ratio there", "1", lambda r, h, b: r / mixture_richness(h, b),
        (ratio.measurement(O2.again), high, base), formula="air ratio over that",
        source=THIN_SOURCE,
    )  # fmt: skip
    return [rich, there]


def exhaust_co_figures(
    co: Measurement, got: Mapping[str, Measurement], oil: Fuel
) -> list[DerivedFigure]:
    """Return the exhaust's carbon monoxide by mass, undiluted, and how far it must thin."""
    between(co.name, co.value, "ppm", least=0.0, most=1e5)
    said = f"{co.value:g} ppm at 25 C"
    figures = [
        derive(
            "CO in the exhaust",
            "mg/m3",
            mg_per_m3_from_ppm,
            (co,),
            formula=said,
            source="28.010 g/mol",
        )
    ]
    if "o2" in got:
        how = f"{got['o2'].value:g} % oxygen and its air taken out"
        figures.append(
            derive(UNDILUTED, "ppm", undiluted_ppm, (co, got["o2"]), formula=how, source=DILUTION)
        )
    elif "co2" in got:
        most = combustion_of(oil.hydrogen_per_carbon).co2_max_percent
        how = f"times {most:.1f} % CO2 at most over {got['co2'].value:g} %"
        figures.append(
            derive(UNDILUTED, "ppm", lambda ppm, co2: ppm * most / co2, (co, got["co2"]),
                   formula=how, source=DILUTION)
        )  # fmt: skip
    if co.value > WORK_LIMIT_PPM:
        how = f"clean air to each part, down to {WORK_LIMIT_PPM:g} ppm"
        figures.append(
            derive("to be thinned, times", "1", lambda ppm: ppm / WORK_LIMIT_PPM, (co,),
                   formula=how, source="workplace limit for 8 h, Directive 2004/37/EC Annex III")
        )  # fmt: skip
    return figures
