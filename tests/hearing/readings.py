"""By which reading each invented sentence of danger should be read back."""

from __future__ import annotations

import re

ALARM = "co alarm is yes"
FUMES, WIRING = "fumes inside is yes", "hot wiring is yes"
ABOUT = {
    "fumes": [("soot", "soot in the warm air is yes"), ("", FUMES)],
    "poisoning": [
        ("alarm|detector|monitor|sensor|siren|ppm|meter|beep|monox|carbon|\\bco\\b", ALARM),
        ("", "felt ill is yes"),
    ],
    "fuel leak": [("chamber|burner", "pooled fuel is pooled"), ("", "fuel leak is yes")],
    "fire": [
        ("wir|cable|loom|connector|plug|socket|relay|fuse|harness|terminal|ecu|board", WIRING),
        ("", "bang at light-up is yes"),
    ],
    "wrong fuel": [("", "strange fuel is yes")],
    "bang": [
        ("bang|boom|explo|blew|blast|pop|whoo|whu|thump|crack|detonat", "bang at light-up is yes"),
        ("flood|full|chamber|burner|swim|drown|pool", "pooled fuel is pooled"),
        ("", "bang at light-up is yes"),
    ],
    "battery": [
        ("fro[sz]|freez|ice|icy|snow|minus|-\\d", "battery frozen is yes"),
        ("", "battery swollen is yes"),
    ],
    "fuse": [
        ("melt|burn|scorch|char|smell|brown|black|soft|warm|\\bhot|spark|smok|glow|heat(s|ing) up",
         WIRING),
        ("", "fuse against the cable is large"),
    ],
    "exhaust": [
        ("exchanger", "soot in the warm air is yes"),
        ("block|clog|plug|snow|mud|nest|wasp|bird|mouse|rag|sock|squash|crush|flat|kink|dent|water|"
         "ice|frozen|cap |cover|cork|stuff|bung|choke|full of|bent|bag|tape",
         "exhaust pipe is blocked"),
        ("", FUMES),
    ],
    "exhaust joints is leaking": [("", FUMES)],
    "runaway": [("", "starts by itself is yes")],
}  # fmt: skip
"""What sentences say that they are about, and the reading by which it is read back: that of the
first pattern that is found in them."""


def meant(about: str, said: str) -> str:
    """Return the reading by which a sentence should be read back."""
    choices = ABOUT.get(about, [("", about)])
    return next(reading for pattern, reading in choices if re.search(pattern, said, re.IGNORECASE))
