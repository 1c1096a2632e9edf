"""Fault diagnosis at the bench, on forward-chaining rules."""
