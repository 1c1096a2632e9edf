"""`diag heat compare` as its user meets it: units side by side for the same heat."""

from pathlib import Path

import pytest

from diag.bench.heat.compare import read_run
from diag.cli.bench.compare import run_compare
from tests.cli.heat_runs import answering, run, told_object

BIG = "ROAD-07: 2.2 kW 0.31 l/h 1.5 A 45 dB; 5 kW 0.7 l/h 4 A 62 dB"
SMALL = "LIB-03: 1.1 kW 0.15 l/h 0.9 A 38 dB; 2.2 kW 0.32 l/h 3 A 58 dB"


def test_a_big_unit_on_low_against_a_small_one_flat_out() -> None:
    """For the same heat the big one draws 1.5 A against 3 A: common practice, no source."""
    told = told_object("compare", SMALL, BIG)
    assert 2.2 == told["wanted_kw"]
    assert [("LIB-03", "flat out", 3.0), ("ROAD-07", "steady", 1.5)] == [
        (each["name"], each["manner"], each["current_a"]) for each in told["deliveries"]
    ]
    assert (
        "ROAD-07 draws less current by 1.50 A +- 0.29" == (told["verdicts"]["current"]["sentence"])
    )
    assert (
        "cannot tell which burns less fuel: they differ by 0.010 l/h +- 0.032; take `heat of "
        "LIB-03` again, more carefully"
    ) == told["verdicts"]["fuel"]["sentence"]


def test_compare_with_better_meters() -> None:
    """A finer error, given as an option, lets the same runs be told apart."""
    told = told_object("compare", SMALL, BIG, "--fuel-error", "0.5 %", "--heat-error", "0.5 %")
    assert "ROAD-07" == told["verdicts"]["fuel"]["verdict"]


def test_compare_for_less_heat_than_the_big_one_can_hold() -> None:
    """Below its lowest level a unit switches on and off, and takes that share of its fuel."""
    told = told_object("compare", SMALL, BIG, "--wanted-heat", "1.1")
    big = told["deliveries"][1]
    assert ("on and off", pytest.approx(0.5)) == (big["manner"], big["running_share"])
    assert pytest.approx(0.155) == big["fuel_l_per_h"]


def test_a_run_that_falls_short_wins_nothing() -> None:
    """A unit that cannot give the heat is left out of the verdicts, and that is said."""
    told = told_object("compare", SMALL, BIG, "--wanted-heat", "4")
    assert {} == told["verdicts"]
    assert "LIB-03 cannot give 4 kW, so it is left out of what is said" in told["notes"]


def test_runs_from_a_file_and_from_a_pipe(tmp_path: Path) -> None:
    """Runs may stand one a line in a file or come by pipe, with notes behind `#`."""
    text = f"# invented units\n{SMALL}\n{BIG}  # on loan\n"
    path = tmp_path / "runs.txt"
    path.write_text(text)
    by_file = run("compare", "--file", str(path))
    assert by_file.stdout == run("compare", "--file", "-", text=text).stdout
    assert by_file.stdout == run("compare", SMALL, BIG).stdout
    assert 80 > max(len(line) for line in by_file.stdout.splitlines())
    assert 24 >= len(by_file.stdout.splitlines())


def test_compare_asks_for_runs(capsys: pytest.CaptureFixture[str]) -> None:
    """Runs are asked until Enter, a bad one again."""
    assert 0 == run_compare((SMALL,), ask=answering("ROAD-07", BIG, ""))
    out, err = capsys.readouterr()
    assert err.startswith("`run` is `ROAD-07`: expected a name of at most 12 characters, a colon")
    assert "ROAD-07 is quieter by 13.0 dB +- 2.1" in out


BAD_RUNS = {
    "A: 1 kW 0.1 l/h": "`level of A` is `1 kW 0.1 l/h`: expected heat in kW, fuel in l/h, current "
    "in A and, if known, noise in dB",
    "A: 1 kW 0.1 l/h 1 V": "`level of A` is `1 kW 0.1 l/h 1 V`: expected heat in kW, fuel in l/h, "
    "current in A and, if known, noise in dB",
    "A: -1 kW 0.1 l/h 1 A": "`heat of A` is -1 kW: expected above 0 kW and at most 200 kW",
    "A: 1.2.3 kW 0.1 l/h 1 A": "`level of A` is `1.2.3 kW`: expected a power, such as `2.3 kW`",
    "A: 1 kW 0.1 l/h 1 A 900 dB": "`noise of A` is 900 dB: expected 0 dB to 150 dB",
    "A:": "`run` is `A:`: expected levels behind the colon, such as 'LIB-03: 1.1 kW 0.15 l/h 0.9 "
    "A 38 dB; 2.2 kW 0.3 l/h 3 A'",
}


@pytest.mark.parametrize("text", BAD_RUNS)
def test_bad_runs(text: str) -> None:
    """A run that cannot be read gets one sentence."""
    with pytest.raises(ValueError) as told:  # noqa: PT011 (the whole message is held below)
        read_run(text)
    assert BAD_RUNS[text] == str(told.value)


OTHER_RUNS = {
    (SMALL, SMALL): "`run` is `LIB-03` twice: expected a name of its own for each",
    (
        SMALL,
        BIG,
        "--wanted-heat",
        "0",
    ): "`wanted heat` is 0 kW: expected above 0 kW and at most 200 kW",
    (SMALL, "A: 0 kW 0.1 l/h 1 A"): "`heat of A` is 0 kW: expected above 0 kW and at most 200 kW",
    (SMALL, BIG, "--fuel-error", "x"): "`error of fuel` is `x`: expected a part of the reading, a "
    "fixed part, or both, such as `1 % + 0.02 l/h`",
}


@pytest.mark.parametrize("arguments", OTHER_RUNS)
def test_runs_that_cannot_be_compared(arguments: tuple[str, ...]) -> None:
    """Runs that cannot be compared get one sentence and exit code 1."""
    result = run("compare", *arguments)
    assert (1, "", f"{OTHER_RUNS[arguments]}\n") == (
        result.exit_code,
        result.stdout,
        result.stderr,
    )
