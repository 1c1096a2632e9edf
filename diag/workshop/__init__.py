"""Units that obey physics, with faults put into their parts: a judge of the rules from outside.

A `Heater` is made of parts (`parts`), drawn by `heater_of` from the world's own numbers, which
stand in files (`data.numbers`). Faults change quantities of parts (`fault`), the physics of each
part stands in `laws`, the control unit's states in `control`, and `run` moves it all in time: a
`World` is started, run, switched off and worked upon, and gives a `Trace` that is asked what was to
be read in which phase.

>>> from random import Random  # `small` is a sound unit of 2 kW on 12 V
>>> world = World(small, Random(1), [Fault("negative joint", "resistance", "becomes", 0.1)])
>>> world.start()
>>> trace = world.run(90.0)
>>> trace.phases
('off', 'fan run-up', 'glow', 'fuel')
>>> round(trace.during("glow").typical("volts: unit negative to negative terminal"), 1)
1.1
"""

from diag.workshop.amount import WorkshopError
from diag.workshop.draw import heater_of, left_overnight
from diag.workshop.fault import ComesAndGoes, Fault, apply_fault, fault_mistake
from diag.workshop.heater import PARTS, Heater
from diag.workshop.run.trace import Trace
from diag.workshop.run.world import World, WorldEvent

__all__ = [
    "PARTS",
    "ComesAndGoes",
    "Fault",
    "Heater",
    "Trace",
    "WorkshopError",
    "World",
    "WorldEvent",
    "apply_fault",
    "fault_mistake",
    "heater_of",
    "left_overnight",
]
