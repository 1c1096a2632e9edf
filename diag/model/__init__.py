"""What all layers speak of, as frozen data: quantities, conditions, rulebook, case, problem."""
