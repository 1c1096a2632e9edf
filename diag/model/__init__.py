"""What all layers speak of: quantities, conditions, rulebook, case, problem; sentence words."""
