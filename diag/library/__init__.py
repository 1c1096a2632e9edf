"""For other programs: load rules, hold a session, and keep it as JSON, without a terminal."""
