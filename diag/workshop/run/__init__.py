"""A unit in time: its moving state, one step of it, a trace, and a world to act upon."""
