"""Bench sums: what typed readings say of battery, cable, heat and exhaust, without a terminal.

Each room has its table of inputs, its sums, its verdicts and a report. Nothing here prints or
reads a file; limits of the trade are handed in as thresholds.
"""
