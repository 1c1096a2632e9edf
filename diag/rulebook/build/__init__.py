"""Entries of rule files to the frozen rulebook: gathered, looked up, linked and checked."""
