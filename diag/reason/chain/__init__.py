"""Forward chaining over readings to signs, with every support kept, and what would settle one."""
