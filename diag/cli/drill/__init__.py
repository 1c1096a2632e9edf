"""`diag drill`: practice units with hidden faults, lessons, and how firm somebody is in each."""
