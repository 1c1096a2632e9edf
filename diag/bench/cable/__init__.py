"""The supply cable: what it loses, the size that it needs, and where measured volts are lost."""
