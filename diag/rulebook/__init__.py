"""rulebook."""
