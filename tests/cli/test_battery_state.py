"""What `diag battery` says of the battery itself: its charge and its half-crank test."""

import json
from typing import Any

import pytest
from typer.testing import CliRunner

from diag.cli.app import app

LOADED = ("--rest", "12.6", "--terminals", "11.9", "--load-amps", "50")


def _object(*arguments: str) -> dict[str, Any]:
    result = CliRunner().invoke(app, ["battery", *arguments, "--json"])
    assert 0 == result.exit_code, result.output
    parsed: dict[str, Any] = json.loads(result.stdout)
    return parsed


def _charge(volts: str, kind: str, *more: str) -> dict[str, Any]:
    told = _object(
        "--rest", volts, "--terminals", "9", "--load-amps", "50", "--chemistry", kind, *more
    )
    charge: dict[str, Any] = told["charge"]
    return charge


# BCI-derived table for flooded (from memory); makers' common table for AGM.
RESTED = [
    ("flooded", 100, "12.65"), ("flooded", 75, "12.45"), ("flooded", 50, "12.24"),
    ("flooded", 25, "12.06"), ("flooded", 0, "11.89"),
    ("AGM", 100, "12.80"), ("AGM", 75, "12.60"), ("AGM", 50, "12.30"), ("AGM", 25, "12.00"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "percent", "volts"), RESTED)
def test_charge_is_a_band_around_the_table(kind: str, percent: int, volts: str) -> None:
    """The band holds the table's charge, and is no narrower than the tables' disagreement."""
    charge = _charge(volts, kind, "--rested", "12")
    assert "band" == charge["verdict"]
    assert "rest tables" in charge["source"]
    assert charge["low"] <= percent <= charge["high"]
    assert 15 <= charge["high"] - charge["low"]


def test_other_flooded_tables_lie_in_the_band() -> None:
    """A second published table (12.4, 12.2, 12.0 V at 75, 50, 25 %; a radio mailing list) fits."""
    for percent, volts in ((75, "12.4"), (50, "12.2"), (25, "12.0")):
        charge = _charge(volts, "flooded", "--rested", "6h")
        assert charge["low"] <= percent <= charge["high"]


@pytest.mark.parametrize("volts", ["13.0", "13.1", "13.2", "13.3", "13.35"])
def test_flat_lithium_curve_is_refused(volts: str) -> None:
    """LiFePO4 from 13.0 to 13.35 V tells no charge, and says why (no standard; charts differ)."""
    charge = _charge(volts, "LiFePO4", "--rested", "12")
    assert "cannot tell" == charge["verdict"]
    assert "LiFePO4 stays between 13 and 13.35 V" in charge["reason"]


def test_meter_error_at_the_flat_part() -> None:
    """Volts just below the flat part are refused with a coarse meter and told with a fine one."""
    coarse = _charge("12.95", "LiFePO4", "--rested", "12")
    fine = _charge("12.95", "LiFePO4", "--rested", "12", "--volts-error", "0.01 V")
    assert "cannot tell" == coarse["verdict"]
    assert "12.95 V is within the meter's 0.08 V" in coarse["reason"]
    assert ("band", 10, 40) == (fine["verdict"], fine["low"], fine["high"])


def test_an_unrested_battery_is_refused() -> None:
    """Volts after less rest than the chemistry needs tell no charge (common practice)."""
    charge = _charge("12.45", "flooded", "--rested", "90 min")
    assert "cannot tell" == charge["verdict"]
    assert "flooded needs 4 h" in charge["reason"]
    assert "it had 1.5 h" in charge["reason"]


def test_a_48_v_battery_is_four_blocks() -> None:
    """48.96 V is 4 x 12.24 V, so half full like the 12 V battery."""
    charge = _charge("48.96", "flooded", "--rested", "12")
    assert charge["low"] <= 50 <= charge["high"]


# BCI practice: F as printed, and least volts at 15 s of half the cold-crank current.
CRANK = [(70, 9.6), (60, 9.5), (50, 9.4), (40, 9.3), (30, 9.1), (20, 8.9), (10, 8.7), (0, 8.5)]


@pytest.mark.parametrize(("fahrenheit", "least"), CRANK)
def test_half_crank_table(fahrenheit: int, least: float) -> None:
    """Volts above the table pass, below it fail, and on it cannot be told."""

    def said(volts: float) -> dict[str, Any]:
        told = _object("--rest", "12.5", "--terminals", f"{volts:.2f}", "--load-amps", "300",
                       "--cold-crank", "600A", "--battery-temperature",
                       f"{(fahrenheit - 32) / 1.8:.6f} C +- 0.5 C")  # fmt: skip
        verdict: dict[str, Any] = told["verdicts"]["half_crank_test"]
        return verdict

    assert "clear yes" == said(least + 0.2)["verdict"]
    assert "clear no" == said(least - 0.2)["verdict"]
    on = said(least + 0.01)
    assert ("cannot tell", "volts at half crank") == (on["verdict"], on["weakest_reading"])


def test_half_crank_needs_its_load_and_a_single_lead_battery() -> None:
    """No verdict off half the rating, in series, for lithium, or colder than the table."""
    crank = ("--cold-crank", "600A")
    asks = [
        (LOADED, "add a load of 300 A (half of 600 A) held for 15 s to learn"),
        (("--rest", "25", "--terminals", "20", "--load-amps", "300"), "single 12 V battery only"),
        (("--rest", "13", "--terminals", "10", "--load-amps", "300", "--chemistry", "LiFePO4"),
         "12 V lead battery only"),
        (("--rest", "12.6", "--terminals", "9.8", "--load-amps", "300",
          "--battery-temperature", "-25C"),
         "table ends at -18 C"),
    ]  # fmt: skip
    for arguments, says in asks:
        told = _object(*arguments, *crank)
        assert "half_crank_test" not in told["verdicts"]
        assert any(says in note for note in told["notes"])
