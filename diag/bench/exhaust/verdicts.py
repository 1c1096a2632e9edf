"""What the exhaust gas says: whether the burner's air, loss and smoke are as they should be."""

from __future__ import annotations

from collections.abc import Mapping

from diag.bench.exhaust.inputs import O2
from diag.bench.exhaust.sums import CO_SOURCE, SIEGERT_SOURCE, SPOT_SOURCE, THIN_SOURCE
from diag.bench.figures import (
    DerivedFigure,
    Judgement,
    Measurement,
    derive,
    improve,
    judge,
    rounded,
    weakest,
)
from diag.bench.thresholds import Thresholds, threshold_value
from diag.model.frozen import frozen


@frozen
class ExhaustLimits:
    """The limits of the trade: gases and loss in %, a smoke spot number, cabin CO in ppm."""

    oxygen_percent: tuple[float, float]
    carbon_dioxide_percent: tuple[float, float]
    sooting_percent: tuple[float, float]  # oxygen, carbon dioxide
    most_exhaust_co_ppm: float
    most_loss_percent: float
    most_spot: float
    cabin_clean_ppm: float
    cabin_danger_ppm: float


def exhaust_limits(thresholds: Thresholds) -> ExhaustLimits:
    """Return the limits that `diag exhaust` judges by; raises `ValueError` if one is missing."""

    def both(gas: str) -> tuple[float, float]:
        low, high = (threshold_value(thresholds, f"{end} {gas}", "%") for end in ("least", "most"))
        return low, high

    return ExhaustLimits(
        both("oxygen in the exhaust"),
        both("carbon dioxide in the exhaust"),
        (
            threshold_value(thresholds, "sooting oxygen in the exhaust", "%"),
            threshold_value(thresholds, "sooting carbon dioxide in the exhaust", "%"),
        ),
        threshold_value(thresholds, "most carbon monoxide in the exhaust", "ppm"),
        threshold_value(thresholds, "most flue loss", "%"),
        threshold_value(thresholds, "most smoke spot", "1"),
        threshold_value(thresholds, "most carbon monoxide in clean air", "ppm"),
        threshold_value(thresholds, "dangerous carbon monoxide", "ppm"),
    )


def air_judgement(got: Mapping[str, Measurement], limits: ExhaustLimits) -> Judgement:
    """Say if the burner gets the right air, by oxygen if it is there, else carbon dioxide."""
    by_o2 = "o2" in got
    gas = got["o2"] if by_o2 else got["co2"]
    low, high = limits.oxygen_percent if by_o2 else limits.carbon_dioxide_percent
    size = f"{rounded(gas.value, gas.error, '%')} {'oxygen' if by_o2 else 'carbon dioxide'}"
    sooting = limits.sooting_percent[0 if by_o2 else 1]
    scant = sooting <= gas.value < low if by_o2 else high < gas.value <= sooting
    if scant:
        says = (
            f"cannot tell if its air is right: {size} leaves little to spare, and the smoke "
            "decides; take smoke spots, `--smoke`"
        )
        return Judgement("burner air", "cannot tell", says, gas.name)
    for edge in (low, high, sooting):
        if 0 < abs(gas.value - edge) < gas.error:
            says = (
                f"cannot tell if its air is right: {size} is too near {edge:g} %; take "
                f"`{gas.name}` again, {gas.again}"
            )
            return Judgement("burner air", "cannot tell", says, gas.name)
    if low <= gas.value <= high:
        says = f"right: {size} is within {low:g} to {high:g} %"
        return Judgement("burner air", "right", says, gas.name)
    if (gas.value < low) is by_o2:
        says = f"short of air: {size} means too little air for the fuel, so it soots"
        return Judgement("burner air", "short", says, gas.name)
    says = f"ample air: {size} means far more air than the fuel needs"
    return Judgement("burner air", "ample", says, gas.name)


def loss_judgement(
    loss: DerivedFigure, got: Mapping[str, Measurement], most_percent: float
) -> Judgement:
    """Say if the exhaust takes more of the fuel's heat than is usual."""
    margin = derive(
        "margin", "%", lambda percent: most_percent - percent, (loss.measurement(),),
        source=SIEGERT_SOURCE,
    )  # fmt: skip
    size = f"{rounded(loss.value, loss.error, '%')} leaves with the exhaust"
    says = {
        "clear yes": ("usual", f"usual loss: {size}, at most {most_percent:g} % is usual"),
        "clear no": (
            "high",
            f"high loss: {size}, above {most_percent:g} %; the exchanger does not take the heat "
            "out of the gas",
        ),
        "cannot tell": (
            "cannot tell",
            f"cannot tell if the loss is usual: {size}, too near {most_percent:g} %; "
            f"{improve(loss, tuple(got.values()))}",
        ),
    }
    return Judgement("exhaust loss", *says[judge(margin)], weakest(loss))


def smoke_judgement(smoke: Measurement, most: float) -> Judgement:
    """Hold the smoke against the limit for vaporising oil burners, a yardstick for small units."""
    margin = derive("margin", "1", lambda spot: most - spot, (smoke,), source=SPOT_SOURCE)
    size = f"smoke spot {rounded(smoke.value, smoke.error, '1')}"
    limit = f"{most:g}, the limit of vaporising burners (1. BImSchV sec. 7), a yardstick here"
    says = {
        "clear yes": ("pale", f"pale: {size} is below {limit}"),
        "clear no": ("grey", f"grey: {size} is above {limit}"),
        "cannot tell": (
            "cannot tell",
            f"cannot tell if it is pale: {size} is too near {limit}; {improve(margin, (smoke,))}",
        ),
    }
    return Judgement("smoke", *says[judge(margin)], weakest(margin))


def co_judgement(undiluted: DerivedFigure, most_ppm: float) -> Judgement:
    """Hold the exhaust's carbon monoxide, its spare air taken out, against that of a clean flame.

    1300 mg of it for each kWh of net heat are about 1180 ppm of diesel's dry gas with no spare air.
    """
    margin = derive(
        "margin", "ppm", lambda ppm: most_ppm - ppm, (undiluted.measurement(),), source=CO_SOURCE
    )
    size = f"{rounded(undiluted.value, undiluted.error, 'ppm')} of CO undiluted"
    limit = f"{most_ppm:g} ppm, 1300 mg/kWh (1. BImSchV sec. 7), a yardstick here"
    says = {
        "clear yes": ("clean", f"clean flame: {size} is below {limit}"),
        "clear no": (
            "foul",
            f"foul flame: {size} is above {limit}; it burns badly, so look at its air, its dose "
            "and its burner, and never let its exhaust into the place",
        ),
        "cannot tell": (
            "cannot tell",
            f"cannot tell if it burns clean: {size} is too near {limit}",
        ),
    }
    return Judgement("exhaust CO", *says[judge(margin)], weakest(undiluted))


def altitude_judgement(high: Measurement, ratio: DerivedFigure, there: DerivedFigure) -> Judgement:
    """Say if air is left at a height, by the air ratio here and there."""
    margin = derive("margin", "1", lambda r: r - 1, (there.measurement(),), source=THIN_SOURCE)
    size = f"the air ratio falls from {ratio.value:.2f} to {rounded(there.value, there.error, '1')}"
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
    return Judgement("altitude", *says[judge(margin)], blur)
