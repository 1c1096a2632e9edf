"""`diag battery` against an uncertainty library, and what it says to bad input."""

import json
from collections.abc import Callable
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner, Result
from uncertainties import ufloat

from diag.bench.battery.sums import supply_test
from diag.cli.app import app
from diag.cli.bench.battery import run_battery
from diag.cli.bench.load_line import Mark, draw
from diag.physics.supply.battery import TheveninSource
from diag.physics.supply.verdict import Measured, SupplyTest, supply_outlook, verdict_on


def _run(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["battery", *arguments])


def _object(*arguments: str) -> dict[str, object]:
    result = _run(*arguments, "--json")
    assert 0 == result.exit_code, result.output
    parsed: dict[str, object] = json.loads(result.stdout)
    return parsed


LOADED = ("--rest", "12,6 V", "--terminals", "11.9", "--load-amps", "50A")
CABLE = ("--length", "5 m", "--area", "2.5 mm2")


@given(
    rest=st.floats(12.0, 13.0),
    drop=st.floats(0.2, 2.0),
    amps=st.floats(5.0, 200.0),
    errors=st.tuples(st.floats(0.001, 0.2), st.floats(0.001, 0.2), st.floats(0.01, 3.0)),
    circuit=st.floats(0.0, 0.2),
)
def test_errors_as_an_uncertainty_library_has_them(
    rest: float, drop: float, amps: float, errors: tuple[float, float, float], circuit: float
) -> None:
    """Values and errors equal what the `uncertainties` package carries through the same sums.

    The resistance as of readings that are out each for itself, the volts as of the wider of that
    and a voltmeter that is out the same way in both (JCGM 100:2008 F.1.2.3).
    """
    load = rest - drop
    outlook = supply_outlook(
        SupplyTest(
            Measured(rest, errors[0]), Measured(load, errors[1]), Measured(amps, errors[2]),
            5.0, 10.5, circuit,
        ),
        reserve_v=0.5,
    )  # fmt: skip
    u_rest, u_load, u_amps = (
        ufloat(value, error) for value, error in zip((rest, load, amps), errors, strict=True)
    )
    ohm = (u_rest - u_load) / u_amps
    plug = u_rest - (ohm + circuit) * 5.0
    assert pytest.approx(ohm.nominal_value) == outlook.resistance_ohm.value
    assert pytest.approx(ohm.std_dev) == outlook.resistance_ohm.error
    assert outlook.appliance_v is not None
    assert pytest.approx(plug.nominal_value) == outlook.appliance_v.value
    meter = ufloat(0.0, 1.0)
    one_rest, one_load = rest + errors[0] * meter, load + errors[1] * meter
    of_one = one_rest - ((one_rest - one_load) / u_amps + circuit) * 5.0
    assert pytest.approx(max(plug.std_dev, of_one.std_dev)) == outlook.margin_v.error
    shares = dict(outlook.shares)
    assert pytest.approx(1.0) == sum(shares.values())
    amps_part = max(plug, of_one, key=lambda wide: wide.std_dev).error_components()[u_amps]
    assert (
        pytest.approx((amps_part / outlook.margin_v.error) ** 2, abs=1e-7) == shares["load current"]
    )


@pytest.mark.parametrize(
    ("ignition", "apart", "together"), [(10.0, 0.0683, 0.0823), (25.0, 0.0575, 0.0813)]
)
def test_one_meters_error_widens_a_mean_and_narrows_a_difference(
    ignition: float, apart: float, together: float
) -> None:
    """12.60 V and 11.90 V at 50 A, each 0.5 % + 0.02 V out: worked by hand from JCGM 100:2008
    eq. 10 and 5.2.2, the volts at a current between are wider by one meter than by two, and the
    resistance never is."""
    of = (12.6, 0.083), (11.9, 0.0795)
    outlook = supply_outlook(
        SupplyTest(Measured(*of[0]), Measured(*of[1]), Measured(50.0), ignition, 10.5), 0.5
    )
    share = ignition / 50.0
    assert pytest.approx(apart, abs=1e-4) == hypot((1 - share) * of[0][1], share * of[1][1])
    assert pytest.approx(together, abs=1e-4) == outlook.terminals_v.error
    assert pytest.approx(0.0023, abs=1e-5) == outlook.resistance_ohm.error


@pytest.mark.parametrize(
    ("margin", "error", "verdict"),
    [
        (0.50, 0.0, "holds"),
        (0.70, 0.2, "holds"),
        (0.69, 0.2, "borderline"),
        (0.21, 0.2, "borderline"),
        (0.20, 0.2, "cannot tell"),
        (0.00, 0.0, "cannot tell"),
        (-0.20, 0.2, "cannot tell"),
        (-0.21, 0.2, "sags"),
    ],
)
def test_verdict_at_its_boundaries(margin: float, error: float, verdict: str) -> None:
    """A margin inside its error cannot be told; the reserve of 0.5 V must be sure to supply."""
    assert verdict == verdict_on(Measured(margin, error), 0.5)


def test_figures_of_a_sound_supply() -> None:
    """Resistance is (12.6 - 11.9) / 50, and 5 m of 2.5 mm2 is 2 x 5 x 7.98 ohm/km.

    The cable's 7.98 ohm/km: IEC 60228:2004 Table 3.
    """
    told = _object(*LOADED, *CABLE, "--joints", "10 mohm")
    figures = told["figures"]
    assert isinstance(figures, dict)
    assert {
        "battery_resistance": pytest.approx(0.014),
        "terminals_at_ignition": pytest.approx(12.46),
        "margin_to_cut_off": pytest.approx(1.062),
        "cables_and_joints": pytest.approx(0.0898),
        "connector_at_ignition": pytest.approx(11.562),
    } == {name: each["value"] for name, each in figures.items()}
    assert ("holds", "connector") == (told["verdict"], told["margin_is_of"])
    assert ["ignition-amps", "cut-off", "volts-error", "amps-error"] == told["assumed"]


def test_rest_above_12_v_can_still_fail() -> None:
    """A battery over 12 V at rest that falls to 10 V at 10 A does not supply."""
    told = _object("--rest", "12.4", "--terminals", "10.0", "--load-amps", "10")
    assert "sags" == told["verdict"]
    assert (
        "sags: the terminals would fall 0.50 V +- 0.10 below the cut-off, mostly in the "
        "battery and its clamps"
    ) == told["sentence"]


def test_a_thin_cable_is_named() -> None:
    """A sound battery behind a thin, long cable fails in the leads."""
    told = _object(*LOADED, "--length", "12", "--area", "1.5")
    assert (
        "sags: the connector would fall 1.23 V +- 0.08 below the cut-off, mostly in the "
        "cables and joints"
    ) == told["sentence"]


def test_inside_the_error_names_the_reading_to_improve() -> None:
    """A margin inside the error reads `cannot tell` and names the reading that blurs it most."""
    volts = _object("--rest", "12.4", "--terminals", "11.6", "--load-amps", "4.2")
    assert ("cannot tell", "volts under load") == (volts["verdict"], volts["weakest_reading"])
    assert (
        "cannot tell: the terminals would be 0.00 V +- 0.23 below the cut-off, inside the meters' "
        "error; take `volts under load` again, settled, with a finer meter or range, or load with "
        "nearer to 10 A"
    ) == volts["sentence"]
    amps = _object(
        "--rest", "12.4", "--terminals", "11.6", "--load-amps", "4.2", "--volts-error", "0.001 V"
    )
    assert ("cannot tell", "load current") == (amps["verdict"], amps["weakest_reading"])


def test_a_better_meter_decides() -> None:
    """The same readings with a finer meter are judged."""
    readings = ("--rest", "12.40", "--terminals", "11.50", "--load-amps", "5")
    assert "cannot tell" == _object(*readings, "--volts-error", "2 %")["verdict"]
    assert "borderline" == _object(*readings, "--volts-error", "5 mV")["verdict"]


def test_a_24_v_system_has_its_own_assumptions() -> None:
    """Above 18 V at rest, ignition is taken as 5 A and the cut-off as 21 V."""
    test, assumed = supply_test({"rest": "25.2", "terminals": "24.8", "load-amps": "20"})
    assert (5.0, 21.0) == (test.ignition_a, test.cut_off_v)
    assert ("ignition-amps", "cut-off", "volts-error", "amps-error") == assumed


def test_gauge_for_an_area() -> None:
    """An area may be given as a wire gauge: 14 AWG is 2.081 mm2 (ASTM B258)."""
    by_gauge, _ = supply_test(
        {"rest": "12.6", "terminals": "12", "load-amps": "50", "length": "5", "area": "14 AWG"}
    )
    by_area, _ = supply_test(
        {"rest": "12.6", "terminals": "12", "load-amps": "50", "length": "5", "area": "2.0809 mm2"}
    )
    assert by_area.circuit_ohm == pytest.approx(by_gauge.circuit_ohm, rel=1e-4)


BAD = {
    "12 A": "`volts at rest` is `12 A`: expected a voltage, such as `12.7 V`",
    "nan": "`volts at rest` is `nan`: expected a voltage, such as `12.7 V`",
    "inf": "`volts at rest` is `inf`: expected a voltage, such as `12.7 V`",
    "1e999": "`volts at rest` is `1e999`: expected a voltage, such as `12.7 V`",
    "": "`volts at rest` is ``: expected a voltage, such as `12.7 V`",
    "1,234.5": "`volts at rest` is `1,234.5`: expected a voltage, such as `12.7 V`",
    "12,400": "`volts at rest`: `12,400` could be 12.4 or 12400; write one of them",
    "OL": "`volts at rest`: `OL` is more than the meter shows on its range; turn it to a higher "
    "range and read it again",
    "9" * 10_000: "`volts at rest` is 10000 characters long: expected a voltage, such as `12.7 V`",
    "12\x1b[31m": "`volts at rest` is `12\\x1b[31m`: `?[31m` is no unit that I know, expected "
    "a voltage, such as `12.7 V`",
    "[red]12[/red]": "`volts at rest` is `[red]12[/red]`: expected a voltage, such as `12.7 V`",
    "0": "`volts at rest` is `0`: expected more than 0 V",
    "124 V": "`volts at rest` is `124 V`: expected at most 60 V, perhaps 12.4 V is meant",
    "12400": "`volts at rest` is `12400`: expected at most 60 V, perhaps 12.4 V is meant",
    "11.0": "`volts under load` is 11.9 V at 50 A: expected less than the 11 V at 0 A",
    "11.9": "`volts under load` equals `volts at rest`, 11.9 V: expected less; load the battery "
    "harder, or read the volts on a finer range",
}


@pytest.mark.parametrize("text", BAD, ids=lambda text: ascii(text[:12]))
def test_bad_volts(text: str) -> None:
    """A voltage that cannot be gets one sentence on the error stream and exit code 1."""
    result = _run("--rest", text, "--terminals", "11.9", "--load-amps", "50")
    assert (1, "", f"{BAD[text]}\n") == (result.exit_code, result.stdout, result.stderr)


OTHER_BAD = {
    ("--load-amps", "0"): "`load current` is `0`: expected more than 0 A",
    ("--load-amps", "5 V"): "`load current` is `5 V`: expected a current, such as `9.5 A`",
    ("--area", "0"): "`conductor area, class 5` is 0 mm2: expected 0.5 mm2 to 50 mm2",
    ("--area", "99 AWG"): "`wire gauge` is `99`: expected an AWG size from 4/0 to 56",
    ("--length", "-5"): "`cable length one way` is -5 m: expected above 0 m and at most 200 m",
    ("--joints", "5 m"): "`joint resistance` is `5 m`: expected a resistance, such as `10 mohm`",
    (
        "--ignition-amps",
        "1000",
    ): "`ignition current` is 1000 A: expected above 0 A and at most 100 A",
    ("--cut-off", "x"): "`low-voltage cut-off` is `x`: expected a voltage, such as `12.7 V`",
    ("--volts-error", "good"): "`voltmeter's error` is `good`: expected a part of the reading, a "
    "fixed part, or both, such as `1 % + 0.02 V`",
}


@pytest.mark.parametrize(("option", "text"), OTHER_BAD)
def test_other_bad_values(option: str, text: str) -> None:
    """Every option that cannot be gets one sentence and exit code 1."""
    result = _run(*LOADED, *CABLE, option, text)
    assert (1, f"{OTHER_BAD[option, text]}\n") == (result.exit_code, result.stderr)


def test_missing_readings_without_a_terminal() -> None:
    """With nobody to ask, it says what it could say with the missing readings; exit code 2."""
    result = _run("--rest", "12.4")
    assert 2 == result.exit_code
    assert (
        "add `--terminals` and `--load-amps` to learn the battery's resistance, and what its "
        "terminals see while the heater ignites\n"
    ) == result.stderr


def test_screen_fits_and_says_what_more_would_tell() -> None:
    """The screen fits 80 x 24, with and without the cable; without it, it says what is missing."""
    for arguments in (LOADED, (*LOADED, *CABLE), ("--rest", "12.4", "--terminals", "11.6",
                      "--load-amps", "4.2", "--length", "1", "--area", "16")):  # fmt: skip
        shown = _run(*arguments).stdout.splitlines()
        assert 23 >= len(shown)
        assert 80 >= max(len(line) for line in shown)
    assert "add `--length` and `--area` to learn" in _run(*LOADED).stdout


def _typing(*answers: str) -> Callable[[str], str]:
    waiting = list(answers)

    def ask(question: str) -> str:
        print(question)
        return waiting.pop(0)

    return ask


def test_asks_one_by_one_and_again(capsys: pytest.CaptureFixture[str]) -> None:
    """Missing readings are asked one by one; a slip is told and asked again, nothing is lost."""
    ask = _typing("12,6", "1190", "11,9 V", "50", "5 m", "two", "2.5", "")
    assert 0 == run_battery({}, ask=ask)
    out, err = capsys.readouterr()
    assert (
        "`volts under load` is `1190`: expected at most 60 V, perhaps 11.9 V is meant\n"
        "`conductor area` is `two`: expected an area, such as `2.5 mm2`\n"
    ) == err
    assert 2 == out.count("Volts at the terminals while the load draws?")
    assert "holds: the connector would keep 1.16 V" in out


def test_cable_may_be_skipped(capsys: pytest.CaptureFixture[str]) -> None:
    """Enter leaves the cable out, and only what was not given is asked for."""
    assert 0 == run_battery({"rest": "12.6", "load-amps": "50"}, ask=_typing("11.9", "", ""))
    assert "holds: the terminals would keep 1.96 V" in capsys.readouterr().out


def test_kind_and_rest_are_asked_for_and_one_refused_reading_again(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """With a kind the rest is asked for; a reading refused among the others is asked again."""
    first = ("12.6", "12.7", "50", "", "gell", "gel", "12", "-300", "5", "", "20")
    ask = _typing(*first, "12.0", "90")
    assert 0 == run_battery({}, ask=ask)
    out, err = capsys.readouterr()
    assert (
        "`chemistry` is `gell`: expected one of flooded, AGM, gel, LiFePO4; perhaps `gel` is "
        "meant\n"
        "`battery temperature` is -300 C: expected a temperature above absolute zero, -273.15 C\n"
        "`volts under load` is 12.7 V at 50 A: expected less than the 12.6 V at 0 A\n"
        "`glow plug time` is 20 s: expected 30 s to 180 s\n"
    ) == err
    assert "battery resistance     12.0 mohm" in out
    assert "10 A for 87 s" in out


@given(emf=st.floats(5, 30), ohm=st.floats(1e-4, 1), amps=st.floats(0.1, 500), cut=st.floats(5, 30))
def test_load_line_never_leaves_its_frame(emf: float, ohm: float, amps: float, cut: float) -> None:
    """Whatever the battery, the drawing is 11 lines of at most 70 columns."""
    source = TheveninSource(emf, ohm)
    drawn = draw(source, cut, [Mark("o", 0.0, emf), Mark("o", amps, max(0.0, emf - ohm * amps))])
    assert 11 == len(drawn)
    assert 70 >= max(len(line) for line in drawn)
