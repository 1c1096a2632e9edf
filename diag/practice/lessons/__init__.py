"""Lessons: texts of rule files whose numbers, looks and pictures come from the world when shown.

`written` reads them and says what is wrong with one, `bench` is the unit that a lesson shows beside
a sound one, and `pages` makes of a lesson what is read page by page.
"""
