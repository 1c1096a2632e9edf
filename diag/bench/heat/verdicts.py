"""What a heat balance says: whether it can be true, and pump against duct."""

from __future__ import annotations

from collections.abc import Mapping

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
from diag.bench.heat.inputs import CLAIMED_HEAT, EXPECTED_DOSE
from diag.bench.heat.sums import Side
from diag.bench.inputs import measured
from diag.bench.report import to_learn
from diag.bench.thresholds import Thresholds, threshold_value
from diag.model.frozen import frozen
from diag.physics.combustion.fuel import FuelName
from diag.physics.heat.balance import judge_claim
from diag.physics.heat.slip import HeatReadings, rank_slips


@frozen
class HeatLimits:
    """The limits of the trade: efficiencies in %, a rise in K, a share of the expected dose."""

    usual_percent: tuple[float, float]
    doubtful_above_percent: float
    hot_rise_k: float
    weak_share: float


def heat_limits(thresholds: Thresholds) -> HeatLimits:
    """Return the limits that `diag heat` judges by; raises `ValueError` if one is missing."""
    low = threshold_value(thresholds, "least efficiency", "%")
    return HeatLimits(
        (low, threshold_value(thresholds, "usual efficiency", "%")),
        threshold_value(thresholds, "most efficiency", "%"),
        threshold_value(thresholds, "most air rise", "K"),
        threshold_value(thresholds, "least share of the dose", "1"),
    )


@frozen
class Balance:
    """Both sides of a balance, their efficiency, and the readings from which a slip is named."""

    efficiency: DerivedFigure
    readings: tuple[Measurement, ...]
    fuel: Side
    air: Side
    slipped: HeatReadings | None
    fuel_name: FuelName


def judgements(
    answers: Mapping[str, str],
    limits: HeatLimits,
    balance: Balance | None,
    fuel: Side | None,
    air: Side | None,
) -> tuple[list[Judgement], list[str]]:
    """Return what can be said, and with which readings more could be."""
    said, notes = [], []
    if balance:
        said.append(balance_judgement(balance, limits))
    if fuel and EXPECTED_DOSE.option in answers:
        expected = measured(EXPECTED_DOSE, answers[EXPECTED_DOSE.option])
        said.append(pump_judgement(fuel, expected, limits.weak_share))
    elif fuel:
        notes.append(to_learn("`--expected-dose`", "if the pump is weak"))
    if air and CLAIMED_HEAT.option not in answers:
        said.append(duct_judgement(air, limits, balance))
    return said, notes


def balance_judgement(balance: Balance, limits: HeatLimits) -> Judgement:
    """Say if heat out and fuel in can be true together; a margin inside its error cannot tell."""
    of, blur = balance.efficiency, weakest(balance.efficiency)
    low, doubtful = limits.usual_percent[0], limits.doubtful_above_percent
    size = rounded(of.value, of.error, "%")
    slip = _slip(balance, limits)
    if of.value - of.error > 100.0:
        says = f"impossible: {_takes(balance, size)}{slip}"
        return Judgement("balance", "impossible", says, blur)
    if of.value + of.error < low:
        slip = _slip(balance, limits, "if a reading slipped,")
        says = f"lost: {size} of the fuel's heat reaches the air, {low:g} % or more is usual{slip}"
        return Judgement("balance", "lost", says, blur)
    for edge, what in ((100.0, "possible"), (doubtful, "balanced"), (low, "lost")):
        if abs(of.value - edge) <= of.error:
            says = (
                f"cannot tell if it is {what}: {size} is too near {edge:g} %; "
                f"{improve(of, balance.readings)}{slip if of.value > edge > low else ''}"
            )
            return Judgement("balance", "cannot tell", says, blur)
    if of.value > doubtful:
        says = f"too good: {size}, and the exhaust alone takes more than the rest{slip}"
        return Judgement("balance", "too good", says, blur)
    return Judgement("balance", "balanced", f"balanced: {size} reaches the air", blur)


def _takes(balance: Balance, size: str) -> str:
    rate, dose, warm, _ = (each.value for each in balance.fuel.readings)
    heat_kw = balance.air.compute(*(each.value for each in balance.air.readings))
    claim = judge_claim(heat_kw, rate, dose / 100, balance.fuel_name, warm)
    return (
        f"{heat_kw:.2f} kW of heat from {claim.fuel_kw:.2f} kW of fuel is {size}; even with "
        f"nothing lost it takes {claim.rate_needed_hz:.1f} pulses a second, or "
        f"{100 * claim.dose_needed_ml:.2f} ml in 100 pulses"
    )


def _slip(balance: Balance, limits: HeatLimits, sure: str = "likeliest slip:") -> str:
    """Name the likeliest slip with the value that the reading should have had."""
    slips = rank_slips(balance.slipped, limits.usual_percent) if balance.slipped else ()
    if not slips:
        return ""
    first = slips[0]
    value, unit = (100 * first.would_be, "ml in 100 pulses") if first.unit == "ml" else (
        first.would_be, first.unit
    )  # fmt: skip
    return f"; {sure} {first.says} (it would be {value:.3g} {unit})"


def pump_judgement(fuel: Side, expected: Measurement, weak_share: float) -> Judgement:
    """Say if the pump gives at least this share of what is expected."""
    dose = fuel.readings[1]
    margin = derive(
        "margin", "ml", lambda got, due: got - weak_share * due, (dose, expected), source=""
    )
    share = f"{rounded(dose.value, dose.error, 'ml')} in 100 pulses against {expected.value:g} ml"
    known = {
        "clear yes": ("good", f"pump good: {share}; look elsewhere for weak heat"),
        "clear no": ("weak", f"weak pump: {share}; look at the pump, its filter and its air leaks"),
        "cannot tell": (
            "cannot tell",
            f"cannot tell if the pump is weak: {share}; {improve(margin, (dose, expected))}",
        ),
    }
    verdict, sentence = known[judge(margin)]
    return Judgement("pump", verdict, sentence, weakest(margin))


def duct_judgement(air: Side, limits: HeatLimits, balance: Balance | None) -> Judgement:
    """Say from the air's rise if too little air passes."""
    hottest_k = limits.hot_rise_k
    ends = tuple(r for r in air.readings if r.name in ("inlet temperature", "outlet temperature"))
    margin = derive("margin", "K", lambda t0, t1: hottest_k - (t1 - t0), ends, source="")
    rise = rounded(hottest_k - margin.value, margin.error, "K")
    standing = judge(margin)
    if standing == "cannot tell":
        sentence = (
            f"cannot tell if the duct is blocked: the air warms by {rise}, too near "
            f"{hottest_k:g} K; {improve(margin, ends)}"
        )
        return Judgement("duct", standing, sentence, weakest(margin))
    if standing == "clear no":
        sentence = (
            f"blocked duct: the air warms by {rise}, above {hottest_k:g} K, so too little "
            "passes; look for a crushed or covered duct, a covered inlet, a slow fan"
        )
        return Judgement("duct", "blocked", sentence, weakest(margin))
    sentence = f"duct open: the air warms by {rise}, below {hottest_k:g} K"
    if balance and balance.efficiency.value + balance.efficiency.error < limits.usual_percent[0]:
        sentence += "; the heat leaves another way, as by a sooted exchanger or a leak"
    return Judgement("duct", "open", sentence, weakest(margin))
