"""How people at the bench say what they do, beside the names in the rules: common practice."""

from __future__ import annotations

from collections.abc import Mapping

from diag.practice.drill.deeds import DeedKind

VERBS: Mapping[DeedKind, tuple[str, ...]] = {
    "read": (
        "measure", "read", "look at", "look along", "look for", "look into", "look", "check",
        "test", "see", "inspect", "ask the owner about", "ask owner about", "ask the owner",
        "ask owner", "ask about", "ask", "feel", "smell", "listen to", "listen", "count", "watch",
        "do",
    ),
    "repair": ("repair", "fix", "mend", "clear", "clean", "put right"),
    "swap": ("swap", "change", "replace", "renew", "fit"),
    "shake": ("shake", "wiggle", "wriggle"),
    "call": ("call it", "call", "it is", "verdict"),
}  # fmt: skip
"""How each deed begins; common practice."""
START = (
    "start",
    "start it",
    "start again",
    "light it",
    "switch on",
    "switch it on",
    "run it",
    "try",
)
LOOK_ROUND = ("look round", "look around", "look round first", "look for danger")
READY: Mapping[str, tuple[str, ...]] = {
    "cover off": ("cover off", "take the cover off", "take off the cover", "open the cover"),
    "on the bench": ("on the bench", "to the bench", "take it to the bench", "take it out"),
    "heater cold": ("let it cool", "cool", "cool down", "let it cool down", "wait", "heater cold"),
    "power off": ("power off", "pull the fuse", "take the fuse out", "switch the power off"),
}
"""What acts need and people bring about by themselves, with the words for it."""
SOUND_WORDS = frozenset(
    ("nothing wrong", "nothing", "it is sound", "sound", "no fault", "nothing is wrong", "all well")
)
EVERYTHING = frozenset(("everything", "all", "the wiring", "wiring", "the loom", "loom", "cables"))
SHAKEN: Mapping[str, str] = {
    "pump cable": "pump connector", "pump lead": "pump connector", "pump": "pump connector",
    "glow plug cable": "plug connector", "glow plug wire": "plug wire", "plug": "plug connector",
    "glow plug connector": "plug connector", "earth": "negative joint", "ground": "negative joint",
    "earth joint": "negative joint", "panel cable": "panel", "supply plug": "supply connector",
    "fuse holder": "fuse", "positive cable": "positive joint", "negative cable": "negative joint",
}  # fmt: skip
"""What a hand takes hold of, to the part whose joint it moves."""
PARTS_CALLED: Mapping[str, tuple[str, ...]] = {
    "glow plug": ("plug",),
    "plug connector": ("glow plug connector",),
    "pump": ("fuel pump",),
    "motor": ("fan motor", "fan", "blower"),
    "exchanger": ("heat exchanger",),
    "negative joint": ("earth", "earth joint", "ground"),
    "filter": ("fuel filter",),
    "control unit": ("controller", "board"),
}
"""What parts are called beside their own names."""
EXAMPLES: Mapping[DeedKind, str] = {
    "read": "measure volts at rest", "repair": "repair bad earth", "swap": "swap glow plug",
    "shake": "shake pump cable", "call": "call bad earth",
}  # fmt: skip
ASKING = "ask what was done"
"""Whole lines that do each deed, for those who typed its verb alone."""
