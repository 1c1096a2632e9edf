"""The findings whose readings are followed over the years, as they wear: here and nowhere else.

Beside each stands what a usual meter is off by, for units whose file does not say it. Common
practice, no source. A rulebook that has other findings has no trends.
"""

from __future__ import annotations

from collections.abc import Mapping

WEARING: Mapping[str, str] = {
    "glow plug resistance cold": "1 % + 0.1 ohm",  # with the leads' own resistance taken off
    "fuel from 100 pulses": "2 % + 0.1 ml",
    "standby amps": "2 % + 0.001 A",
    "volts at the heater while igniting": "0.5 % + 0.02 V",
}
