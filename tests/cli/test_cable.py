"""`diag cable` against published tables and examples, and what it says to bad input."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from diag.cli.app import app
from diag.cli.bench.cable import run_cable


def _run(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["cable", *arguments])


def _object(*arguments: str) -> dict[str, Any]:
    result = _run(*arguments, "--json")
    assert 0 == result.exit_code, result.output
    parsed: dict[str, Any] = json.loads(result.stdout)
    return parsed


POINTS = (
    "--rest", "12.6", "--terminals", "12.3", "--fused", "12.2", "--positive-pin", "11.8",
    "--negative-pin", "0.1", "--ignition-amps", "10",
)  # fmt: skip


def test_drop_of_the_standards_cable() -> None:
    """5 m one way of 2.5 mm2 is 10 m at 7.98 ohm/km (IEC 60228:2004 Table 3): 0.798 V at 10 A."""
    told = _object("--length", "5 m", "--area", "2.5 mm2")
    assert {
        "circuit_resistance": pytest.approx(0.0798),
        "drop": pytest.approx(0.798),
        "drop_of_the_supply": pytest.approx(6.65),
        "loss": pytest.approx(7.98),
    } == {name: each["value"] for name, each in told["figures"].items()}
    assert ["10 A", "12 V", "copper at 20 C"] == told["assumed"]
    assert "exceeded" == told["verdicts"]["drop"]["verdict"]


def test_warm_copper_and_joints_add_up() -> None:
    """Copper at 75 C has 1.216 times the ohm (IEC 60028); joints and holder come on top."""
    told = _object(
        "--length", "5", "--area", "2.5", "--copper-temperature", "75", "--joints", "10 mohm",
        "--fuse-holder", "3 mohm",
    )  # fmt: skip
    expected = 0.0798 * 1.21615 + 0.013
    assert pytest.approx(expected, rel=1e-6) == told["figures"]["circuit_resistance"]["value"]


@pytest.mark.parametrize(
    ("limit", "gauge", "cmil"), [("0.36 V", 10, 6271), ("3 %", 10, 6271), ("10 %", 16, 1881)]
)
def test_small_craft_worked_example(limit: str, gauge: int, cmil: int) -> None:
    """10 A over 21 ft there and back takes 10 AWG at 3 % of 12 V, 16 AWG at 10 % (ABYC E-11)."""
    sizes = _object("--length", "10.5 ft", "--limit", limit)["sizes"]
    assert (gauge, pytest.approx(cmil, abs=0.6)) == (sizes["abyc_sae_awg"], sizes["abyc_cmil"])


def test_iso_10133_worked_example() -> None:
    """1.6 A over 22 m there and back in 1.5 mm2 drops 0.3849 V (ISO 10133 Annex A)."""
    sizes = _object("--length", "11", "--ignition-amps", "1.6", "--limit", "0.3849 V")["sizes"]
    assert pytest.approx(1.5, rel=1e-3) == sizes["iso_10133_mm2"]


def test_the_real_cable_asks_for_most() -> None:
    """Class 5 at 20 C is 11 to 16 % above plain copper: where ISO 10133 takes 6, it takes 10 mm2.

    6 mm2 is 3.30 ohm/km (IEC 60228:2004 Table 3): 2 x 4.4 m x 12.5 A drops 0.363 V.
    """
    told = _object("--length", "4.4", "--ignition-amps", "12.5", "--limit", "0.36 V")
    assert (10.0, 6.0, pytest.approx(5.01, abs=0.01)) == (
        told["sizes"]["class_5_mm2"],
        told["sizes"]["iso_10133_standard_mm2"],
        told["sizes"]["iso_10133_mm2"],
    )
    assert any("ABYC E-11's 10.75 is copper at about 29 C" in note for note in told["notes"])
    assert any("local wiring rules" in note.lower() for note in told["cautions"])


def test_no_size_will_do() -> None:
    """A run that no listed size carries within the limit says so, and the rest is still told."""
    told = _object("--length", "100", "--ignition-amps", "50")
    assert "none" == told["verdicts"]["size"]["verdict"]
    assert ("no class 5 size in the table keeps 50 A over 100 m one way within 0.36 V") == told[
        "verdicts"
    ]["size"]["sentence"]


def test_a_drop_inside_its_error_is_not_judged() -> None:
    """A drop that the clamp's error carries across the limit names the clamp."""
    readings = ("--length", "5 +- 0 m", "--area", "6", "--copper-temperature", "20 +- 0 C")
    told = _object(*readings, "--ignition-amps", "10.8 A")
    assert (
        "cannot tell: the drop of 0.36 V +- 0.01 is too near the limit of 0.36 V; take `ignition "
        "current` "
        "again, with the clamp zeroed, or with a better one"
    ) == told["verdicts"]["drop"]["sentence"]
    assert "ignition current" == told["verdicts"]["drop"]["weakest_reading"]
    finer = _object(*readings, "--ignition-amps", "10.8 A +- 1 mA")
    assert "kept" == finer["verdicts"]["drop"]["verdict"]


def test_split_names_the_worst_part() -> None:
    """The parts sum to the rested volts less the unit's own, and the greatest is named."""
    told = _object(*POINTS)
    split = told["split"]
    assert pytest.approx(12.6 - (11.8 - 0.1)) == split["whole_drop_v"]
    assert [
        ("battery", pytest.approx(0.3)),
        ("joints and fuse holder", pytest.approx(0.1)),
        ("positive cable", pytest.approx(0.4)),
        ("negative cable", pytest.approx(0.1)),
    ] == [(part["part"], part["drop_v"]) for part in split["parts"]]
    assert (
        "worst: the positive cable, 0.40 V or 40 mohm"
        == (told["verdicts"]["worst_part"]["sentence"])
    )


def test_split_is_fair_to_a_long_lead() -> None:
    """With the cable known, the worst part is the one furthest above what sound cable takes."""
    told = _object(
        "--terminals", "12.3", "--fused", "12.05", "--positive-pin", "11.7",
        "--negative-pin", "0.30", "--ignition-amps", "10", "--length", "5", "--area", "1.5",
    )  # fmt: skip
    assert "joints and fuse holder" == told["verdicts"]["worst_part"]["verdict"]


def test_split_too_close_to_call() -> None:
    """Two parts within the meter's error of each other are not ranked."""
    told = _object(
        "--terminals",
        "12.30",
        "--positive-pin",
        "11.88",
        "--negative-pin",
        "0.41",
        "--ignition-amps",
        "10",
    )
    assert (
        "cannot tell whether the positive cable or the negative cable is worst: 0.42 and 0.41 V "
        "are within "
        "the meter's error of each other; take `volts at the terminals under load` again, settled, "
        "with a finer meter or range, or across the part itself"
    ) == told["verdicts"]["worst_part"]["sentence"]
    assert {"battery", "joints and fuse holder"}.isdisjoint(
        part["part"] for part in told["split"]["parts"]
    )
    assert "add `--rest` to learn the battery's own drop" in told["notes"]


RUN = ("--length", "5", "--area", "2.5")
BAD = {
    ("--length", "0"): "`cable length one way` is 0 m: expected above 0 m and at most 200 m",
    ("--length", "-5"): "`cable length one way` is -5 m: expected above 0 m and at most 200 m",
    ("--length", "5 V"): "`cable length one way` is `5 V`: expected a length, such as `5 m`",
    ("--area", "0"): "`conductor area, class 5` is 0 mm2: expected 0.5 mm2 to 50 mm2",
    ("--area", "99 AWG"): "`wire gauge` is `99`: expected an AWG size from 4/0 to 56",
    ("--ignition-amps", "0"): "`ignition current` is 0 A: expected above 0 A and at most 2000 A",
    (
        "--ignition-amps",
        "5 +- good",
    ): "`error of ignition current` is `good`: expected a part of the reading, a "
    "fixed part, or both, such as `1 % + 0.02 A`",
    ("--supply", "0"): "`supply voltage` is 0 V: expected above 0 V and at most 60 V",
    (
        "--copper-temperature",
        "-300",
    ): "`conductor temperature` is -300 C: expected a temperature above absolute zero, -273.15 C",
    ("--strand", "fine"): "`strand` is `fine`: expected one of class 5, class 5 metal-coated, "
    "class 2, class 2 metal-coated, solid",
    ("--joints", "20"): "`joint resistance` is 20 ohm: expected 0 ohm to 10 ohm",
    ("--limit", "0"): "`drop limit` is 0 %: expected above 0 % and at most 100 %",
    ("--limit", "101 %"): "`drop limit` is 101 %: expected above 0 % and at most 100 %",
    ("--limit", "[red]1[/red]"): "`drop limit` is `[red]1[/red]`: expected a percentage, such as "
    "`5 %`",
}


@pytest.mark.parametrize(("option", "text"), BAD)
def test_bad_values_of_a_run(option: str, text: str) -> None:
    """A value that cannot be gets one sentence on the error stream and exit code 1."""
    result = _run(*RUN, option, text)
    assert (1, "", f"{BAD[option, text]}\n") == (result.exit_code, result.stdout, result.stderr)


def test_volts_that_rise_on_the_way() -> None:
    """Volts that rise away from the battery are refused, naming both readings."""
    result = _run(*POINTS, "--fused", "12.5")
    assert (
        1,
        "`volts behind the fuse holder` is 12.5 V: expected at most the `volts at the terminals "
        "under "
        "load`, 12.3 V\n",
    ) == (result.exit_code, result.stderr)


def test_nothing_given_and_nobody_to_ask() -> None:
    """With nobody to ask, it says what it could say with which readings; exit code 2."""
    result = _run()
    assert (
        2,
        "add `--length` to learn the smallest standard size for the run; add `--length` and "
        "`--area` to learn the drop and loss of the cable that is there; add `--terminals`, "
        "`--positive-pin` and `--negative-pin` to learn where the volts are lost\n",
    ) == (result.exit_code, result.stderr)


def test_split_without_its_current() -> None:
    """A split needs the current that flowed; it is never assumed."""
    result = _run("--terminals", "12.3", "--positive-pin", "11.8", "--negative-pin", "0.1")
    assert (2, "add `--ignition-amps` to learn where the volts are lost\n") == (
        result.exit_code,
        result.stderr,
    )


def test_json_shape() -> None:
    """The object has its fixed keys, and every figure its sum, its source and its error."""
    told = _object(*RUN, *POINTS)
    assert {
        "readings", "assumed", "figures", "verdicts", "strand", "drop_limit_v", "sizes", "split",
        "notes", "cautions",
    } == set(told)  # fmt: skip
    for each in told["figures"].values():
        assert {"value", "error", "unit", "formula", "source", "error_shares"} == set(each)
        assert each["formula"]
        assert each["source"]
    assert {"drop", "size", "worst_part"} == set(told["verdicts"])


def test_screen_fits() -> None:
    """Every line is within 80 columns, and a run alone within 24 lines."""
    assert 24 >= len(_run(*RUN).stdout.splitlines())
    for arguments in (RUN, POINTS, (*RUN, *POINTS), ("--length", "100", "--ignition-amps", "1000")):
        shown = _run(*arguments).stdout.splitlines()
        assert 80 > max(len(line) for line in shown)


def _typing(*answers: str) -> Callable[[str], str]:
    waiting = list(answers)
    return lambda question: waiting.pop(0)


def test_asks_one_by_one_and_again(capsys: pytest.CaptureFixture[str]) -> None:
    """Missing readings are asked one by one; a slip is told and asked again, nothing is lost."""
    assert 0 == run_cable({}, ask=_typing("five", "5 m", "2.5", "", "8 A"))
    out, err = capsys.readouterr()
    assert "`cable length one way` is `five`: expected a length, such as `5 m`\n" == err
    assert "times 8 A" in out


def test_a_refused_point_is_asked_again(capsys: pytest.CaptureFixture[str]) -> None:
    """Volts that rise on the way cost only the one reading; what was entered stays."""
    ask = _typing("", "12.3", "12.5", "0.1", "10", "11.8")
    assert 0 == run_cable({}, ask=ask)
    out, err = capsys.readouterr()
    assert (
        "`volts at the positive pin` is 12.5 V: expected at most the `volts behind the fuse "
        "holder`, "
        "12.3 V\n"
    ) == err
    assert "worst: the positive cable, 0.50 V or 50 mohm" in out
