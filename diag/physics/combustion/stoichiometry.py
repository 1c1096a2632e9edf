"""The air that an oil needs to burn, and the dry flue gas that it leaves."""

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, between

CARBON_KG_PER_KMOL = 12.011  # IUPAC atomic weights
HYDROGEN_KG_PER_KMOL = 1.008
AIR_KG_PER_KMOL = 28.965
MOLAR_VOLUME_M3 = 22.414  # at 0 C and 101325 Pa
OXYGEN_IN_AIR = 0.2095


@frozen
class Combustion:
    """Hold the complete burning of 1 kg of oil with no air to spare.

    Air in kg/kg, then air, dry and wet flue gas in m3/kg at 0 C and 101325 Pa, and the
    carbon dioxide of the dry gas in percent.
    """

    air_kg_per_kg: float
    air_m3_per_kg: float
    dry_gas_m3_per_kg: float
    wet_gas_m3_per_kg: float
    co2_max_percent: float


def combustion_of(hydrogen_per_carbon: float) -> Combustion:
    """Give the air and flue gas of an oil CHx by its atomic ratio x of hydrogen to carbon.

    Source: CHx + (1 + x/4) O2 -> CO2 + x/2 H2O with 20.95 % oxygen in air. Raises
    `PhysicsError` outside 0 to 4.

    >>> light_oil = combustion_of(1.85)
    >>> round(light_oil.air_kg_per_kg, 2), round(light_oil.co2_max_percent, 2)
    (14.57, 15.34)
    """
    ratio = between("hydrogen to carbon", hydrogen_per_carbon, "1", least=0.0, most=4.0)
    oil = CARBON_KG_PER_KMOL + HYDROGEN_KG_PER_KMOL * ratio
    air = (1 + ratio / 4) / OXYGEN_IN_AIR
    dry = 1 + air * (1 - OXYGEN_IN_AIR)
    return Combustion(
        air_kg_per_kg=air * AIR_KG_PER_KMOL / oil,
        air_m3_per_kg=air * MOLAR_VOLUME_M3 / oil,
        dry_gas_m3_per_kg=dry * MOLAR_VOLUME_M3 / oil,
        wet_gas_m3_per_kg=(dry + ratio / 2) * MOLAR_VOLUME_M3 / oil,
        co2_max_percent=100 / dry,
    )


def hydrogen_per_carbon(carbon_percent: float, hydrogen_percent: float) -> float:
    """Give the atomic ratio of hydrogen to carbon from percent by mass of each.

    Source: atomic weights. Raises `PhysicsError` for percents outside 0 to 100, or together
    above 100.

    >>> round(hydrogen_per_carbon(86.0, 14.0), 3)
    1.94
    """
    between("carbon", carbon_percent, "%", least=1.0, most=100.0)
    between("hydrogen", hydrogen_percent, "%", least=0.0, most=100.0)
    together = carbon_percent + hydrogen_percent
    if together > 100.0:
        raise PhysicsError(f"`carbon and hydrogen` are {together:g} %: expected at most 100 %")
    return (hydrogen_percent / HYDROGEN_KG_PER_KMOL) / (carbon_percent / CARBON_KG_PER_KMOL)


def air_by_mass_rule(
    carbon: float, hydrogen: float, oxygen: float = 0.0, sulphur: float = 0.0
) -> float:
    """Give the air (kg/kg) for a fuel by its mass percents of C, H, O and S.

    Source: memory of the rule (11.53 C + 34.34 (H - O/8) + 4.32 S) / 100. Raises `PhysicsError`
    for percents outside 0 to 100.

    >>> round(air_by_mass_rule(86.0, 14.0), 2)
    14.72
    """
    parts = {"carbon": carbon, "hydrogen": hydrogen, "oxygen": oxygen, "sulphur": sulphur}
    for name, percent in parts.items():
        between(name, percent, "%", least=0.0, most=100.0)
    return (11.53 * carbon + 34.34 * (hydrogen - oxygen / 8) + 4.32 * sulphur) / 100
