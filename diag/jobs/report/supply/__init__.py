"""The supply in a report: what it loses and where, and what cable, fuse and battery it needs."""
