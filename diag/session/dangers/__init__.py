"""Dangers over a session: raised, held and released by readings, and what may be done meanwhile."""
