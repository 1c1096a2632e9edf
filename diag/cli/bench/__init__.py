"""The bench commands: battery, cable, heat and exhaust."""
