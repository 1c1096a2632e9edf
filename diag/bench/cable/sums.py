"""What a supply run loses by the standards' tables, and the sizes that would do."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from diag.bench.amounts import LONGEST, read_amount
from diag.bench.cable.inputs import (
    AREA,
    COPPER_TEMPERATURE,
    FUSE_HOLDER,
    IGNITION_AMPS,
    JOINTS,
    LENGTH,
    SUPPLY,
    USUAL_LIMIT,
)
from diag.bench.figures import DerivedFigure, Measurement, derive
from diag.bench.inputs import measured
from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, above, between, celsius, one_of
from diag.physics.supply.cable import (
    FEET_PER_M,
    abyc_circular_mils,
    cable_drop,
    circuit_resistance_ohm,
    iso_10133_area_mm2,
    smallest_area_mm2,
    smallest_awg,
)
from diag.physics.supply.conductor import OHM_PER_KM, Strand

DROP_SOURCE = "Ohm's law; IEC 60228:2004 Tables 2 and 3; IEC 60028"
CableRun = Mapping[str, Measurement]
"""The measurements of a run by their options."""


def strand_of(answers: Mapping[str, str]) -> Strand:
    """Return the strand class that was typed, class 5 if none was; raises `PhysicsError`."""
    text = answers.get("strand", "class 5").strip()[:LONGEST]
    one_of("strand", text, (*OHM_PER_KM, "solid"))
    return cast(Strand, text)


def lead_ohm(typed: Mapping[str, str]) -> float:
    """Return the resistance of one lead as the standard has it."""
    length, area = measured(LENGTH, typed["length"]), measured(AREA, typed["area"])
    warm = measured(COPPER_TEMPERATURE, typed["copper-temperature"])
    return circuit_resistance_ohm(length.value, area.value, warm.value, strand_of(typed)) / 2


def run_of(typed: Mapping[str, str], with_area: bool) -> dict[str, Measurement]:
    """Return the measurements of a run by option; raises `ValueError` for what cannot be."""
    wanted = [LENGTH, IGNITION_AMPS, COPPER_TEMPERATURE, JOINTS, FUSE_HOLDER, SUPPLY]
    if with_area:
        wanted.append(AREA)
    got = {each.option: measured(each, typed[each.option]) for each in wanted}
    celsius(COPPER_TEMPERATURE.name, got["copper-temperature"].value, least=-100.0, most=250.0)
    for each in (JOINTS, FUSE_HOLDER):
        between(each.name, got[each.option].value, "ohm", least=0.0, most=10.0)
    return got


def limit_v(typed: Mapping[str, str], supply_v: float) -> float:
    """Return the most volts that may be lost, typed as V or as % of the supply (V)."""
    text = typed.get("limit", USUAL_LIMIT)
    if "v" in text.lower():
        return above("drop limit", read_amount("drop limit", text, "V"), "V", most=supply_v)
    percent = read_amount("drop limit", text, "%")
    return supply_v * above("drop limit", percent, "%", most=100.0) / 100


def of_circuit(got: CableRun) -> list[Measurement]:
    """Return the measurements that make the circuit's resistance, in its order."""
    return [got[o] for o in ("length", "area", "copper-temperature", "joints", "fuse-holder")]


def drop_figures(got: CableRun, strand: Strand) -> list[DerivedFigure]:
    """Return resistance, drop and loss of the cable that is there."""
    run, amps, supply = of_circuit(got), got["ignition-amps"], got["supply"]

    def ohm(length: float, area: float, warm: float, joints: float, holder: float) -> float:
        return circuit_resistance_ohm(length, area, warm, strand, joints + holder)

    length_m, area = got["length"].value, got["area"].value
    there_and_back = f"{length_m:g} m one way, {2 * length_m:g} m of {area:.3g} mm2 there and back"
    at = f"times {amps.value:g} A"
    return [
        derive("circuit resistance", "ohm", ohm, run, formula=there_and_back, source=DROP_SOURCE),
        derive(
            "drop", "V", lambda a, *r: cable_drop(ohm(*r), a, supply.value).drop_v,
            [amps, *run], formula=at, source=DROP_SOURCE,
        ),
        derive(
            "drop of the supply", "%",
            lambda a, v, *r: cable_drop(ohm(*r), a, v).drop_percent,
            [amps, supply, *run], formula=f"drop over {supply.value:g} V", source=DROP_SOURCE,
        ),
        derive(
            "loss", "W", lambda a, *r: cable_drop(ohm(*r), a, supply.value).loss_w,
            [amps, *run], formula=f"drop {at}, heat in cable", source=DROP_SOURCE,
        ),
    ]  # fmt: skip


@frozen
class Sizes:
    """The sizes that a run asks for: by the standard's table (mm2), ISO 10133 and ABYC E-11.

    A size is None where no listed one will do.
    """

    strand: Strand
    table_mm2: float | None
    iso_10133_mm2: float
    iso_10133_standard_mm2: float | None
    abyc_cmil: float
    abyc_sae_awg: int | None

    def rows(self, warm_c: float) -> list[tuple[str, str, str]]:
        """Return the three sizes, each with how it was found; the copper's temperature in C."""
        iso, iso_size = self.iso_10133_mm2, self.iso_10133_standard_mm2
        size, gauge = self.table_mm2, self.abyc_sae_awg
        return [
            (f"IEC 60228 {self.strand}", f"{size:g} mm2" if size else "none listed",
             f"table, {warm_c:g} C, joints counted"),
            ("ISO 10133 Annex A", f"{iso:.2f} mm2" + (f", so {iso_size:g}" if iso_size else ""),
             "0.0164 I L / E, no joints"),
            ("ABYC E-11", f"{self.abyc_cmil:.0f} cmil" + (f", {gauge} AWG" if gauge else ""),
             "10.75 I L / E in feet, SAE areas"),
        ]  # fmt: skip

    def as_object(self) -> dict[str, float | None]:
        """Return the sizes as plain data."""
        return {
            "class_5_mm2": self.table_mm2,
            "iso_10133_mm2": self.iso_10133_mm2,
            "iso_10133_standard_mm2": self.iso_10133_standard_mm2,
            "abyc_cmil": self.abyc_cmil,
            "abyc_sae_awg": self.abyc_sae_awg,
        }


def sizes_of(got: CableRun, strand: Strand, drop_limit_v: float) -> Sizes:
    """Return the sizes that carry a run's current within a drop (V)."""
    length, amps = got["length"].value, got["ignition-amps"].value
    joints = got["joints"].value + got["fuse-holder"].value
    listed: Strand = strand if strand in OHM_PER_KM else "class 5"
    iso = iso_10133_area_mm2(amps, 2 * length, drop_limit_v)
    cmil = abyc_circular_mils(amps, 2 * length * FEET_PER_M, drop_limit_v)
    try:
        gauge: int | None = smallest_awg(cmil)
    except PhysicsError:
        gauge = None
    warm = got["copper-temperature"].value
    try:
        size: float | None = smallest_area_mm2(
            length, amps, drop_limit_v, warm, listed, joints_ohm=joints
        )
    except PhysicsError:
        size = None
    iso_size = next((each for each, _ in OHM_PER_KM["class 5"] if each >= iso), None)
    return Sizes(listed, size, iso, iso_size, cmil, gauge)
