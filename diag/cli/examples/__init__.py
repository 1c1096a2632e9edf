"""Examples of each command for its help: together they show every option. All heaters are invented.

A test runs every line.
"""

Examples = tuple[tuple[str, str], ...]
"""What an example does, and the line to type."""
