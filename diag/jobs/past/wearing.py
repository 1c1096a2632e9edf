"""The findings whose readings are followed over the years, as they wear: here and nowhere else.

Common practice, no source. A rulebook that has other findings has no trends.
"""

WEARING = (
    "glow plug resistance cold",
    "fuel from 100 pulses",
    "standby amps",
    "volts at the heater while igniting",
)
