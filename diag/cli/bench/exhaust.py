"""`diag exhaust`: how the fuel burns, what the exhaust takes, and carbon monoxide."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from diag.cli.bench.amounts import LONGEST, read_amount
from diag.cli.bench.bench_screen import Told, amount, show
from diag.cli.bench.exhaust_co import CABIN, CO, CO_CAUTION, cabin_told, exhaust_co_figures
from diag.cli.bench.readings import (
    Ask,
    Figure,
    Group,
    Reading,
    Verdict,
    Wanted,
    asker,
    figure,
    improve,
    judge,
    mended,
    read,
    settle,
    weakest,
)
from diag.physics.atmosphere import mixture_richness
from diag.physics.errors import one_of
from diag.physics.flue import (
    OIL_SPOT_LIMIT,
    air_ratio_from_co2,
    air_ratio_from_o2,
    check_flue_pair,
    co2_from_o2,
    excess_air_percent,
    mean_smoke_spot,
    siegert_loss_from_co2,
    siegert_loss_from_o2,
    spot_transmission_percent,
)
from diag.physics.fuel import FUELS, Fuel, FuelName
from diag.physics.stoichiometry import combustion_of

CAUTIONS = ("the exhaust burns and poisons: keep it led outside, hold the probe with gloves.",)
BALANCE_SOURCE = "oxygen and carbon balance of the dry gas, air of 20.95 % oxygen"
SIEGERT_SOURCE = "Siegert, 1. BImSchV (2010) annex 2 no. 3.4, light oil"
SPOT_SOURCE = "ASTM D2156 and DIN 51402"
THIN_SOURCE = "ISO 2533:1975"


def _mean_spot(name: str, text: str, unit: str) -> float:
    spots = [read_amount(name, each, unit) for each in text.replace(";", " ").split()]
    return mean_smoke_spot(spots)


O2 = Wanted(
    "o2", "oxygen in the flue gas", "%", "Oxygen in the dry exhaust gas?", "0.3 %",
    "with the probe deeper and the pipe sealed round it",
)  # fmt: skip
CO2 = Wanted(
    "co2", "carbon dioxide in the flue gas", "%", "Carbon dioxide in the exhaust gas?",
    "0.4 %", "with the probe deeper and the pipe sealed round it",
)  # fmt: skip
GAS = Wanted(
    "gas", "flue gas temperature", "C", "Temperature of the exhaust gas?", "3 C",
    "in the middle of the pipe",
)  # fmt: skip
AIR = Wanted("air", "combustion air temperature", "C", "Temperature of its air?", "1 C")
# Half a step for each spot, so 0.3 for the mean of three.
SMOKE = Wanted(
    "smoke", "smoke spot number", "1", "Smoke spots, three or more of ten strokes each?", "0.3",
    "with ten steady strokes for each spot", _mean_spot,
)  # fmt: skip
ALTITUDE = Wanted("altitude", "altitude", "m", "Altitude where it is to run?", "20 m")
SET_AT = Wanted("set-at", "altitude where it was set", "m", error="20 m")
EXCESS_SAYS, LOSS_SAYS = "the excess air", "what leaves with the exhaust"


def run_exhaust(answers: Mapping[str, str], as_json: bool = False, ask: Ask | None = None) -> int:
    """Work out excess air, loss, smoke, carbon monoxide and thin air, and print it; return 0.

    `answers` holds the options that were given, as typed. Missing readings are asked for at a
    terminal, through `ask` if that is given. Raises `ValueError` for a value that cannot be,
    and `WrongUse` when readings are missing and nobody can be asked.
    """
    cell = CO2 if "co2" in answers and "o2" not in answers else O2
    groups = (
        Group(EXCESS_SAYS, (cell,)),
        Group(LOSS_SAYS, (cell, GAS, AIR)),
        Group("the smoke against its limit", (SMOKE,)),
        Group("the carbon monoxide of the exhaust", (CO,)),
        Group("the cabin's carbon monoxide against exposure limits", (CABIN,)),
        Group("what altitude does to the mixture", (ALTITUDE,)),
    )
    ask = asker(as_json, ask)
    full, complete, notes = settle(groups, answers, ask, CAUTIONS)
    with_loss = groups[1] in complete
    told = mended(lambda now: exhaust_told(now, cell, notes, with_loss), full, groups, ask)
    show(told, as_json)
    return 0


def exhaust_told(
    answers: Mapping[str, str], cell: Wanted, notes: tuple[str, ...], with_loss: bool
) -> Told:
    """Return all that the answers tell about the exhaust."""
    name = answers.get("fuel", "diesel").strip()[:LONGEST]
    one_of("fuel", name, FUELS)
    oil = FUELS[cast(FuelName, name)]
    got = {each.option: read(each, answers[each.option]) for each in (O2, CO2, GAS, AIR, SMOKE)
           if each.option in answers}  # fmt: skip
    figures: list[Figure] = []
    said: list[Verdict] = []
    if cell.option in got:
        figures = [*_needs(oil), *_air_figures(got, oil)]
    if with_loss:
        figures.append(_loss(got))
    if "smoke" in got:
        figures.append(_smoke(got["smoke"]))
        said.append(_smoke_verdict(got["smoke"]))
    ratio = next((each for each in figures if each.name == "air ratio"), None)
    if "altitude" in answers:
        thin, verdict = _thin_air(answers, ratio)
        figures += thin
        said += verdict
    cautions: tuple[str, ...] = CAUTIONS
    drawing: list[str] = []
    extra: dict[str, object] = {"fuel": oil.name}
    if "co" in answers:
        got["co"] = read(CO, answers["co"])
        figures += exhaust_co_figures(got["co"], got.get("o2"))
    if "cabin" in answers:
        cabin = cabin_told(answers)
        figures += cabin.figures
        said = [*cabin.verdicts, *said]
        drawing += cabin.drawing
        extra |= cabin.extra
        notes = (*notes, *cabin.notes)
    if "co" in answers or "cabin" in answers:
        cautions = (CO_CAUTION, *cautions)
    assumed = () if "fuel" in answers or cell.option not in got else ("diesel",)
    return Told(tuple(got.values()), figures, said, assumed, notes, cautions, drawing, extra)


def _needs(oil: Fuel) -> list[Figure]:
    """Return the air that the fuel needs and the most CO2 that it can make."""
    burnt = combustion_of(oil.hydrogen_per_carbon)
    how = f"{burnt.air_m3_per_kg:.1f} m3 for 1 kg of {oil.name}"
    source = "CHx + (1 + x/4) O2, x from handbooks (from memory)"
    return [
        Figure("air needed", burnt.air_kg_per_kg, 0.0, "kg", how, source),
        Figure("CO2 at most", burnt.co2_max_percent, 0.0, "%", "dry gas, no spare air", source),
    ]


def _air_figures(got: Mapping[str, Reading], oil: Fuel) -> list[Figure]:
    """Return air ratio and excess air, by oxygen if it is there; refuse an impossible pair."""
    x = oil.hydrogen_per_carbon
    by_o2 = "o2" in got
    gas = got["o2"] if by_o2 else got["co2"]

    def ratio(percent: float) -> float:
        return air_ratio_from_o2(percent, x) if by_o2 else air_ratio_from_co2(percent, x)

    said = f"from {gas.value:g} % {'oxygen' if by_o2 else 'carbon dioxide'}"
    figures = [
        figure("air ratio", "1", ratio, (gas,), said, BALANCE_SOURCE),
        figure(
            "excess air", "%", lambda percent: excess_air_percent(ratio(percent)), (gas,), said,
            BALANCE_SOURCE,
        ),
    ]  # fmt: skip
    if by_o2 and "co2" in got:
        check_flue_pair(gas.value, got["co2"].value)
        pair = (got["co2"], gas)
        how = f"{co2_from_o2(gas.value):.1f} % belongs to the oxygen"
        figures.append(
            figure("CO2 off its pair", "%", lambda c, o: c - co2_from_o2(o), pair, how,
                   SIEGERT_SOURCE)
        )  # fmt: skip
    return figures


def _loss(got: Mapping[str, Reading]) -> Figure:
    gas, air = got["gas"], got["air"]
    how = f"{gas.value:g} C out, {air.value:g} C in, of the net heat"
    if "o2" in got:
        readings = (gas, air, got["o2"])
        return figure("flue loss", "%", siegert_loss_from_o2, readings, how, SIEGERT_SOURCE)
    readings = (gas, air, got["co2"])
    return figure("flue loss", "%", siegert_loss_from_co2, readings, how, SIEGERT_SOURCE)


def _smoke(smoke: Reading) -> Figure:
    light = spot_transmission_percent(smoke.value)
    how = f"mean of the spots; the gas lets {light:.0f} % of light through"
    return figure("smoke spot", "1", lambda spot: spot, (smoke,), how, SPOT_SOURCE)


def _smoke_verdict(smoke: Reading) -> Verdict:
    """Hold the smoke against the limit for oil burners, a yardstick for small units."""
    margin = figure("margin", "1", lambda spot: OIL_SPOT_LIMIT - spot, (smoke,), "", SPOT_SOURCE)
    size = f"smoke spot {amount(smoke.value, smoke.error, '1')}"
    limit = f"{OIL_SPOT_LIMIT:g}, the limit of oil burners (1. BImSchV sec. 8), a yardstick here"
    says = {
        "clear yes": ("clean", f"clean: {size} is below {limit}"),
        "clear no": ("sooty", f"sooty: {size} is above {limit}"),
        "cannot tell": (
            "cannot tell",
            f"cannot tell if it burns clean: {size} is too near {limit}; "
            f"{improve(margin, (smoke,))}",
        ),
    }
    return Verdict("smoke", *says[judge(margin)], weakest(margin))


def _thin_air(
    answers: Mapping[str, str], ratio: Figure | None
) -> tuple[list[Figure], list[Verdict]]:
    """Return how much richer it burns up there, and whether air is left when the ratio is known."""
    high = read(ALTITUDE, answers["altitude"])
    base = read(SET_AT, answers.get("set-at", "0 m +- 0 m"))
    how = f"{high.value:g} m against {base.value:g} m where it was set"
    rich = figure("fuel to air, times", "1", mixture_richness, (high, base), how, THIN_SOURCE)
    if ratio is None:
        return [rich], []
    there = figure(
        "air ratio there", "1", lambda r, h, b: r / mixture_richness(h, b),
        (ratio.reading(O2.again), high, base), "air ratio over that", THIN_SOURCE,
    )  # fmt: skip
    margin = figure("margin", "1", lambda r: r - 1, (there.reading(),), "", THIN_SOURCE)
    size = f"the air ratio falls from {ratio.value:.2f} to {amount(there.value, there.error, '1')}"
    blur = ratio.shares[0][0] if ratio.shares and weakest(there) == ratio.name else weakest(there)
    says = {
        "clear yes": ("air to spare", f"air to spare at {high.value:g} m: {size}"),
        "clear no": (
            "too rich",
            f"too rich at {high.value:g} m: {size}; below 1 it soots and makes carbon monoxide: "
            "have it set for the height",
        ),
        "cannot tell": (
            "cannot tell",
            f"cannot tell if it has air enough at {high.value:g} m: {size}; take `{blur}` again, "
            f"{O2.again}",
        ),
    }
    return [rich, there], [Verdict("altitude", *says[judge(margin)], blur)]
