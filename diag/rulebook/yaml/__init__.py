"""YAML text as nodes with their places, each scalar read as the text that stands there."""
