"""Fuel, the air that it needs, the gas that it leaves, and carbon monoxide."""
