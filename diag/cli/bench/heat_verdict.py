"""What a heat balance says: whether it can be true, and pump against duct."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from diag.cli.bench.bench_screen import amount
from diag.cli.bench.heat_wanted import EXPECTED_DOSE
from diag.cli.bench.readings import Figure, Reading, Verdict, figure, improve, judge, read, weakest
from diag.physics.fuel import FuelName
from diag.physics.heat_balance import BELIEVABLE_PERCENT, DOUBTFUL_ABOVE_PERCENT, judge_claim
from diag.physics.heat_slip import HeatReadings, rank_slips

if TYPE_CHECKING:
    from diag.cli.bench.heat import Side

WEAK_SHARE = 0.9  # of the expected dose, below which a pump is weak: common practice, no source
HOT_RISE_K = 100.0  # above it too little air passes: common practice, no source


@dataclass(frozen=True, slots=True)
class Balance:
    """Both sides of a balance, their efficiency, and the readings from which a slip is named."""

    efficiency: Figure
    readings: tuple[Reading, ...]
    fuel: Side
    air: Side
    slipped: HeatReadings | None
    fuel_name: FuelName


def verdicts(
    answers: Mapping[str, str], balance: Balance | None, fuel: Side | None, air: Side | None
) -> tuple[list[Verdict], list[str]]:
    """Return what can be said, and with which readings more could be."""
    said, notes = [], []
    if balance:
        said.append(balance_verdict(balance))
    if fuel and EXPECTED_DOSE.option in answers:
        said.append(pump_verdict(fuel, read(EXPECTED_DOSE, answers["expected-dose"])))
    elif fuel:
        notes.append("with `--expected-dose` as well I could also say if the pump is weak")
    if air and "heat" not in answers:
        said.append(duct_verdict(air, balance))
    return said, notes


def balance_verdict(balance: Balance) -> Verdict:
    """Say if heat out and fuel in can be true together; a margin inside its error cannot tell."""
    of = balance.efficiency
    low, _ = BELIEVABLE_PERCENT
    blur = weakest(of)
    size = amount(of.value, of.error, "%")
    if of.value - of.error > 100.0:
        return Verdict("balance", "impossible", f"impossible: {_takes(balance, size)}", blur)
    if of.value + of.error < low:
        says = f"low: {size} of the fuel's heat reaches the air, {low:g} % or more is usual"
        return Verdict("balance", "low", f"{says}{_slip(balance, 'if a reading slipped,')}", blur)
    for edge, what in ((100.0, "possible"), (DOUBTFUL_ABOVE_PERCENT, "believable"), (low, "low")):
        if abs(of.value - edge) <= of.error:
            says = (
                f"cannot tell if it is {what}: {size} is too near {edge:g} %; "
                f"{improve(of, balance.readings)}{_slip(balance) if of.value > edge > low else ''}"
            )
            return Verdict("balance", "cannot tell", says, blur)
    if of.value > DOUBTFUL_ABOVE_PERCENT:
        says = f"doubtful: {size}, and the exhaust alone takes more than the rest"
        return Verdict("balance", "doubtful", f"{says}{_slip(balance)}", blur)
    return Verdict("balance", "believable", f"believable: {size} reaches the air", blur)


def _takes(balance: Balance, size: str) -> str:
    rate, dose, warm, _ = (each.value for each in balance.fuel.readings)
    heat_kw = balance.air.compute(*(each.value for each in balance.air.readings))
    claim = judge_claim(heat_kw, rate, dose / 100, balance.fuel_name, warm)
    return (
        f"{heat_kw:.2f} kW of heat from {claim.fuel_kw:.2f} kW of fuel is {size}; even with "
        f"nothing lost it takes {claim.rate_needed_hz:.1f} pulses a second, or "
        f"{100 * claim.dose_needed_ml:.2f} ml in 100 pulses{_slip(balance)}"
    )


def _slip(balance: Balance, sure: str = "likeliest slip:") -> str:
    """Name the likeliest slip with the value that the reading should have had."""
    slips = rank_slips(balance.slipped) if balance.slipped else ()
    if not slips:
        return ""
    first = slips[0]
    value, unit = (100 * first.would_be, "ml in 100 pulses") if first.unit == "ml" else (
        first.would_be, first.unit
    )  # fmt: skip
    return f"; {sure} {first.says} (it would be {value:.3g} {unit})"


def pump_verdict(fuel: Side, expected: Reading) -> Verdict:
    """Say if the pump gives what it should; the tenth below is common practice, no source."""
    dose = fuel.readings[1]
    margin = figure(
        "margin", "ml", lambda got, due: got - WEAK_SHARE * due, (dose, expected), "", ""
    )
    share = f"{amount(dose.value, dose.error, 'ml')} in 100 pulses against {expected.value:g} ml"
    known = {
        "clear yes": ("good", f"pump good: {share}; look elsewhere for weak heat"),
        "clear no": ("weak", f"weak pump: {share}; look at the pump, its filter and its air leaks"),
        "cannot tell": (
            "cannot tell",
            f"cannot tell if the pump is weak: {share}; {improve(margin, (dose, expected))}",
        ),
    }
    verdict, sentence = known[judge(margin)]
    return Verdict("pump", verdict, sentence, weakest(margin))


def duct_verdict(air: Side, balance: Balance | None) -> Verdict:
    """Say from the rise if too little air passes; the limit is common practice, no source."""
    ends = tuple(r for r in air.readings if r.name in ("inlet temperature", "outlet temperature"))
    margin = figure("margin", "K", lambda t0, t1: HOT_RISE_K - (t1 - t0), ends, "", "")
    rise = amount(HOT_RISE_K - margin.value, margin.error, "K")
    standing = judge(margin)
    if standing == "cannot tell":
        sentence = (
            f"cannot tell if the duct is blocked: the air warms by {rise}, too near "
            f"{HOT_RISE_K:g} K; {improve(margin, ends)}"
        )
        return Verdict("duct", standing, sentence, weakest(margin))
    if standing == "clear no":
        sentence = (
            f"blocked duct: the air warms by {rise}, above {HOT_RISE_K:g} K, so too little "
            "passes; look for a crushed or covered duct, a covered inlet, a slow fan"
        )
        return Verdict("duct", "blocked", sentence, weakest(margin))
    sentence = f"duct open: the air warms by {rise}, below {HOT_RISE_K:g} K"
    if balance and balance.efficiency.value + balance.efficiency.error < BELIEVABLE_PERCENT[0]:
        sentence += "; the heat leaves another way, as by a sooted exchanger or a leak"
    return Verdict("duct", "open", sentence, weakest(margin))
