"""The computations on fuel, air, flue gas and CO that rule files may call."""

from diag.model.expression import Formula
from diag.physics.formulas.late import Late

air = Late("heat.air")
atmosphere = Late("heat.atmosphere")
carbon_monoxide = Late("combustion.carbon_monoxide")
flue = Late("combustion.flue")
fuel = Late("combustion.fuel")
heat_balance = Late("heat.balance")

DUCT = (("duct bore", "mm"), ("inlet temperature", "C"), ("outlet temperature", "C"))
PUMP = (("pulse rate", "Hz"), ("dose per pulse", "ml"))
FLUE = (("flue gas temperature", "C"), ("combustion air temperature", "C"))
SIEGERT_SOURCE = "1. BImSchV (2010) annex 2 no. 3.4, light oil"
OXYGEN = ("oxygen in the flue gas", "%")
CARBON_DIOXIDE = ("carbon dioxide in the flue gas", "%")
DIESEL_SOURCE = "IPCC 2006 vol. 2 ch. 1 Table 1.2; EN 590 density"
AIR_SOURCE = "ideal gas of ISO 2533; power law profile, n = 7"


def _heat_at_altitude_kw(
    centre_m_s: float, bore_mm: float, inlet_c: float, outlet_c: float, altitude_m: float
) -> float:
    pressure_pa = atmosphere.pressure_at_altitude_pa(altitude_m)
    return float(air.air_heat_from_centre_kw(centre_m_s, bore_mm, inlet_c, outlet_c, pressure_pa))


FUEL_FORMULAS: tuple[Formula, ...] = (
    Formula(
        name="pulse rate from a count",
        inputs=(("pulses", "1"), ("counting time", "s")),
        unit="Hz",
        compute=fuel.pulse_rate_hz,
        source="arithmetic",
        explains="Pulses counted over the seconds that it took.",
    ),
    Formula(
        name="dose per pulse",
        inputs=(("measured volume", "ml"), ("pulses", "1")),
        unit="ml",
        compute=fuel.dose_ml,
        source="arithmetic",
        explains="The volume caught over the number of pulses.",
    ),
    Formula(
        name="pump flow",
        inputs=PUMP,
        unit="l/h",
        compute=fuel.fuel_l_per_h,
        source="arithmetic",
        explains="Pulses a second times the dose, for an hour.",
    ),
    Formula(
        name="fuel power",
        inputs=(("fuel flow", "l/h"), ("fuel density", "kg/m3"), ("net heat of the fuel", "MJ/kg")),
        unit="kW",
        compute=fuel.fuel_power_kw,
        source="lower heating value",
        explains="The heat in the fuel that flows, by its density and net heat.",
    ),
    Formula(
        name="diesel power from pulses",
        inputs=PUMP,
        unit="kW",
        compute=fuel.pump_power_kw,
        source=DIESEL_SOURCE,
        explains="The heat in the diesel that the pump delivers, at 15 C.",
    ),
    Formula(
        name="kerosene power from pulses",
        inputs=PUMP,
        unit="kW",
        compute=lambda rate, dose: fuel.pump_power_kw(rate, dose, "kerosene"),
        source="IPCC 2006 vol. 2 ch. 1 Table 1.2; DESNZ burning oil density",
        explains="The heat in the kerosene that the pump delivers, at 15 C.",
    ),
    Formula(
        name="hours on a tank",
        inputs=(("tank", "l"), ("fuel flow", "l/h")),
        unit="h",
        compute=fuel.hours_per_tank,
        source="arithmetic",
        explains="How long the tank lasts at this flow.",
    ),
)

AIR_FORMULAS: tuple[Formula, ...] = (
    Formula(
        name="air flow in a duct",
        inputs=(("mean air speed", "m/s"), ("duct bore", "mm")),
        unit="m3/h",
        compute=lambda speed, bore: 3600 * air.duct_flow_m3_per_s(speed, bore),
        source="geometry",
        explains="The mean speed times the area of the duct.",
    ),
    Formula(
        name="heat in the air from the centre speed",
        inputs=(("air speed at the centre", "m/s"), *DUCT),
        unit="kW",
        compute=air.air_heat_from_centre_kw,
        source=AIR_SOURCE,
        explains="Warm air's heat with the centre speed brought down to the mean, at sea level.",
    ),
    Formula(
        name="heat in the air from the centre speed at altitude",
        inputs=(("air speed at the centre", "m/s"), *DUCT, ("altitude", "m")),
        unit="kW",
        compute=_heat_at_altitude_kw,
        source=AIR_SOURCE,
        explains="Warm air's heat with the centre speed brought down to the mean, in thin air.",
    ),
    Formula(
        name="heat in the air from the mean speed",
        inputs=(("mean air speed", "m/s"), *DUCT),
        unit="kW",
        compute=air.air_heat_kw,
        source="ideal gas of ISO 2533",
        explains="Warm air's heat from a traverse's mean speed, at sea level.",
    ),
    Formula(
        name="density of air",
        inputs=(("air temperature", "C"), ("air pressure", "Pa")),
        unit="kg/m3",
        compute=air.air_density_kg_per_m3,
        source="ideal gas of ISO 2533",
        explains="How heavy dry air is at a temperature and pressure.",
    ),
    Formula(
        name="pressure at altitude",
        inputs=(("altitude", "m"),),
        unit="Pa",
        compute=atmosphere.pressure_at_altitude_pa,
        source="ISO 2533:1975, geometric altitude",
        explains="The standard pressure of air at a height above the sea.",
    ),
    Formula(
        name="mixture richness at altitude",
        inputs=(("altitude", "m"),),
        unit="1",
        compute=atmosphere.mixture_richness,
        source="ISO 2533:1975, geometric altitude",
        explains="How much richer a mixture set at sea level burns in thin air.",
    ),
)

BALANCE_FORMULAS: tuple[Formula, ...] = (
    Formula(
        name="efficiency",
        inputs=(("heat out", "kW"), ("fuel power", "kW")),
        unit="%",
        compute=heat_balance.efficiency_percent,
        source="energy balance",
        explains="Heat in the warm air over heat in the fuel; above 100 % cannot be true.",
    ),
    Formula(
        name="pulse rate needed for a heat",
        inputs=(("claimed heat", "kW"), *PUMP),
        unit="Hz",
        compute=lambda heat, rate, dose: heat_balance.judge_claim(heat, rate, dose).rate_needed_hz,
        source=DIESEL_SOURCE,
        explains="The pulse rate of diesel that a heat takes even if nothing were lost.",
    ),
    Formula(
        name="dose needed for a heat",
        inputs=(("claimed heat", "kW"), *PUMP),
        unit="ml",
        compute=lambda heat, rate, dose: heat_balance.judge_claim(heat, rate, dose).dose_needed_ml,
        source=DIESEL_SOURCE,
        explains="The dose of diesel that a heat takes even if nothing were lost.",
    ),
    Formula(
        name="electricity for a kilowatt-hour of heat",
        inputs=(("supply voltage", "V"), ("current", "A"), ("heat out", "kW")),
        unit="Wh",
        compute=heat_balance.electricity_per_kwh,
        source="power over power",
        explains="What the fan and pump take from the battery for each kilowatt-hour of heat.",
    ),
)

FLUE_FORMULAS: tuple[Formula, ...] = (
    Formula(
        name="flue loss from oxygen",
        inputs=(*FLUE, OXYGEN),
        unit="%",
        compute=flue.siegert_loss_from_o2,
        source=SIEGERT_SOURCE,
        explains="The share of the fuel's net heat that leaves with the flue gas.",
    ),
    Formula(
        name="flue loss from carbon dioxide",
        inputs=(*FLUE, CARBON_DIOXIDE),
        unit="%",
        compute=flue.siegert_loss_from_co2,
        source=SIEGERT_SOURCE,
        explains="The share of the fuel's net heat that leaves with the flue gas.",
    ),
    Formula(
        name="excess air from oxygen",
        inputs=(OXYGEN,),
        unit="%",
        compute=lambda oxygen: flue.excess_air_percent(flue.air_ratio_from_o2(oxygen)),
        source="stoichiometry of light oil",
        explains="How much more air was given than the fuel needs.",
    ),
    Formula(
        name="excess air from carbon dioxide",
        inputs=(CARBON_DIOXIDE,),
        unit="%",
        compute=lambda dioxide: flue.excess_air_percent(flue.air_ratio_from_co2(dioxide)),
        source="stoichiometry of light oil",
        explains="How much more air was given than the fuel needs.",
    ),
    Formula(
        name="air ratio from oxygen",
        inputs=(OXYGEN,),
        unit="1",
        compute=flue.air_ratio_from_o2,
        source="stoichiometry of light oil",
        explains="Air given over air needed; 1 is just enough.",
    ),
    Formula(
        name="carbon dioxide that belongs to oxygen",
        inputs=(OXYGEN,),
        unit="%",
        compute=flue.co2_from_o2,
        source="21 % oxygen and CO2max of 1. BImSchV (2010), light oil",
        explains="What a sound meter must read beside this oxygen if the fuel burns out.",
    ),
    Formula(
        name="carbon monoxide in mg/m3",
        inputs=(("carbon monoxide", "ppm"), ("air temperature", "C")),
        unit="mg/m3",
        compute=carbon_monoxide.mg_per_m3_from_ppm,
        source="ideal gas, 28.010 g/mol",
        explains="The mass of CO in the air at this temperature.",
    ),
    Formula(
        name="carbon monoxide in ppm",
        inputs=(("carbon monoxide", "mg/m3"), ("air temperature", "C")),
        unit="ppm",
        compute=carbon_monoxide.ppm_from_mg_per_m3,
        source="ideal gas, 28.010 g/mol",
        explains="The share of CO in the air at this temperature.",
    ),
)

HEAT_FORMULAS: tuple[Formula, ...] = FUEL_FORMULAS + AIR_FORMULAS + BALANCE_FORMULAS + FLUE_FORMULAS
