"""A session without a terminal: what happened, what that makes true, and what to ask next."""
