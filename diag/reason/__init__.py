"""reason."""
