"""All that the typed answers tell about the exhaust."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from diag.bench.amounts import LONGEST
from diag.bench.exhaust.cabin import CO_CAUTION, cabin_report
from diag.bench.exhaust.inputs import (
    AIR_TEMPERATURE,
    ALTITUDE,
    CO,
    CO2,
    GAS_TEMPERATURE,
    LOSS_SAYS,
    O2,
    SET_AT,
    SMOKE,
)
from diag.bench.exhaust.sums import (
    UNDILUTED,
    air_figures,
    air_needs,
    exhaust_co_figures,
    flue_loss,
    smoke_spot,
    thin_air,
)
from diag.bench.exhaust.verdicts import (
    ExhaustLimits,
    air_judgement,
    altitude_judgement,
    co_judgement,
    loss_judgement,
    smoke_judgement,
)
from diag.bench.figures import DerivedFigure, Judgement, Measurement
from diag.bench.inputs import InputGroup, measured
from diag.bench.report import BenchReport
from diag.physics.combustion.fuel import FUELS, Fuel, FuelName
from diag.physics.errors import one_of

EXHAUST_CAUTIONS = (
    "Exhaust gas is hot and poisonous: lead it outdoors, wear gloves for the probe.",
)
Said = tuple[list[DerivedFigure], list[Judgement]]


def exhaust_report(
    answers: Mapping[str, str],
    complete: Sequence[InputGroup],
    limits: ExhaustLimits,
    notes: Sequence[str] = (),
) -> BenchReport:
    """Return all that the answers tell; `complete` names the groups that are all there.

    `answers` holds typed texts by option. Raises `ValueError` for a value that cannot be.
    """
    oil = _oil(answers)
    read = (O2, CO2, GAS_TEMPERATURE, AIR_TEMPERATURE, SMOKE)
    got = {each.option: measured(each, answers[each.option]) for each in read
           if each.option in answers}  # fmt: skip
    with_loss = any(group.says == LOSS_SAYS for group in complete)
    figures, said = _burning(got, oil, limits, with_loss)
    if "altitude" in answers:
        high, rich = _thin(answers, figures)
        figures, said = [*figures, *high], [*said, *rich]
    if "co" in answers:
        got["co"] = measured(CO, answers["co"])
        of_co = exhaust_co_figures(got["co"], got, oil)
        figures = [*figures, *of_co]
        said = [
            *said,
            *(co_judgement(each, limits.most_exhaust_co_ppm) for each in of_co
              if each.name == UNDILUTED),
        ]  # fmt: skip
    cabin = cabin_report(answers, limits) if "cabin" in answers else BenchReport()
    careful = "co" in answers or "cabin" in answers
    gas = "o2" in got or "co2" in got
    return BenchReport(
        measurements=(*got.values(), *cabin.measurements),
        figures=(*figures, *cabin.figures),
        judgements=(*cabin.judgements, *said),
        assumed=() if "fuel" in answers or not gas else ("diesel",),
        notes=(*notes, *cabin.notes),
        cautions=(CO_CAUTION, *EXHAUST_CAUTIONS) if careful else EXHAUST_CAUTIONS,
        extra={"fuel": oil.name, **cabin.extra},
    )


def _oil(answers: Mapping[str, str]) -> Fuel:
    name = answers.get("fuel", "diesel").strip()[:LONGEST]
    one_of("fuel", name, FUELS)
    return FUELS[cast(FuelName, name)]


def _burning(
    got: Mapping[str, Measurement], oil: Fuel, limits: ExhaustLimits, with_loss: bool
) -> Said:
    """Return what gas and smoke tell: air, loss, soot."""
    figures: list[DerivedFigure] = []
    said: list[Judgement] = []
    if "o2" in got or "co2" in got:
        figures += [*air_needs(oil), *air_figures(got, oil)]
        said.append(air_judgement(got, limits))
    if with_loss:
        loss = flue_loss(got)
        figures.append(loss)
        said.append(loss_judgement(loss, got, limits.most_loss_percent))
    if "smoke" in got:
        figures.append(smoke_spot(got["smoke"]))
        said.append(smoke_judgement(got["smoke"], limits.most_spot))
    return figures, said


def _thin(answers: Mapping[str, str], figures: Sequence[DerivedFigure]) -> Said:
    """Return what altitude does, and whether air is left when the air ratio is known."""
    high = measured(ALTITUDE, answers["altitude"])
    base = measured(SET_AT, answers.get("set-at", "0 m +- 0 m"))
    ratio = next((each for each in figures if each.name == "air ratio"), None)
    made = thin_air(high, base, ratio)
    return made, [altitude_judgement(high, ratio, made[1])] if ratio is not None else []
