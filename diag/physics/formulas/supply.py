"""The computations on battery and cable that rule files may call."""

from diag.model.expression import Formula
from diag.physics.formulas.late import Late

battery = Late("supply.battery")
cable = Late("supply.cable")
endurance = Late("supply.endurance")
supply_split = Late("supply.split")

TWO_LOADS = (
    ("smaller current", "A"),
    ("volts at the smaller current", "V"),
    ("larger current", "A"),
    ("volts at the larger current", "V"),
)
TWO_STEPS = "Ohm's law, two loads or rest and one load"
OHM = "Ohm's law"


def _emf_v(first_a: float, first_v: float, second_a: float, second_v: float) -> float:
    first, second = battery.LoadPoint(first_a, first_v), battery.LoadPoint(second_a, second_v)
    return float(battery.source_from_loads((first, second)).emf_v)


SUPPLY_FORMULAS: tuple[Formula, ...] = (
    Formula(
        name="resistance from two loads",
        inputs=TWO_LOADS,
        unit="ohm",
        compute=battery.internal_resistance_ohm,
        source=TWO_STEPS,
        explains="The battery's resistance is the fall in volts over the rise in current.",
    ),
    Formula(
        name="resting volts from two loads",
        inputs=TWO_LOADS,
        unit="V",
        compute=_emf_v,
        source=TWO_STEPS,
        explains="The line through two loads meets no current at the battery's own volts.",
    ),
    Formula(
        name="short-circuit current from two loads",
        inputs=TWO_LOADS,
        unit="A",
        compute=battery.short_circuit_current_a,
        source=TWO_STEPS,
        explains="The line through two loads meets 0 V at the short-circuit current.",
    ),
    Formula(
        name="volts at the terminals",
        inputs=(("volts at rest", "V"), ("battery resistance", "ohm"), ("current", "A")),
        unit="V",
        compute=battery.terminal_volts_v,
        source=OHM,
        explains="The terminals keep the rested volts less what the battery's resistance takes.",
    ),
    Formula(
        name="volts at the appliance",
        inputs=(
            ("volts at rest", "V"),
            ("battery resistance", "ohm"),
            ("current", "A"),
            ("circuit resistance", "ohm"),
        ),
        unit="V",
        compute=battery.appliance_volts_v,
        source=OHM,
        explains="The appliance gets the rested volts less what battery, cables and joints take.",
    ),
    Formula(
        name="cable circuit resistance",
        inputs=(("cable length one way", "m"), ("conductor area", "mm2")),
        unit="ohm",
        compute=cable.circuit_resistance_ohm,
        source="IEC 60228:2004 Table 3, class 5 at 20 C",
        explains="Both cables together: twice the length one way at the standard's ohm per metre.",
    ),
    Formula(
        name="cable circuit resistance at temperature",
        inputs=(
            ("cable length one way", "m"),
            ("conductor area", "mm2"),
            ("conductor temperature", "C"),
        ),
        unit="ohm",
        compute=cable.circuit_resistance_ohm,
        source="IEC 60228:2004 Table 3, class 5; IEC 60028",
        explains="Both cables together, with copper's rise of 0.393 % for each degree.",
    ),
    Formula(
        name="drop along a cable",
        inputs=(("circuit resistance", "ohm"), ("current", "A"), ("supply voltage", "V")),
        unit="V",
        compute=lambda ohm, amps, volts: cable.cable_drop(ohm, amps, volts).drop_v,
        source=OHM,
        explains="The drop is the resistance of both cables times the current.",
    ),
    Formula(
        name="drop along a cable as a share of the supply",
        inputs=(("circuit resistance", "ohm"), ("current", "A"), ("supply voltage", "V")),
        unit="%",
        compute=lambda ohm, amps, volts: cable.cable_drop(ohm, amps, volts).drop_percent,
        source=OHM,
        explains="The drop along both cables in percent of the supply voltage.",
    ),
    Formula(
        name="small-craft cable drop",
        inputs=(("current", "A"), ("round trip length", "m"), ("conductor area", "mm2")),
        unit="V",
        compute=cable.iso_10133_drop_v,
        source="ISO 10133 Annex A",
        explains="The small-craft formula with the round trip; cold copper, so a low answer.",
    ),
    Formula(
        name="share of a drop",
        inputs=(("part of the drop", "V"), ("whole drop", "V")),
        unit="%",
        compute=supply_split.share_percent,
        source="arithmetic",
        explains="What percent of the whole drop this part takes.",
    ),
    Formula(
        name="least volts in a half-cold-crank test",
        inputs=(("battery temperature", "C"),),
        unit="V",
        compute=battery.half_crank_minimum_v,
        source="memory of the half-cold-crank load test of battery service manuals",
        explains="What a sound 12 V battery keeps after 15 s at half its cold-crank current.",
    ),
    Formula(
        name="usable charge",
        inputs=(("battery capacity", "Ah"), ("share of the capacity used", "%")),
        unit="Ah",
        compute=endurance.usable_charge_ah,
        source="arithmetic",
        explains="The part of the capacity that may be taken.",
    ),
    Formula(
        name="hours on a battery",
        inputs=(("usable charge", "Ah"), ("current", "A")),
        unit="h",
        compute=endurance.hours_carried,
        source="charge over current",
        explains="How long the usable charge carries a steady current.",
    ),
    Formula(
        name="starts on a battery",
        inputs=(("usable charge", "Ah"), ("charge of one start", "Ah")),
        unit="1",
        compute=endurance.starts_carried,
        source="charge over charge",
        explains="How many whole starts the usable charge carries.",
    ),
    Formula(
        name="hours of standby",
        inputs=(
            ("battery capacity", "Ah"),
            ("share of the capacity used", "%"),
            ("standby current", "A"),
        ),
        unit="h",
        compute=lambda capacity, percent, amps: (
            24 * endurance.standby_days(capacity, percent, amps)
        ),
        source="charge over current",
        explains="How long a standby drain takes to use up a share of the capacity.",
    ),
    Formula(
        name="standby days",
        inputs=(
            ("battery capacity", "Ah"),
            ("share of the capacity used", "%"),
            ("standby current", "A"),
        ),
        unit="1",
        compute=endurance.standby_days,
        source="charge over current",
        explains="How many days a standby drain takes to use up a share of the capacity.",
    ),
)
