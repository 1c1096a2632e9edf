"""`diag ask`: a session at the terminal, from a complaint to a proved repair."""
