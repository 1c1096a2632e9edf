"""One record for several benches, on a PostgreSQL server; without it, each bench goes on alone."""
