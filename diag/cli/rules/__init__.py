"""`diag rules` and `diag sequence`: check, try, read and add to the rules."""
