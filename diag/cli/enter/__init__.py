"""A bench sheet typed in: box by box, kept as it is typed."""
