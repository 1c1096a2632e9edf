"""Electricity from battery to appliance: battery, cable, charge, and the plug that ignites."""
