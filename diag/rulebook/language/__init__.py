"""The language of conditions: tokens, grammar, clauses and the dimensions of sums."""
