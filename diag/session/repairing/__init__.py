"""Which repairs may be put forward, and what is read before a dear one is."""
