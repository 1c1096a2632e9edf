"""The parts of a unit and what surrounds it: frozen, each with its quantities and their ranges."""
