"""Every shipped danger: the readings by which it is raised, and those that release it."""

from __future__ import annotations

from dataclasses import dataclass

CLEAN_AIR = ("carbon monoxide in the cabin = 7 ppm", "carbon monoxide outdoors = 3 ppm")


@dataclass(frozen=True)
class Row:
    """One way in which a danger comes up; answers are written `FINDING = ANSWER`."""

    danger: str
    before: str
    """The reading that would be sound, of the finding that raises it."""
    raised: str
    released: tuple[str, ...]
    beside: tuple[str, ...] = ()
    """What must be known already for that reading to raise it."""

    @property
    def name(self) -> str:
        return f"{self.danger}: {self.raised}"


OUT = ("everybody safe outside = yes", *CLEAN_AIR)
TIGHT = ("exhaust joints = tight", *CLEAN_AIR)
WHOLE = ("exchanger = clean", *CLEAN_AIR)
SOUND_CASE = ("case looks = sound", "overheat sensor = 60 kohm")
REFILLED = ("tank refilled clean = yes", "fuel smell = usual")
DRY = ("wiped joints = dry",)
SWAPPED, WARM = ("damaged battery = gone",), ("battery warmed = warm",)
REWIRED = ("charred part = replaced", "joint in a watched start = cool")
CLEARED = ("exhaust pipe = clear", "blow test = free")

TABLE = (
    Row("carbon monoxide", "co alarm = no", "co alarm = yes", OUT),
    Row("carbon monoxide", "felt ill = no", "felt ill = yes", OUT),
    Row(
        "carbon monoxide",
        "carbon monoxide in the cabin = 0 ppm",
        "carbon monoxide in the cabin = 9 ppm",
        OUT,
    ),
    Row(
        "carbon monoxide",
        "carbon monoxide at the outlet = 0 ppm",
        "carbon monoxide at the outlet = 40 ppm",
        OUT,
    ),
    Row(
        "carbon monoxide",
        "carbon monoxide at a joint = 0 ppm",
        "carbon monoxide at a joint = 9 ppm",
        OUT,
    ),
    Row("carbon monoxide", "where the fumes are = nowhere", "where the fumes are = outlet", OUT),
    Row("carbon monoxide", "where the fumes are = nowhere", "where the fumes are = case", OUT),
    Row("fuel leak", "fuel leak = no", "fuel leak = yes", DRY),
    *(
        Row("fuel leak", "where fuel comes out = nowhere", f"where fuel comes out = {place}", DRY)
        for place in ("suction", "pump", "delivery", "tank")
    ),
    Row("hot wiring", "hot wiring = no", "hot wiring = yes", REWIRED),
    Row("hot wiring", "supply fuse = sound", "supply fuse = discoloured", REWIRED),
    Row("hot wiring", "beside the exhaust = nothing", "beside the exhaust = cables", REWIRED),
    Row("exhaust inside", "fumes inside = no", "fumes inside = yes", TIGHT),
    Row("exhaust inside", "exhaust joints = tight", "exhaust joints = leaking", TIGHT),
    Row(
        "exhaust inside",
        "burner gasket = tight",
        "burner gasket = leaking",
        ("burner gasket = tight", *TIGHT),
    ),
    Row("exhaust inside", "under the cover = clean", "under the cover = sooted", TIGHT),
    Row("cracked exchanger", "soot in the warm air = no", "soot in the warm air = yes", WHOLE),
    Row("exhaust inside", "glow plug seat = tight", "glow plug seat = leaking", TIGHT),
    Row("exhaust inside", "cold smoke = nowhere", "cold smoke = case", TIGHT),
    Row("exhaust inside", "cold smoke = nowhere", "cold smoke = pipe", TIGHT),
    Row("cracked exchanger", "exchanger = clean", "exchanger = cracked", WHOLE),
    Row("cracked exchanger", "cold smoke = nowhere", "cold smoke = warm air", WHOLE),
    Row(
        "overheated control",
        "overheated after a power cut = no",
        "overheated after a power cut = yes",
        SOUND_CASE,
    ),
    Row("overheated control", "case looks = sound", "case looks = scorched", SOUND_CASE),
    Row("battery danger", "battery swollen = no", "battery swollen = yes", SWAPPED),
    Row("battery danger", "battery temperature = 20 C", "battery temperature = 51 C", SWAPPED),
    Row("petrol in the fuel", "strange fuel = no", "strange fuel = yes", REFILLED),
    Row("petrol in the fuel", "what was filled = right", "what was filled = petrol", REFILLED),
    Row("petrol in the fuel", "what was filled = right", "what was filled = unknown", REFILLED),
    Row("petrol in the fuel", "fuel smell = usual", "fuel smell = petrol", REFILLED),
    Row(
        "flooded burner",
        "bang at light-up = no",
        "bang at light-up = yes",
        ("pooled fuel = none",),
    ),
    Row("flooded burner", "pooled fuel = none", "pooled fuel = pooled", ("pooled fuel = none",)),
    Row(
        "flooded burner",
        "fuel line at rest = stays",
        "fuel line at rest = runs on",
        ("pooled fuel = none",),
    ),
    Row("exhaust shut", "exhaust pipe = clear", "exhaust pipe = blocked", CLEARED),
    Row("exhaust shut", "exhaust pipe = clear", "exhaust pipe = water", CLEARED),
    Row("exhaust shut", "blow test = free", "blow test = blocked", CLEARED),
    Row(
        "fuse too large",
        "fuse rating = 20 A",
        "fuse rating = 33 A",
        ("fuse against the cable = fits",),
        beside=("cable area = 4 mm2",),
    ),
    Row(
        "fuse too large",
        "fuse against the cable = fits",
        "fuse against the cable = large",
        ("fuse against the cable = fits",),
    ),
    Row(
        "live by itself",
        "starts by itself = no",
        "starts by itself = yes",
        ("control unit inside = dry", "stays off = yes"),
    ),
    Row(
        "live by itself",
        "control unit inside = dry",
        "control unit inside = wet",
        ("control unit inside = dry", "stays off = yes"),
    ),
    Row(
        "live by itself",
        "glow plug feed when off = none",
        "glow plug feed when off = there",
        ("control unit inside = dry", "stays off = yes"),
    ),
    Row(
        "charged too high",
        "volts while charging = 14.4 V",
        "volts while charging = 15.6 V",
        ("volts while charging = 14.4 V",),
    ),
    Row("frozen battery", "battery frozen = no", "battery frozen = yes", WARM),
    Row(
        "frozen battery",
        "volts at rest = 12.7 V",
        "volts at rest = 11.8 V",
        WARM,
        beside=("battery kind = lead-acid", "battery temperature = -8 C"),
    ),
    Row(
        "lithium too cold",
        "battery temperature = 20 C",
        "battery temperature = -3 C",
        WARM,
        beside=("battery kind = lithium",),
    ),
)
