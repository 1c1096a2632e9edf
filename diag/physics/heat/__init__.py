"""Heat carried by air, air at height, and heat out weighed against heat in."""
