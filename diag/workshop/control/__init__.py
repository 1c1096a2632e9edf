"""The control unit: its states as data, what it senses, and what it commands."""
