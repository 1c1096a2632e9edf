"""Air in a round duct: density, heat capacity, flow, and the heat that it carries."""

from math import pi

from diag.physics.errors import PhysicsError, above, between, celsius
from diag.physics.heat.atmosphere import AIR_J_PER_KG_K, SEA_LEVEL_PA

ZERO_C_K = 273.15
MAX_BORE_MM = 1000.0
MAX_SPEED_M_S = 60.0
USUAL_PROFILE = 7.0  # power law exponent at the Reynolds numbers of a warm-air outlet


def air_density_kg_per_m3(temperature_c: float, pressure_pa: float = SEA_LEVEL_PA) -> float:
    """Give the density (kg/m3) of dry air at a temperature (C) and pressure (Pa).

    Source: ideal gas with the constant of ISO 2533. Raises `PhysicsError` outside -80 to
    400 C or 20 to 115 kPa.

    >>> round(air_density_kg_per_m3(20.0), 4)
    1.2041
    """
    celsius("air temperature", temperature_c, least=-80.0, most=400.0)
    between("air pressure", pressure_pa, "Pa", least=20000.0, most=115000.0)
    return pressure_pa / (AIR_J_PER_KG_K * (temperature_c + ZERO_C_K))


def air_heat_capacity_j_per_kg_k(temperature_c: float) -> float:
    """Give the heat capacity (J/kg K) of dry air at about atmospheric pressure, by C.

    Source: parabola fitted to the reference equation of state of dry air (Lemmon et al. 2000)
    from -20 to 120 C. Raises `PhysicsError` outside -50 to 250 C.

    >>> round(air_heat_capacity_j_per_kg_k(60.0), 1)
    1008.0
    """
    celsius("air temperature", temperature_c, least=-50.0, most=250.0)
    return 1005.7 + 0.0133 * temperature_c + 4.17e-4 * temperature_c**2


def mean_to_centre_ratio(profile: float = USUAL_PROFILE) -> float:
    """Give mean over centre speed in a round duct by the power law's exponent n (1).

    Source: Prandtl and Nikuradse, 2 n^2 / ((n + 1) (2 n + 1)); n = 7 in a long straight
    duct. Raises `PhysicsError` outside 4 to 12.

    >>> round(mean_to_centre_ratio(7.0), 5)
    0.81667
    """
    n = between("profile exponent", profile, "1", least=4.0, most=12.0)
    return 2 * n**2 / ((n + 1) * (2 * n + 1))


def duct_flow_m3_per_s(mean_speed_m_s: float, bore_mm: float) -> float:
    """Give the flow (m3/s) in a round duct by its MEAN speed (m/s) and bore (mm).

    Source: geometry. Raises `PhysicsError` for a speed or bore of 0 or less.

    >>> round(duct_flow_m3_per_s(8.1667, 75.0), 5)
    0.03608
    """
    above("mean air speed", mean_speed_m_s, "m/s", most=MAX_SPEED_M_S)
    above("duct bore", bore_mm, "mm", most=MAX_BORE_MM)
    return mean_speed_m_s * pi / 4 * (bore_mm / 1000) ** 2


def air_heat_kw(
    mean_speed_m_s: float,
    bore_mm: float,
    inlet_c: float,
    outlet_c: float,
    pressure_pa: float = SEA_LEVEL_PA,
) -> float:
    """Give the heat (kW) in outlet air by MEAN speed (m/s), bore (mm), inlet and outlet (C).

    Speed and density are those at the outlet. Source: m cp dT with ideal-gas density and cp at
    the mean temperature; humidity (below 1 %) is left out. Raises `PhysicsError` for an outlet
    no warmer than the inlet.

    >>> round(air_heat_kw(12.5 * 49 / 60, 60.0, 18.0, 105.0), 2)
    2.36
    """
    celsius("inlet temperature", inlet_c, least=-50.0, most=80.0)
    celsius("outlet temperature", outlet_c, least=-50.0, most=250.0)
    if outlet_c <= inlet_c:
        raise PhysicsError(
            f"`outlet temperature` is {outlet_c:g} C: expected above the inlet temperature, "
            f"{inlet_c:g} C"
        )
    flow_kg_per_s = duct_flow_m3_per_s(mean_speed_m_s, bore_mm) * air_density_kg_per_m3(
        outlet_c, pressure_pa
    )
    capacity = air_heat_capacity_j_per_kg_k((inlet_c + outlet_c) / 2)
    return flow_kg_per_s * capacity * (outlet_c - inlet_c) / 1000


def air_heat_from_centre_kw(
    centre_speed_m_s: float,
    bore_mm: float,
    inlet_c: float,
    outlet_c: float,
    pressure_pa: float = SEA_LEVEL_PA,
) -> float:
    """Give the heat (kW) in outlet air by the speed at the CENTRE (m/s), bore (mm) and C.

    Source: as for `air_heat_kw`, with the power law's ratio for n = 7. Raises `PhysicsError`
    as it does.

    >>> round(air_heat_from_centre_kw(12.5, 60.0, 18.0, 105.0), 2)
    2.36
    """
    above("air speed at the centre", centre_speed_m_s, "m/s", most=MAX_SPEED_M_S)
    mean_m_s = centre_speed_m_s * mean_to_centre_ratio()
    return air_heat_kw(mean_m_s, bore_mm, inlet_c, outlet_c, pressure_pa)
