"""`diag heat` against the trade's own numbers and a Monte Carlo, and what it says to bad input."""

import random
from statistics import fmean, stdev

import pytest

from diag.bench.figures import Measurement
from diag.bench.heat.sums import Side, air_side, fuel_side
from diag.cli.bench.heat import run_heat
from tests.cli.heat_runs import answering, run, told_object

PUMP = ("--rate", "5", "--dose", "2.0 ml")
DUCT = ("--speed", "12.5", "--bore", "60", "--inlet", "18", "--outlet", "105")


@pytest.mark.parametrize(
    ("rate", "flow", "power"), [("1.6", 0.115, 1.15), ("3", 0.216, 2.15), ("5", 0.36, 3.6)]
)
def test_low_mid_and_full(rate: str, flow: float, power: float) -> None:
    """2.0 ml in 100 pulses at 1.6, 3 and 5 a second: common practice, no source."""
    figures = told_object("--rate", rate, "--dose", "2.0")["figures"]
    assert pytest.approx(flow, abs=0.0006) == figures["fuel_flow"]["value"]
    assert pytest.approx(power, rel=0.01) == figures["fuel_power"]["value"]


def test_full_power_at_the_centre() -> None:
    """12.5 m/s at the centre of 60 mm, 18 to 105 C: 2.3 to 2.4 kW. Common practice, no source."""
    told = told_object(*PUMP, *DUCT)
    heat, efficiency = (told["figures"][name]["value"] for name in ("heat_out", "efficiency"))
    assert 2.3 < heat < 2.4
    assert 62 < efficiency < 70
    assert "balanced" == told["verdicts"]["balance"]["verdict"]


def test_the_same_speed_taken_as_the_mean() -> None:
    """Without the centre-line correction it is about 2.9 kW: common practice, no source."""
    heat = told_object(*PUMP, *DUCT, "--at", "mean")["figures"]["heat_out"]["value"]
    assert pytest.approx(2.9, abs=0.05) == heat


def test_a_claim_of_5_kw_is_impossible() -> None:
    """5 kW from 5 pulses of 0.02 ml needs about 140 %: common practice, no source."""
    told = told_object(*PUMP, "--claimed-heat", "5 kW")
    assert "impossible" == told["verdicts"]["balance"]["verdict"]
    assert (
        "impossible: 5.00 kW of heat from 3.58 kW of fuel is 139.8 % +- 5.8; even with nothing "
        "lost it takes 7.0 pulses a second, or 2.80 ml in 100 pulses"
    ) == told["verdicts"]["balance"]["sentence"]


def test_impossible_names_the_likeliest_slip() -> None:
    """More heat than fuel with the speed taken as the mean: it was the centre's."""
    told = told_object(
        "--rate", "5 +- 1 %", "--dose", "2 +- 1 %", "--speed", "16.2 +- 1 %", "--at", "mean",
        "--bore", "60 +- 0.1", "--inlet", "18", "--outlet", "105",
    )  # fmt: skip
    assert (
        "impossible: 3.75 kW of heat from 3.58 kW of fuel is 104.8 % +- 3.7; even with nothing "
        "lost it takes 5.2 pulses a second, or 2.10 ml in 100 pulses; likeliest slip: the air "
        "speed was taken as the mean, but read at the centre (it would be 13.2 m/s)"
    ) == told["verdicts"]["balance"]["sentence"]


def test_a_greater_excess_points_elsewhere() -> None:
    """Where centre for mean explains too little, the inlet's place is likelier."""
    told = told_object(
        *PUMP, "--speed", "18.5", "--at", "mean", "--bore", "60", "--inlet", "18", "--outlet", "105"
    )
    assert told["verdicts"]["balance"]["sentence"].endswith(
        "likeliest slip: the inlet temperature was measured in the wrong place (it would be 43.2 C)"
    )


def test_near_100_percent_cannot_be_told() -> None:
    """An efficiency whose error spans 100 % is not called impossible, and the blur is named."""
    told = told_object(
        *PUMP, "--speed", "15.5", "--at", "mean", "--bore", "60", "--inlet", "18", "--outlet", "105"
    )
    assert "cannot tell" == told["verdicts"]["balance"]["verdict"]
    assert told["verdicts"]["balance"]["sentence"].startswith(
        "cannot tell if it is possible: 100.3 % +- 6.2 is too near 100 %; take `air speed` again, "
        "as a traverse by `--traverse`"
    )


def test_stopwatch_count_gives_the_rate() -> None:
    """150 pulses in 30 s are 5 a second; a longer count has the smaller error."""
    short = told_object("--pulses", "150", "--seconds", "30", "--dose", "2")["figures"]
    long = told_object("--pulses", "600", "--seconds", "120", "--dose", "2")["figures"]
    assert (5.0, 5.0) == (short["pulse_rate"]["value"], long["pulse_rate"]["value"])
    assert pytest.approx(short["pulse_rate"]["error"] / 4) == long["pulse_rate"]["error"]


def test_traverse_gives_the_mean() -> None:
    """Six points by ISO 3966 weigh the same; decimal commas are read."""
    told = told_object(
        "--traverse", "8,1 9.6 10.9 10.8 9.7 8.0", "--bore", "60", "--inlet", "18", "--outlet",
        "105",
    )  # fmt: skip
    assert pytest.approx(57.1 / 6) == told["figures"]["mean_air_speed"]["value"]
    assert "traverse by ISO 3966" in told["figures"]["heat_out"]["source"]


def test_thin_air_carries_less() -> None:
    """At 2000 m the pressure is 0.78462 of sea level's (ISO 2533), and the heat with it."""
    low = told_object(*DUCT)["figures"]["heat_out"]["value"]
    high = told_object(*DUCT, "--altitude", "2000 m")["figures"]["heat_out"]["value"]
    assert pytest.approx(0.78462, rel=1e-4) == high / low


def test_errors_as_a_monte_carlo_has_them() -> None:
    """The efficiency's error to first order is within 5 % of 40 000 random draws' spread."""
    answers = {
        "rate": "5", "dose": "2.0", "speed": "12.5", "bore": "60", "inlet": "18", "outlet": "105",
    }  # fmt: skip
    fuel, air = fuel_side(answers), air_side(answers)
    draw = random.Random(7)

    def drawn_of(reading: Measurement) -> float:
        value = draw.gauss(reading.value, reading.error)
        return min(12.0, max(4.0, value)) if reading.name == "velocity profile" else value

    def side(of: Side) -> float:
        return of.compute(*(drawn_of(reading) for reading in of.readings))

    drawn = [100 * side(air) / side(fuel) for _ in range(40_000)]
    told = told_object(*PUMP, *DUCT)["figures"]["efficiency"]
    assert pytest.approx(fmean(drawn), rel=0.01) == told["value"]
    assert pytest.approx(stdev(drawn), rel=0.05) == told["error"]


def test_a_reading_may_carry_its_own_error() -> None:
    """A better meter, typed beside its reading, makes the result finer."""
    usual = told_object(*PUMP, *DUCT)["figures"]["efficiency"]["error"]
    finer = told_object(*PUMP, *DUCT, "--dose", "2.0 ml +- 0.5 %")
    assert finer["figures"]["efficiency"]["error"] < usual
    assert not finer["readings"]["dose_of_100_pulses"]["error_assumed"]
    memory = told_object(*PUMP, *DUCT, "--dose-from-memory")
    assert "dose of 100 pulses" == memory["verdicts"]["balance"]["weakest_reading"]


def test_a_weak_pump_is_told_from_a_blocked_duct() -> None:
    """Little fuel with its fair share of heat is the pump; good fuel and a hot outlet the duct."""
    pump = told_object(
        "--rate", "5", "--dose", "1.6", "--expected-dose", "2.0", "--speed", "9.8", "--bore", "60",
        "--inlet", "18", "--outlet", "105",
    )["verdicts"]  # fmt: skip
    assert ("balanced", "weak", "open") == tuple(
        pump[about]["verdict"] for about in ("balance", "pump", "duct")
    )
    duct = told_object(
        *PUMP, "--expected-dose", "2.0", "--speed", "6", "--bore", "60", "--inlet", "18",
        "--outlet", "130",
    )["verdicts"]  # fmt: skip
    assert ("lost", "good", "blocked") == tuple(
        duct[about]["verdict"] for about in ("balance", "pump", "duct")
    )
    assert (
        "blocked duct: the air warms by 112.0 K +- 2.2, above 100 K, so too little passes; look "
        "for a crushed or covered duct, a covered inlet, a slow fan"
    ) == duct["duct"]["sentence"]


def test_a_pump_near_its_limit_cannot_be_told() -> None:
    """A dose within its error of 0.85 of what is expected is not judged."""
    told = told_object("--rate", "5", "--dose", "1.72", "--expected-dose", "2.0")
    told = told["verdicts"]["pump"]
    assert ("cannot tell", "dose of 100 pulses") == (told["verdict"], told["weakest_reading"])
    assert (
        "cannot tell if the pump is weak: 1.720 ml +- 0.052 in 100 pulses against 2 ml; take "
        "`dose of 100 pulses` again, with 200 pulses in a narrow measuring cylinder"
    ) == told["sentence"]


def test_what_a_run_takes() -> None:
    """Tank and battery last their content over the flow; electricity is power over heat."""
    figures = told_object(
        *PUMP, *DUCT, "--tank", "9", "--running-amps", "1.5", "--capacity", "100", "--supply", "12"
    )["figures"]
    assert pytest.approx(25.0) == figures["hours_on_a_tank"]["value"]
    assert pytest.approx(100 * 0.5 / 1.5) == figures["hours_on_a_battery"]["value"]
    heat = figures["heat_out"]["value"]
    assert pytest.approx(18 / heat) == figures["electricity_per_kwh"]["value"]


BAD = {
    ("--rate", "0"): "`pulse rate` is 0 Hz: expected above 0 Hz and at most 50 Hz",
    ("--rate", "5 V"): "`pulse rate` is `5 V`: expected a rate, such as `5 Hz`",
    ("--dose", "0"): "`dose of 100 pulses` is 0 ml: expected above 0 ml and at most 100 ml",
    ("--speed", "0"): "`air speed` is 0 m/s: expected above 0 m/s and at most 60 m/s",
    ("--bore", "0"): "`duct bore` is 0 mm: expected above 0 mm and at most 1000 mm",
    ("--bore", "-60"): "`duct bore` is -60 mm: expected above 0 mm and at most 1000 mm",
    ("--outlet", "18"): "`outlet temperature` is 18 C: expected above the inlet temperature, 18 C",
    ("--outlet", "warm"): "`outlet temperature` is `warm`: expected a temperature, such as `18 C`",
    ("--inlet", "-300"): "`inlet temperature` is -300 C: expected a temperature above absolute "
    "zero, -273.15 C",
    ("--fuel", "petrol"): "`fuel` is `petrol`: expected one of diesel, kerosene, jet kerosene",
    ("--at", "edge"): "`at` is `edge`: expected one of centre, mean",
    ("--altitude", "20000"): "`altitude` is 20000 m: expected -500 m to 11000 m",
    ("--pressure", "100"): "`sea-level pressure` is 10000 Pa: expected 87000 Pa to 109000 Pa",
    ("--tank", "0"): "`tank` is 0 l: expected above 0 l and at most 10000 l",
}


@pytest.mark.parametrize(("option", "text"), BAD)
def test_bad_values(option: str, text: str) -> None:
    """A value that cannot be gets one sentence on the error stream and exit code 1."""
    result = run(*PUMP, *DUCT, option, text)
    assert (1, "", f"{BAD[option, text]}\n") == (result.exit_code, result.stdout, result.stderr)


OTHER_BAD = {
    ("--pulses", "0", "--seconds", "30", "--dose", "2"): "`pulses` is 0: expected above 0 and at "
    "most 100000",
    ("--pulses", "150", "--seconds", "0", "--dose", "2"): "`counting time` is 0 s: expected above "
    "0 s and at most 86400 s",
    ("--traverse", "8 9 10 9", "--bore", "60", "--inlet", "18", "--outlet", "105"): "`traverse` "
    "has 4 points: expected 6 along each diameter",
    (
        *PUMP,
        "--running-amps",
        "3",
        "--capacity",
        "100",
        "--used",
        "120",
    ): "`share of the capacity used` is 120 %: expected 0 % to 100 %",
    (
        *PUMP,
        "--running-amps",
        "0",
        "--capacity",
        "100",
    ): "`running current` is 0 A: expected above 0 A and at most 200 A",
    (
        *PUMP,
        "--claimed-heat",
        "0",
    ): "`claimed heat` is 0 kW: expected above 0 kW and at most 200 kW",
    (*PUMP, "--expected-dose", "0"): "`expected dose of 100 pulses` is 0 ml: expected above 0 ml "
    "and at most 100 ml",
}


@pytest.mark.parametrize("arguments", OTHER_BAD)
def test_bad_readings(arguments: tuple[str, ...]) -> None:
    """Readings that cannot be together get one sentence and exit code 1."""
    result = run(*arguments)
    assert (1, f"{OTHER_BAD[arguments]}\n") == (result.exit_code, result.stderr)


WRONG_USE = {
    (): "add `--rate` and `--dose` to learn fuel flow and power; add `--speed`, `--bore`, "
    "`--inlet` and `--outlet` to learn the heat in the air",
    ("--speed", "9"): "add `--bore`, `--inlet` and `--outlet` to learn the heat in the air",
    (*PUMP, "--pulses", "9"): "give `--rate` or `--pulses`, not both: I cannot tell which to take",
    ("compare", "LIB-03: 1 kW 0.1 l/h 1 A"): "give two runs or more, such as 'LIB-03: 1.1 kW 0.15 "
    "l/h 0.9 A 38 dB; 2.2 kW 0.3 l/h 3 A', to learn which one costs less",
}


@pytest.mark.parametrize("arguments", WRONG_USE)
def test_missing_readings_without_a_terminal(arguments: tuple[str, ...]) -> None:
    """With nobody to ask, it says what it could say with which readings; exit code 2."""
    result = run(*arguments)
    assert (2, f"{WRONG_USE[arguments]}\n") == (result.exit_code, result.stderr)


def test_json_shape() -> None:
    """The object has its fixed keys, and every figure its sum, its source and its error."""
    told = told_object(*PUMP, *DUCT)
    assert {"readings", "assumed", "figures", "verdicts", "notes", "cautions"} == set(told)
    for each in told["figures"].values():
        assert {"value", "error", "unit", "formula", "source", "error_shares"} == set(each)
        assert each["formula"]
        assert each["source"]
        assert pytest.approx(1.0) == sum(each["error_shares"].values())
    assert any("carbon monoxide" in caution for caution in told["cautions"])


def test_screen_fits() -> None:
    """The fullest screen is within 80 columns and 24 lines."""
    shown = run(
        *PUMP,
        *DUCT,
        "--tank",
        "9",
        "--running-amps",
        "1.5",
        "--capacity",
        "100",
        "--expected-dose",
        "2",
    ).stdout.splitlines()
    assert 24 >= len(shown)
    assert 80 > max(len(line) for line in shown)


def test_asks_one_by_one_and_again(capsys: pytest.CaptureFixture[str]) -> None:
    """Missing readings are asked one by one; a slip is asked again; Enter leaves a side out."""
    assert 0 == run_heat({}, ask=answering("five", "5", "2,0", ""))
    out, err = capsys.readouterr()
    assert "`pulse rate` is `five`: expected a rate, such as `5 Hz`\n" == err
    assert "fuel power             3.58 kW +- 0.15" in out


def test_a_refused_pair_is_asked_again(capsys: pytest.CaptureFixture[str]) -> None:
    """Readings refused together cost only one of them; all else that was entered stays."""
    ask = answering("5", "2", "12.5", "60", "18", "10", "0", "105")
    assert 0 == run_heat({}, ask=ask)
    out, err = capsys.readouterr()
    assert (
        "`outlet temperature` is 10 C: expected above the inlet temperature, 18 C\n"
        "`outlet temperature` is 0 C: expected above the inlet temperature, 18 C\n"
    ) == err
    assert "balanced: 66.0 % +- 4.5 reaches the air" in out
