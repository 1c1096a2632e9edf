"""How the fuel burns, by its exhaust gas, and carbon monoxide against its limits."""
