"""One verdict for one reading: a session's signs and the bench commands use the same words."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from diag.bench.battery.report import SupplyReport, supply_report
from diag.bench.exhaust.inputs import groups_of
from diag.bench.exhaust.report import exhaust_report
from diag.bench.exhaust.verdicts import exhaust_limits
from diag.bench.heat.inputs import air_group, fuel_group
from diag.bench.heat.report import heat_report
from diag.bench.heat.verdicts import heat_limits
from diag.cli.app import app
from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.expression import written
from diag.model.quantity import quantity
from diag.model.rulebook import Rulebook
from diag.model.threshold import Threshold
from diag.reason.chain.engine import Chain
from diag.rulebook import load_thresholds, parse_answer
from diag.session.compiled_rulebook import CompiledRulebook

STOP = "stop"
SMALL = {12.0: "small 12 V", 24.0: "small 24 V"}


@cache
def _book() -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", "/nonexistent")
        return load_book()


@cache
def _compiled(unit: str) -> CompiledRulebook:
    return CompiledRulebook.of(_book(), _book().units[unit])


@cache
def _thresholds() -> Mapping[str, Threshold]:
    return load_thresholds(shipped_rules())


def _signs(unit: str, readings: Mapping[str, str]) -> dict[str, str]:
    """Return what a session concludes from typed readings: sign, or danger, to state."""
    book = _book()
    chain = Chain(_compiled(unit).network, book.units[unit])
    chain.tell_all(
        {name: parse_answer(text, book.findings[name]) for name, text in readings.items()}
    )
    return {fact.name: fact.state for fact in chain.facts}


def _supply(nominal_v: float, left_v: float, circuit: Mapping[str, str]) -> SupplyReport:
    """Return the bench's report of a supply that keeps so many volts at the ignition current."""
    unit = _book().units[SMALL[nominal_v]]
    answers = {
        "rest": f"{1.07 * nominal_v:.6f} V", "terminals": f"{left_v:.6f} V",
        "load-amps": str(unit.data["ignition current"]),
        "ignition-amps": str(unit.data["ignition current"]),
        "cut-off": str(unit.data["low-voltage cut-off"]),
        "volts-error": "0 V", "amps-error": "0 A", **circuit,
    }  # fmt: skip
    return supply_report(answers, (), _thresholds())


def _at_the_terminals(nominal_v: float, left_v: float) -> tuple[str, str]:
    """Return the verdict of bench and session on volts at the terminals while igniting."""
    unit = _book().units[SMALL[nominal_v]]
    report = _supply(nominal_v, left_v, {})
    signs = _signs(
        unit.id,
        {
            "volts at rest": f"{1.07 * nominal_v:.6f} V",
            "volts at the terminals while igniting": f"{left_v:.6f} V",
            "amps while igniting": str(unit.data["ignition current"]),
        },
    )
    return report.outlook.verdict, signs["terminals while igniting"]


@pytest.mark.parametrize("nominal_v", SMALL)
@pytest.mark.parametrize(
    ("spare", "word"),
    [(0.6, "holds"), (0.5, "holds"), (0.49, "borderline"), (0.01, "borderline"), (-0.01, "sags")],
)
def test_the_reserve_is_half_a_volt_on_12_v_and_a_volt_on_24_v(
    nominal_v: float, spare: float, word: str
) -> None:
    """0.5 V above the cut-off on 12 V, twice that on 24 V, is what a supply must keep."""
    cut_off_v = 10.5 * nominal_v / 12
    assert (word, word) == _at_the_terminals(nominal_v, cut_off_v + spare * nominal_v / 12)


@given(nominal_v=st.sampled_from(list(SMALL)), spare_mv=st.integers(-1000, 2000))
def test_any_load_test_has_one_verdict(nominal_v: float, spare_mv: int) -> None:
    """At the battery's terminals both say the same; at the cut-off itself the bench cannot tell."""
    bench, session = _at_the_terminals(nominal_v, (10.5 + spare_mv / 1000) * nominal_v / 12)
    assert bench in (session, "cannot tell")
    assert ("cannot tell" == bench) is (spare_mv == 0)


@given(
    nominal_v=st.sampled_from(list(SMALL)), spare=st.floats(0.0, 2.0), length=st.floats(0.5, 10.0)
)
def test_any_cable_has_one_verdict(nominal_v: float, spare: float, length: float) -> None:
    """At the heater's connector both say the same for the volts that the bench works out."""
    circuit = {"length": f"{length:.3f} m", "area": "2.5 mm2"}
    report = _supply(nominal_v, (10.5 + spare) * nominal_v / 12, circuit)
    assert report.outlook.appliance_v is not None
    unit = _book().units[SMALL[nominal_v]]
    signs = _signs(
        unit.id,
        {
            "volts at the heater while igniting": f"{report.outlook.appliance_v.value:.9f} V",
            "amps while igniting": str(unit.data["ignition current"]),
        },
    )
    assert report.outlook.verdict in (signs["supply while igniting"], "cannot tell")


def _heat(speed: float, pulses: float, dose: float, outlet: float) -> tuple[str, dict[str, str]]:
    """Return the bench's word on a heat balance of exact readings, and the session's signs."""
    exact = {"rate": f"{pulses:.4f} Hz", "dose": f"{dose:.4f} ml", "speed": f"{speed:.4f} m/s",
             "bore": "60 mm", "inlet": "15 C", "outlet": f"{outlet:.4f} C"}  # fmt: skip
    answers = {option: f"{text} +- 0 %" if "C" not in text else f"{text} +- 0 C"
               for option, text in exact.items()}  # fmt: skip
    complete = (fuel_group(answers), air_group(answers))
    report = heat_report(answers, complete, heat_limits(_thresholds()))
    signs = _signs(
        "small 12 V",
        {
            "air speed at the outlet": exact["speed"],
            "air at the inlet": exact["inlet"],
            "air at the outlet": exact["outlet"],
            "pump rate at full power": exact["rate"],
            "fuel from 100 pulses": exact["dose"],
            "lights up": "yes",
        },
    )
    return {each.about: each.verdict for each in report.judgements}["balance"], signs


@given(
    speed=st.floats(3.0, 20.0), pulses=st.floats(1.0, 6.0), dose=st.floats(1.2, 3.0),
    outlet=st.floats(40.0, 140.0),
)  # fmt: skip
@settings(max_examples=200)
def test_any_heat_balance_has_one_verdict(
    speed: float, pulses: float, dose: float, outlet: float
) -> None:
    """Both say lost, balanced or too good; beyond all error above 100 % the bench: impossible.

    The heat in a litre varies as it is sold, so the bench may not be able to tell.
    """
    bench, signs = _heat(speed, pulses, dose, outlet)
    word = "too good" if bench == "impossible" else bench
    assert word in (signs["heat against fuel"], "cannot tell")


def _exhaust(**typed: str) -> tuple[dict[str, str], dict[str, str]]:
    """Return the bench's words on exact readings of the exhaust, and the session's signs."""
    answers = {option.replace("_", "-"): f"{text} +- 0" for option, text in typed.items()}
    answers |= {"minutes": "5 min"}
    complete = [group for group in groups_of("co2" in typed) if not group.lacking(answers)]
    report = exhaust_report(answers, complete, exhaust_limits(_thresholds()))
    names = {
        "o2": "oxygen in the exhaust", "co2": "carbon dioxide in the exhaust",
        "gas_temperature": "exhaust temperature", "air_temperature": "air temperature outside",
        "smoke": "smoke spot", "cabin": "carbon monoxide in the cabin",
    }  # fmt: skip
    readings = {names[option]: text.split()[0] if option == "smoke" else text
                for option, text in typed.items()}  # fmt: skip
    said = {each.about: each.verdict for each in report.judgements}
    return said, _signs("small 12 V", {"lights up": "yes", **readings})


@given(oxygen=st.floats(0.5, 19.0), gas=st.floats(60.0, 600.0))
def test_any_exhaust_gas_has_one_verdict(oxygen: float, gas: float) -> None:
    """Air and loss by oxygen: both say right, short or ample, and usual or high.

    Where little air is left the smoke decides, and without it neither has a verdict.
    """
    said, signs = _exhaust(
        o2=f"{oxygen:.6f} %", gas_temperature=f"{gas:.6f} C", air_temperature="15 C"
    )
    assert signs.get("burner air", "cannot tell") == said["burner air"]
    assert signs["exhaust loss"] == said["exhaust loss"]


@given(dioxide=st.floats(1.0, 15.0))
def test_any_carbon_dioxide_has_one_verdict(dioxide: float) -> None:
    """Air by carbon dioxide: both say right, short or ample, or leave it to the smoke."""
    said, signs = _exhaust(co2=f"{dioxide:.6f} %")
    assert signs.get("burner air", "cannot tell") == said["burner air"]


@pytest.mark.parametrize("spot", range(10))
def test_any_smoke_spot_has_one_verdict(spot: int) -> None:
    """Both say pale or grey."""
    said, signs = _exhaust(smoke=f"{spot} {spot} {spot}")
    assert signs["smoke number"] == said["smoke"]


@given(ppm=st.floats(0.0, 500.0))
def test_any_carbon_monoxide_in_the_cabin_has_one_verdict(ppm: float) -> None:
    """Both say clean or foul, and where a session stops the work the bench says stop."""
    said, signs = _exhaust(cabin=f"{ppm:.6f} ppm")
    assert signs["cabin air"] == said["cabin air"]
    assert ("carbon monoxide" in signs) is (STOP == said["cabin"])


def _printed(*words: str) -> dict[str, Any]:
    result = CliRunner().invoke(app, [*words, "--json"])
    assert 0 == result.exit_code, result.output
    told: dict[str, Any] = json.loads(result.stdout)
    return told


def test_the_commands_print_these_words() -> None:
    """What `diag battery`, `diag heat` and `diag exhaust` print is what the reports say."""
    supply = _printed("battery", "--rest", "12.8", "--terminals", "10.8", "--load-amps", "10",
                      "--volts-error", "0 V")  # fmt: skip
    assert "borderline" == supply["verdict"]
    heat = _printed("heat", "--rate", "5", "--dose", "2", "--speed", "6", "--bore", "60",
                    "--inlet", "18", "--outlet", "60")  # fmt: skip
    assert "lost" == heat["verdicts"]["balance"]["verdict"]
    exhaust = _printed("exhaust", "--o2", "17", "--cabin", "12")["verdicts"]
    assert ("ample", STOP) == (exhaust["burner_air"]["verdict"], exhaust["cabin"]["verdict"])


def test_a_threshold_is_written_out_in_the_rules() -> None:
    """A rule holds the threshold's own number, the same that the bench reads without the rules."""
    reserve = _book().thresholds["reserve above the cut-off"]
    assert quantity(0.5, "V") == reserve.at({"nominal voltage": quantity(12, "V")})
    assert quantity(1.0, "V") == reserve.at({"nominal voltage": quantity(24, "V")})
    numbers = {name: each.value for name, each in _book().thresholds.items()}
    assert numbers == {name: each.value for name, each in _thresholds().items()}
    texts = [written(rule.when) for rule in _book().rules if rule.then.name == "cabin air"]
    assert [
        "carbon monoxide in the cabin <= 5 ppm",
        "carbon monoxide in the cabin > 5 ppm and not known(carbon monoxide outdoors)",
        "carbon monoxide in the cabin < 9 ppm and carbon monoxide above outdoors <= 5 ppm",
        "carbon monoxide in the cabin >= 9 ppm or carbon monoxide above outdoors > 5 ppm",
    ] == texts
