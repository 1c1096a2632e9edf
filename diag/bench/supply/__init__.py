"""A supply that was read: where it loses its volts, what is to blame, and what the unit needs."""
