"""What happened in a session, event by event, and what of it counts."""
