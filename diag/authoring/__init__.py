"""authoring."""
