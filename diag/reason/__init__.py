"""From readings to conclusions: chaining to signs, belief in causes, and the next act; pure."""
