"""Practice for those who learn: units drawn by seed with their faults, and sessions played on them.

What it draws with is read from files by `world.py`; chance comes in by seed alone.
"""
