"""All that the typed answers tell about the heat balance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.bench.heat.inputs import CAPACITY, CLAIMED_HEAT, RUNNING_AMPS, USED, air_group, fuel_group
from diag.bench.heat.sums import Side, air_side, efficiency, fuel_name, fuel_side, readings_of, use
from diag.bench.heat.verdicts import Balance, HeatLimits, judgements
from diag.bench.inputs import InputGroup
from diag.bench.report import BenchReport

HEAT_CAUTIONS = (
    "Outlet and exhaust are hot enough to burn you. Fuel catches fire: measure the dose cold, away "
    "from flames. Run the heater only with its exhaust outdoors and a carbon monoxide alarm on.",
)


def heat_report(
    answers: Mapping[str, str],
    complete: Sequence[InputGroup],
    limits: HeatLimits,
    notes: Sequence[str] = (),
) -> BenchReport:
    """Return all that the answers tell; `complete` names the groups that are all there.

    `answers` holds typed texts by option. Raises `ValueError` for a value that cannot be.
    """
    fuel = fuel_side(answers) if fuel_group(answers) in complete else None
    air = air_side(answers) if air_group(answers) in complete else None
    figures = [*(fuel.figures if fuel else ()), *(air.figures if air else ())]
    readings = [*(fuel.readings if fuel else ()), *(air.readings if air else ())]
    balance = None
    if fuel and air:
        share = efficiency(fuel, air)
        slipped = readings_of(answers, fuel, air)
        balance = Balance(share, tuple(readings), fuel, air, slipped, fuel_name(answers))
        figures.append(share)
    extra, more = use(answers, fuel, air)
    said, lacking = judgements(answers, limits, balance, fuel, air)
    return BenchReport(
        measurements=readings,
        figures=[*figures, *extra],
        judgements=said,
        assumed=_assumed(answers, fuel, air),
        notes=(*notes, *lacking, *more),
        cautions=HEAT_CAUTIONS,
    )


def _assumed(answers: Mapping[str, str], fuel: Side | None, air: Side | None) -> list[str]:
    """Say what was taken as usual, as far as it counted."""
    usual: dict[str, str] = {}
    if air and CLAIMED_HEAT.option not in answers:
        usual = {"altitude": "sea level", "pressure": "1013 hPa"}
        usual |= {} if "traverse" in answers else {"at": "speed read at the centre"}
    if fuel:
        usual |= {"fuel": "diesel", "fuel-temperature": "fuel at 15 C"}
    if RUNNING_AMPS.option in answers:
        usual |= {"supply": "12.5 V"} if air else {}
        usual |= {USED.option: "half the battery used"} if CAPACITY.option in answers else {}
    return [says for option, says in usual.items() if option not in answers]
