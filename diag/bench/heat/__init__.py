"""Heat in the air against heat in the fuel, and runs side by side."""
