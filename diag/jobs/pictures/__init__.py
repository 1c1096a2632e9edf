"""Pictures of what was read in a job: their numbers as data, and drawn as SVG where that can be.

Only what was read is in a picture; text and SVG are drawn from the same data.
"""
