"""`diag cable`: what a supply run loses, the size it needs, and where the volts go."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from diag.cli.bench.amounts import LONGEST, read_amount
from diag.cli.bench.bench_screen import Told, row, show
from diag.cli.bench.cable_split import SPLIT, split_told
from diag.cli.bench.readings import (
    Ask,
    Figure,
    Group,
    Reading,
    Verdict,
    Wanted,
    answer,
    asker,
    figure,
    improve,
    judge,
    mended,
    read,
    settle,
    weakest,
)
from diag.cli.guard import WrongUse
from diag.physics.cable import (
    FEET_PER_M,
    WHY_THE_SIZES_DIFFER,
    abyc_circular_mils,
    cable_drop,
    circuit_resistance_ohm,
    iso_10133_area_mm2,
    smallest_area_mm2,
    smallest_awg,
)
from diag.physics.conductor import OHM_PER_KM, Strand, awg_area_mm2, parse_awg
from diag.physics.errors import PhysicsError, above, between, celsius, one_of

LIMIT = "3 %"  # ISO 10133 cl. 4.8 and ABYC E-11, for what must work
FUSE_CAUTION = (
    "the fuse protects the cable, so it is no larger than the cable carries and sits by the "
    "battery; a short burns. Local wiring rules and the unit's papers come first."
)
DROP_SOURCE = "Ohm's law; IEC 60228:2004 Tables 2 and 3; IEC 60028"


def _area(name: str, text: str, unit: str) -> float:
    """Read an area in mm2, or a gauge that is marked AWG."""
    if "awg" in text.lower():
        return awg_area_mm2(parse_awg(text.lower().replace("awg", "").strip()))
    return read_amount(name, text, unit)


LENGTH = Wanted(
    "length", "cable length one way", "m", "Cable length, one way?", "0.1 m",
    "along the cable with a tape, not through the air", most=200.0,
)  # fmt: skip
AREA = Wanted("area", "conductor area", "mm2", "Area of one conductor, mm2 or AWG?", read=_area)
AMPS = Wanted(
    "amps", "current", "A", "Current while igniting?", "2 % + 0.1 A",
    "with the clamp zeroed, or with a better one", most=2000.0,
)  # fmt: skip
SUPPLY = Wanted("supply", "supply voltage", "V", most=60.0)
TEMPERATURE = Wanted("temperature", "conductor temperature", "C", error="5 C")
JOINTS = Wanted(
    "joints", "joint resistance", "ohm", error="20 %",
    again="from the volts across the joints under load",
)  # fmt: skip
FUSE_HOLDER = Wanted(
    "fuse-holder", "fuse holder resistance", "ohm", error="20 %",
    again="from the volts across it under load",
)  # fmt: skip
SYSTEM_24_V = 18.0  # a supply above this is taken for a 24 V one
USUAL = {
    "supply": "12 V", "temperature": "20 C", "joints": "0 ohm", "fuse-holder": "0 ohm",
}  # fmt: skip

SIZE = Group("the smallest standard size for the run", (LENGTH,))
DROP = Group("the drop and loss of the cable that is there", (LENGTH, AREA))


def run_cable(answers: Mapping[str, str], as_json: bool = False, ask: Ask | None = None) -> int:
    """Work out the run, the split of a measured drop, or both, and print it; return 0.

    `answers` holds the options that were given, as typed. Missing readings are asked for at a
    terminal, through `ask` if that is given. Raises `ValueError` for a value that cannot be,
    and `WrongUse` when readings are missing and nobody can be asked.
    """
    ask = asker(as_json, ask)
    nothing = not any(w.option in answers for g in (SIZE, DROP, SPLIT) for w in g.wanted)
    groups = (SIZE, DROP, SPLIT, Group("", (AMPS,)))
    full, complete, notes = settle(groups[:3], answers, ask, (FUSE_CAUTION,))
    if ask is not None and (nothing or SPLIT in complete) and "amps" not in full:
        full |= {"amps": text} if (text := answer(AMPS, ask)) else {}
    if SPLIT in complete and "amps" not in full:
        raise WrongUse(f"with `--amps` as well I could say {SPLIT.says}")
    show(mended(lambda now: cable_told(now, complete, notes), full, groups, ask), as_json)
    return 0


def cable_told(
    answers: Mapping[str, str], complete: tuple[Group, ...], notes: tuple[str, ...]
) -> Told:
    """Return all that the answers tell about a supply cable."""
    supply_v = read(SUPPLY, answers.get("supply", USUAL["supply"])).value
    ignition = "10 A" if supply_v <= SYSTEM_24_V else "5 A"
    typed = {**USUAL, "amps": f"{ignition} +- 0 A", **answers}
    assumed = []
    if SIZE in complete:
        usual = {"amps": ignition, "supply": "12 V", "temperature": "copper at 20 C"}
        assumed = [says for option, says in usual.items() if option not in answers]
    told = Told((), (), (), tuple(assumed), notes, (FUSE_CAUTION,))
    if SIZE in complete:
        told = _run_told(typed, told, DROP in complete)
    if SPLIT in complete:
        lead_ohm = _lead_ohm(typed) if DROP in complete else None
        told = split_told(typed, told, read(AMPS, typed["amps"]), lead_ohm)
    return told


def _strand(answers: Mapping[str, str]) -> Strand:
    text = answers.get("strand", "class 5").strip()[:LONGEST]
    one_of("strand", text, (*OHM_PER_KM, "solid"))
    return cast(Strand, text)


def _lead_ohm(typed: Mapping[str, str]) -> float:
    """Return the resistance of one lead as the standard has it."""
    length, area = read(LENGTH, typed["length"]), read(AREA, typed["area"])
    warm = read(TEMPERATURE, typed["temperature"])
    return circuit_resistance_ohm(length.value, area.value, warm.value, _strand(typed)) / 2


def _readings(typed: Mapping[str, str], with_area: bool) -> dict[str, Reading]:
    wanted = [LENGTH, AMPS, TEMPERATURE, JOINTS, FUSE_HOLDER, SUPPLY]
    if with_area:
        wanted.append(AREA)
    got = {each.option: read(each, typed[each.option]) for each in wanted}
    celsius(TEMPERATURE.name, got["temperature"].value, least=-100.0, most=250.0)
    for each in (JOINTS, FUSE_HOLDER):
        between(each.name, got[each.option].value, "ohm", least=0.0, most=10.0)
    return got


def _limit_v(typed: Mapping[str, str], supply_v: float) -> float:
    text = typed.get("limit", LIMIT)
    if "v" in text.lower():
        return above("drop limit", read_amount("drop limit", text, "V"), "V", most=supply_v)
    percent = read_amount("drop limit", text, "%")
    return supply_v * above("drop limit", percent, "%", most=100.0) / 100


def _run_told(typed: Mapping[str, str], told: Told, with_area: bool) -> Told:
    got = _readings(typed, with_area)
    strand, limit_v = _strand(typed), _limit_v(typed, got["supply"].value)
    figures: list[Figure] = []
    verdicts: list[Verdict] = []
    if with_area:
        figures = _drop_figures(got, strand)
        verdicts = [_drop_verdict(got, strand, limit_v)]
    sizes, says, drawing = _sizes(got, strand, limit_v)
    verdicts.append(Verdict("size", "found" if sizes["class_5_mm2"] else "none", says))
    return Told(
        tuple(got.values()), figures, verdicts, told.assumed,
        (*told.notes, WHY_THE_SIZES_DIFFER), told.cautions, drawing,
        {"strand": strand, "drop_limit_v": limit_v, "sizes": sizes},
    )  # fmt: skip


def _of_run(got: Mapping[str, Reading]) -> list[Reading]:
    return [got[o] for o in ("length", "area", "temperature", "joints", "fuse-holder")]


def _drop_figures(got: Mapping[str, Reading], strand: Strand) -> list[Figure]:
    run, amps, supply = _of_run(got), got["amps"], got["supply"]

    def ohm(length: float, area: float, warm: float, joints: float, holder: float) -> float:
        return circuit_resistance_ohm(length, area, warm, strand, joints + holder)

    length_m, area = got["length"].value, got["area"].value
    there_and_back = f"{length_m:g} m one way, {2 * length_m:g} m of {area:.3g} mm2 there and back"
    at = f"times {amps.value:g} A"
    return [
        figure("circuit resistance", "ohm", ohm, run, there_and_back, DROP_SOURCE),
        figure(
            "drop", "V", lambda a, *r: cable_drop(ohm(*r), a, supply.value).drop_v,
            [amps, *run], at, DROP_SOURCE,
        ),
        figure(
            "drop of the supply", "%",
            lambda a, v, *r: cable_drop(ohm(*r), a, v).drop_percent,
            [amps, supply, *run], f"drop over {supply.value:g} V", DROP_SOURCE,
        ),
        figure(
            "loss", "W", lambda a, *r: cable_drop(ohm(*r), a, supply.value).loss_w,
            [amps, *run], f"drop {at}, heat in cable", DROP_SOURCE,
        ),
    ]  # fmt: skip


def _drop_verdict(got: Mapping[str, Reading], strand: Strand, limit_v: float) -> Verdict:
    readings = [got["amps"], *_of_run(got)]

    def left(a: float, m: float, s: float, t: float, j: float, h: float) -> float:
        return limit_v - a * circuit_resistance_ohm(m, s, t, strand, j + h)

    margin = figure("margin", "V", left, readings, "", DROP_SOURCE)
    drop_v = limit_v - margin.value
    size = f"{drop_v:.2f} V +- {margin.error:.2f}"
    limit = f"the limit of {limit_v:.2f} V"
    says = {
        "clear yes": ("kept", f"kept: the drop of {size} is within {limit}"),
        "clear no": ("exceeded", f"exceeded: the drop of {size} is above {limit}"),
        "cannot tell": (
            "cannot tell",
            f"cannot tell: the drop of {size} is too near {limit}; {improve(margin, readings)}",
        ),
    }[judge(margin)]
    return Verdict("drop", *says, weakest(margin))


def _sizes(
    got: Mapping[str, Reading], strand: Strand, limit_v: float
) -> tuple[dict[str, object], str, list[str]]:
    length, amps = got["length"].value, got["amps"].value
    warm = got["temperature"].value
    joints = got["joints"].value + got["fuse-holder"].value
    listed: Strand = strand if strand in OHM_PER_KM else "class 5"
    iso = iso_10133_area_mm2(amps, 2 * length, limit_v)
    cmil = abyc_circular_mils(amps, 2 * length * FEET_PER_M, limit_v)
    iso_size = next((size for size, _ in OHM_PER_KM["class 5"] if size >= iso), None)
    try:
        gauge: int | None = smallest_awg(cmil)
    except PhysicsError:
        gauge = None
    try:
        size: float | None = smallest_area_mm2(length, amps, limit_v, warm, listed, joints)
        wide = f"{size:g} mm2 is the smallest {listed} size that keeps"
    except PhysicsError:
        size, wide = None, f"no {listed} size in the table keeps"
    says = f"{wide} {amps:g} A over {length:g} m one way within {limit_v:.2f} V"
    drawing = [
        *row("IEC 60228 class 5" if listed == "class 5" else f"IEC 60228 {listed}",
             f"{size:g} mm2" if size else "none listed", f"table, {warm:g} C, joints counted"),
        *row("ISO 10133 Annex A", f"{iso:.2f} mm2" + (f", so {iso_size:g}" if iso_size else ""),
             "0.0164 I L / E, no joints"),
        *row("ABYC E-11", f"{cmil:.0f} cmil" + (f", {gauge} AWG" if gauge else ""),
             "10.75 I L / E in feet, SAE areas"),
    ]  # fmt: skip
    sizes: dict[str, object] = {
        "class_5_mm2": size, "iso_10133_mm2": iso, "iso_10133_standard_mm2": iso_size,
        "abyc_cmil": cmil, "abyc_sae_awg": gauge,
    }  # fmt: skip
    return sizes, says, drawing
