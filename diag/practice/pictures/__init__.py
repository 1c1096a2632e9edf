"""Pictures in characters of what the world did: pure functions of a trace to rows of text.

Nothing here is drawn by hand or rounded apart: rows and sentences come from the same numbers, each
row is at most as wide as it is asked to be, and every drawing has a sentence that says the same.
"""
