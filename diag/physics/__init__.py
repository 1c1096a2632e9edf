"""Pure functions of floats: battery, cable, fuel, air, flue gas, altitude and their errors."""
