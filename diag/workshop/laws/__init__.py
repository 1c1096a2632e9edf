"""The physics of each part: pure functions from a part and its surroundings to what it does."""
