"""A load test of the battery: what the heater sees while it ignites, and how far it carries."""
