"""What the words that work at every prompt do: take back, look ahead, open a bench sum."""
