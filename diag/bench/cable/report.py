"""All that the typed answers tell about a supply cable."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.bench.cable.inputs import DROP, IGNITION_AMPS, SIZE, SPLIT, SUPPLY, SYSTEM_24_V, USUAL
from diag.bench.cable.split import with_split
from diag.bench.cable.sums import drop_figures, lead_ohm, limit_v, run_of, sizes_of, strand_of
from diag.bench.cable.verdicts import drop_judgement, size_judgement
from diag.bench.inputs import InputGroup, measured
from diag.bench.report import BenchReport
from diag.physics.supply.cable import WHY_THE_SIZES_DIFFER

FUSE_CAUTION = (
    "The fuse protects the cable: no larger than the cable can carry, and close to the battery. A "
    "short circuit can set the cable alight. Local wiring rules and the heater's manual come first."
)


def cable_report(
    answers: Mapping[str, str], complete: Sequence[InputGroup], notes: Sequence[str] = ()
) -> BenchReport:
    """Return all that the answers tell; `complete` names the groups that are all there.

    `answers` holds typed texts by option. Raises `ValueError` for a value that cannot be.
    """
    supply_v = measured(SUPPLY, answers.get("supply", USUAL["supply"])).value
    ignition = "10 A" if supply_v <= SYSTEM_24_V else "5 A"
    typed = {**USUAL, "ignition-amps": f"{ignition} +- 0 A", **answers}
    assumed = []
    if SIZE in complete:
        usual = {
            "ignition-amps": ignition,
            "supply": "12 V",
            "copper-temperature": "copper at 20 C",
        }
        assumed = [says for option, says in usual.items() if option not in answers]
    told = BenchReport(assumed=tuple(assumed), notes=notes, cautions=(FUSE_CAUTION,))
    if SIZE in complete:
        told = _with_run(typed, told, DROP in complete)
    if SPLIT in complete:
        sound_ohm = lead_ohm(typed) if DROP in complete else None
        amps = measured(IGNITION_AMPS, typed["ignition-amps"])
        told = with_split(typed, told, amps, sound_ohm)
    return told


def _with_run(typed: Mapping[str, str], told: BenchReport, with_area: bool) -> BenchReport:
    got = run_of(typed, with_area)
    strand, most_v = strand_of(typed), limit_v(typed, got["supply"].value)
    sizes = sizes_of(got, strand, most_v)
    judgements = [drop_judgement(got, strand, most_v)] if with_area else []
    return BenchReport(
        measurements=tuple(got.values()),
        figures=drop_figures(got, strand) if with_area else (),
        judgements=(*judgements, size_judgement(got, sizes, most_v)),
        assumed=told.assumed,
        notes=(*told.notes, WHY_THE_SIZES_DIFFER),
        cautions=told.cautions,
        rows=sizes.rows(got["copper-temperature"].value),
        extra={"strand": strand, "drop_limit_v": most_v, "sizes": sizes.as_object()},
    )
