"""`diag exhaust` against published constants and limits, and what it says to bad input."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from diag.cli.app import app
from diag.cli.bench.exhaust import run_exhaust


def _run(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["exhaust", *arguments])


def _object(*arguments: str) -> dict[str, Any]:
    result = _run(*arguments, "--json")
    assert 0 == result.exit_code, result.output
    parsed: dict[str, Any] = json.loads(result.stdout)
    return parsed


@pytest.mark.parametrize(
    ("gas", "air", "oxygen", "loss"),
    [
        ("180", "20", "4", 7.520), ("190", "20", "3", 7.612), ("200", "20", "5", 8.910),
        ("250", "20", "6", 12.037), ("400", "20", "10", 26.151), ("300", "10", "12", 23.941),
    ],
)  # fmt: skip
def test_loss_by_siegert(gas: str, air: str, oxygen: str, loss: float) -> None:
    """(tA - tL) (0.68 / (21 - O2) + 0.007): 1. BImSchV (2010) annex 2 no. 3.4, worked by hand."""
    told = _object("--gas-temperature", gas, "--air-temperature", air, "--o2", oxygen)
    assert pytest.approx(loss, abs=0.001) == told["figures"]["flue_loss"]["value"]


def test_loss_by_carbon_dioxide() -> None:
    """(200 - 20) (0.50 / 12 + 0.007) = 8.76 %: 1. BImSchV (2010) annex 2 no. 3.4."""
    told = _object("--gas-temperature", "200", "--air-temperature", "20", "--co2", "12")
    assert pytest.approx(8.76) == told["figures"]["flue_loss"]["value"]


def test_air_that_oil_needs() -> None:
    """CH1.85 takes 14.5 kg/kg of air within 1 %, and makes at most 15.4 % CO2 (from memory)."""
    figures = _object("--o2", "5")["figures"]
    assert pytest.approx(14.5, rel=0.01) == figures["air_needed"]["value"]
    assert pytest.approx(15.4, rel=0.01) == figures["co2_at_most"]["value"]
    assert pytest.approx(29.3, abs=0.1) == figures["excess_air"]["value"]


def test_either_gas_gives_the_same_air() -> None:
    """Oxygen and the carbon dioxide that belongs to it give the same excess air within 1 point."""
    by_o2 = _object("--o2", "5")["figures"]["excess_air"]["value"]
    by_co2 = _object("--co2", "11.68")["figures"]["excess_air"]["value"]
    assert pytest.approx(by_o2, abs=1.0) == by_co2


def test_altitude_makes_it_richer() -> None:
    """At 2000 m air is 0.82168 of sea level's density (ISO 2533), so it burns 1/0.82168 richer."""
    told = _object("--o2", "10", "--altitude", "2000 m")
    assert pytest.approx(1 / 0.82168, rel=1e-4) == told["figures"]["fuel_to_air_times"]["value"]
    assert "air to spare" == told["verdicts"]["altitude"]["verdict"]


@pytest.mark.parametrize(
    ("oxygen", "verdict"), [("2", "too rich"), ("4", "cannot tell"), ("8", "air to spare")]
)
def test_verdict_at_altitude(oxygen: str, verdict: str) -> None:
    """An air ratio sure to fall below 1 is too rich; one within its error of 1 is not judged."""
    assert (
        verdict == _object("--o2", oxygen, "--altitude", "2000")["verdicts"]["altitude"]["verdict"]
    )


def test_cannot_tell_names_the_gas() -> None:
    """At the border the reading to improve is the oxygen."""
    told = _object("--o2", "4", "--altitude", "2000")["verdicts"]["altitude"]
    assert (
        "cannot tell if it has air enough at 2000 m: the air ratio falls from 1.22 to 1.003 +- "
        "0.017; take `oxygen in the flue gas` again, with the probe deeper and the pipe sealed "
        "round it"
    ) == told["sentence"]
    assert "oxygen in the flue gas" == told["weakest_reading"]


@pytest.mark.parametrize(
    ("spots", "verdict"),
    [("0 0 0", "pale"), ("1 0 1", "pale"), ("2 2 2", "cannot tell"), ("3 4 3", "grey")],
)
def test_smoke_against_its_limit(spots: str, verdict: str) -> None:
    """The mean of three spots is held against 2, vaporising burners' limit (1. BImSchV sec. 7)."""
    assert verdict == _object("--smoke", spots)["verdicts"]["smoke"]["verdict"]


def test_cabin_against_limits_with_their_times() -> None:
    """40 ppm for an hour passes WHO's hourly 35 mg/m3, 30.6 ppm, but not yet the workplace's.

    WHO indoor air 2010 (the hourly figure from memory); Directive 2017/164/EU.
    """
    told = _object("--cabin", "40 ppm +- 1 ppm", "--minutes", "60")
    standing = {each["name"]: each["standing"] for each in told["limits"]}
    assert ("exceeded", "record too short") == (
        standing["WHO indoor air 2010, 35 mg/m3"],
        standing["EU and UK workplace, 8 h"],
    )
    assert (
        "STOP: everybody out, heater off, open doors and windows: 40 ppm exceeds 2 of 13 "
        "limits, soonest WHO indoor air 2010, 35 mg/m3 (30.6 ppm over 60 min)"
    ) == told["verdicts"]["cabin"]["sentence"]


def test_a_stop_comes_before_all_else() -> None:
    """The reason to stop is the first line of the screen, and the caution is on it."""
    shown = _run("--o2", "10", "--cabin", "300").stdout
    assert shown.startswith(
        "STOP: everybody out, heater off, open doors and windows: 300 ppm exceeds 13 of\n  13"
    )
    assert "caution: Carbon monoxide kills without smell." in shown


def test_a_record_is_averaged() -> None:
    """A record of minute:ppm is held by its rolling mean; a short peak passes fewer limits."""
    told = _object("--cabin", "0:0 5:60 10:0 70:0")
    means = {each["name"]: each["highest_mean_ppm"] for each in told["limits"]}
    assert pytest.approx(300 / 60) == means["EPA outdoor air, 1 h"]
    assert 60.0 == means["NIOSH ceiling"]
    assert 13 > sum("exceeded" == each["standing"] for each in told["limits"])


def test_a_danger_before_any_limit_is_passed() -> None:
    """From 9 ppm on everyone goes out, however short it lasted; what it will pass is told."""
    told = _object("--cabin", "28", "--minutes", "30")["verdicts"]["cabin"]
    assert (
        "STOP: everybody out, heater off, open doors and windows: 28 ppm, 9 ppm or more is a "
        "danger; if it stays so it exceeds 6 limits, soonest WHO indoor air 2010, "
        "10 mg/m3 (8.73 ppm over 480 min)"
    ) == told["sentence"]


def test_near_a_limit_the_meter_cannot_tell() -> None:
    """A level within the meter's error of a limit is not called kept."""
    told = _object("--cabin", "2 ppm")["verdicts"]["cabin"]
    assert ("cannot tell", "carbon monoxide in the cabin") == (
        told["verdict"],
        told["weakest_reading"],
    )
    finer = _object("--cabin", "2 ppm +- 0.5 ppm")["verdicts"]["cabin"]
    assert "kept" == finer["verdict"]


@pytest.mark.parametrize(
    ("ppm", "note"),
    [
        ("10", "an EN 50291 alarm stays silent below 30 ppm: silence is not clean air"),
        ("30", "an EN 50291 alarm must not sound before 120 min at 30 ppm: do not wait for it"),
        ("50", "an EN 50291 alarm sounds after 60 to 90 min at 50 ppm"),
        ("100", "an EN 50291 alarm sounds after 10 to 40 min at 100 ppm"),
        ("300", "an EN 50291 alarm sounds within 3 min at 300 ppm"),
    ],
)
def test_what_an_alarm_would_do(ppm: str, note: str) -> None:
    """The set points of EN 50291-1:2018 are told; 30 ppm is where it must not sound early."""
    assert note in _object("--cabin", ppm)["notes"]


@pytest.mark.parametrize("option", ["--co", "--cabin"])
def test_the_caution_whenever_carbon_monoxide_is_entered(option: str) -> None:
    """Any value of carbon monoxide, even 0, brings its caution."""
    assert any(
        caution.startswith("Carbon monoxide kills without smell")
        for caution in _object(option, "0")["cautions"]
    )


def test_exhaust_gas_by_mass() -> None:
    """30 ppm is 34.35 mg/m3 at 25 C: ideal gas, 28.010 g/mol."""
    figures = _object("--co", "30")["figures"]
    assert pytest.approx(34.35, abs=0.01) == figures["co_in_the_exhaust"]["value"]
    assert pytest.approx(1.5) == figures["to_be_thinned_times"]["value"]


def test_exhaust_gas_undiluted() -> None:
    """With the oxygen beside it, CO is told as without spare air: 80 ppm x 20.95 / 11.95."""
    figures = _object("--co", "80", "--o2", "9")["figures"]
    assert pytest.approx(80 * 20.95 / 11.95) == figures["co_undiluted"]["value"]
    assert "co_undiluted" not in _object("--co", "80")["figures"]


BAD = {
    ("--co2", "18"): "`carbon dioxide in the flue gas` is 18 %: expected above 0 % and at most "
    "15.34 %",
    ("--co2", "0"): "`carbon dioxide in the flue gas` is 0 %: expected above 0 % and at most "
    "15.34 %",
    ("--o2", "120 %"): "`oxygen in the flue gas` is 120 %: expected 0 % to 20 %",
    (
        "--o2",
        "5",
        "--co2",
        "8",
    ): "`carbon dioxide in the flue gas` is 8 % with 5 % oxygen: expected "
    "11.8 % within 1 %, since light oil cannot make another pair",
    (
        "--o2",
        "5",
        "--gas-temperature",
        "10",
        "--air-temperature",
        "20",
    ): "`flue gas temperature` is 10 C: expected at least the combustion air's, 20 C",
    (
        "--o2",
        "5",
        "--gas-temperature",
        "-300",
        "--air-temperature",
        "20",
    ): "`flue gas temperature` is -300 C: expected a temperature above absolute zero, -273.15 C",
    ("--smoke", "1 0"): "`smoke spots` are 2: expected three or more",
    ("--smoke", "1 0 10"): "`smoke spot number` is 10: expected 0 to 9",
    ("--co", "-5"): "`carbon monoxide in the exhaust` is -5 ppm: expected 0 ppm to 100000 ppm",
    ("--cabin", "some"): "`carbon monoxide in the cabin` is `some`: expected a concentration, such "
    "as `35 ppm`",
    ("--cabin", "0:1 x:2"): "`carbon monoxide in the cabin` is `0:1 x:2`: expected one value, such "
    "as `35 ppm`, or minutes and values, such as `0:12 15:40 30:38`",
    (
        "--cabin",
        "10:1 5:2",
    ): "`minute of a reading` is 5 min: expected after the one before, 10 min",
    ("--cabin", "0:12"): "`readings of CO` are 1: expected two or more",
    ("--cabin", "12", "--minutes", "0"): "`minutes` is 0 min: expected above 0 min and at most "
    "1e+06 min",
    ("--altitude", "20000"): "`altitude` is 20000 m: expected -500 m to 11000 m",
    ("--o2", "5", "--fuel", "wood"): "`fuel` is `wood`: expected one of diesel, kerosene, jet "
    "kerosene",
}


@pytest.mark.parametrize("arguments", BAD)
def test_bad_values(arguments: tuple[str, ...]) -> None:
    """A value that cannot be gets one sentence on the error stream and exit code 1."""
    result = _run(*arguments)
    assert (1, "", f"{BAD[arguments]}\n") == (result.exit_code, result.stdout, result.stderr)


def test_missing_readings_without_a_terminal() -> None:
    """With nobody to ask, it says what it could say with which readings; exit code 2."""
    result = _run("--gas-temperature", "200")
    assert (
        2,
        "add `--o2` and `--air-temperature` to learn what leaves with the exhaust\n",
    ) == (
        result.exit_code,
        result.stderr,
    )


def test_json_shape() -> None:
    """The object has its fixed keys, and every figure its sum, its source and its error."""
    told = _object(
        "--o2", "10", "--gas-temperature", "300", "--air-temperature", "15", "--cabin", "0"
    )
    assert {
        "readings", "assumed", "figures", "verdicts", "fuel", "limits", "notes", "cautions",
    } == set(told)  # fmt: skip
    for each in told["figures"].values():
        assert {"value", "error", "unit", "formula", "source", "error_shares"} == set(each)
        assert each["formula"]
        assert each["source"]


def test_screen_fits() -> None:
    """Every line is within 80 columns; gas, loss and cabin together within 24 lines."""
    full = ("--o2", "10", "--co2", "8", "--gas-temperature", "350", "--air-temperature", "15",
            "--smoke", "1 0 1",
            "--altitude", "2000", "--co", "15000", "--cabin", "55")  # fmt: skip
    assert 80 > max(len(line) for line in _run(*full).stdout.splitlines())
    usual = _run(
        "--o2", "10", "--gas-temperature", "350", "--air-temperature", "15", "--co", "150"
    ).stdout.splitlines()
    assert 24 >= len(usual)


def test_asks_one_by_one_and_again(capsys: pytest.CaptureFixture[str]) -> None:
    """Readings are asked one by one; a slip is asked again; Enter leaves a part out."""
    waiting = ["ten", "10", "", "", "", "28", ""]
    ask: Callable[[str], str] = lambda question: waiting.pop(0)  # noqa: E731
    assert 0 == run_exhaust({}, ask=ask)
    out, err = capsys.readouterr()
    assert [] == waiting
    assert "`oxygen in the flue gas` is `ten`: expected a percentage, such as `5 %`\n" == err
    assert "CO in the cabin        28.0 ppm" in out
