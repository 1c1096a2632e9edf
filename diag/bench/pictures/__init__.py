"""What small pictures of readings show, as data: whoever draws them adds no number.

Each is a function of numbers by name, in SI: readings, figures, and data of a unit as `unit NAME`.
"""
