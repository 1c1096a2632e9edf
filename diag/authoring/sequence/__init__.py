"""The usual fault sequence: which steps, in which fixed order, and the sheet that shows them."""
