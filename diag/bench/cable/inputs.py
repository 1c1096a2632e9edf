"""What `diag cable` takes: the run, its load, and volts at points along it."""

from __future__ import annotations

from types import MappingProxyType

from diag.bench.amounts import read_amount
from diag.bench.inputs import Input, InputGroup
from diag.physics.supply.conductor import awg_area_mm2, parse_awg

# One multimeter on one range for all points: its scale error cancels in a difference.
VOLTS_ERROR = "0.02 V"
FINER = "settled, with a finer meter or range, or across the part itself"
CLAMP = "with the clamp zeroed, or with a better one"


def area_mm2(name: str, text: str, unit: str = "mm2") -> float:
    """Read an area in mm2, or a gauge that is marked AWG; raises `ValueError`.

    >>> round(area_mm2("conductor area", "14 AWG"), 3)
    2.081
    """
    if "awg" in text.lower():
        return awg_area_mm2(parse_awg(text.lower().replace("awg", "").strip()))
    return read_amount(name, text, unit)


LENGTH = Input(
    "length", "cable length one way", "m", "Cable length, one way?", "0.1 m",
    "along the cable with a tape, not through the air", most=200.0,
    help="Length of the supply cable, one way.",
)  # fmt: skip
AREA = Input(
    "area", "conductor area", "mm2", "Area of one conductor, mm2 or AWG?", read=area_mm2,
    help="Area of one conductor: 2.5 mm2 or 14 AWG.",
)  # fmt: skip
IGNITION_AMPS = Input(
    "ignition-amps", "ignition current", "A", "Current while igniting?", "2 % + 0.1 A", CLAMP,
    most=2000.0, help="Current while the heater ignites; 10 A at 12 V if left out.",
)  # fmt: skip
SUPPLY = Input("supply", "supply voltage", "V", most=60.0, help="Supply voltage; 12 V if left out.")
COPPER_TEMPERATURE = Input(
    "copper-temperature", "conductor temperature", "C", error="5 C",
    help="Temperature of the copper; 20 C if left out.",
)  # fmt: skip
STRAND = Input("strand", "strand", help="class 5 (fine strands), class 2, solid ...", shape="CLASS")
JOINTS = Input(
    "joints", "joint resistance", "ohm", error="20 %",
    again="from the volts across the joints under load", help="Resistance of the joints: 5 mohm.",
)  # fmt: skip
FUSE_HOLDER = Input(
    "fuse-holder", "fuse holder resistance", "ohm", error="20 %",
    again="from the volts across it under load", help="Resistance of fuse and holder: 3 mohm.",
)  # fmt: skip
DROP_LIMIT = Input(
    "limit", "drop limit", help="Most that may be lost, % or V; 3 % if left out.", shape="DROP"
)
REST = Input(
    "rest", "volts at rest", "V", "Volts at the terminals, all switched off?", VOLTS_ERROR, FINER,
    help="Volts at the battery's terminals, all switched off.",
)  # fmt: skip
TERMINALS = Input(
    "terminals", "volts at the terminals under load", "V", "Load on: volts at the terminals?",
    VOLTS_ERROR, FINER, help="Under load: volts at the battery's terminals.",
)  # fmt: skip
FUSED = Input(
    "fused", "volts behind the fuse holder", "V", "Volts behind the fuse holder?", VOLTS_ERROR,
    FINER, help="Under load: battery negative to behind the fuse holder.",
)  # fmt: skip
POSITIVE_PIN = Input(
    "positive-pin", "volts at the positive pin", "V",
    "Battery negative to the heater's positive pin?", VOLTS_ERROR, FINER,
    help="Under load: battery negative to the heater's positive pin.",
)  # fmt: skip
NEGATIVE_PIN = Input(
    "negative-pin", "volts at the negative pin", "V",
    "Battery negative to the heater's negative pin?", "0.005 V", FINER,
    help="Under load: battery negative to the heater's negative pin.",
)  # fmt: skip

POINTS = (REST, TERMINALS, FUSED, POSITIVE_PIN, NEGATIVE_PIN)
INPUTS = (
    LENGTH, AREA, IGNITION_AMPS, SUPPLY, COPPER_TEMPERATURE, STRAND, JOINTS, FUSE_HOLDER,
    DROP_LIMIT, *POINTS,
)  # fmt: skip

SIZE = InputGroup("the smallest standard size for the run", (LENGTH,))
DROP = InputGroup("the drop and loss of the cable that is there", (LENGTH, AREA))
SPLIT = InputGroup("where the volts are lost", (TERMINALS, POSITIVE_PIN, NEGATIVE_PIN))
GROUPS = (SIZE, DROP, SPLIT)

SYSTEM_24_V = 18.0  # a supply above this is taken for a 24 V one
USUAL = MappingProxyType(
    {"supply": "12 V", "copper-temperature": "20 C", "joints": "0 ohm", "fuse-holder": "0 ohm"}
)
USUAL_LIMIT = "3 %"  # ISO 10133 cl. 4.8 and ABYC E-11, for what must work
