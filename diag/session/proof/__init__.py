"""The run after a repair: what it wants, how it came out, and how a session ends."""
