"""Where batteries freeze, against two published tables, and what that leaves of a start."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from diag.cli.app import app
from diag.physics.supply.charge import Chemistry
from diag.physics.supply.frost import (
    coldest_bearable_c,
    freezing_point_c,
    may_be_frozen,
)
from diag.physics.supply.ignition import (
    IgnitionLoad,
    coldest_ignition_c,
    emptiest_ignition_percent,
)

EASY = IgnitionLoad(1.0, 0.01, 10.5)


@pytest.mark.parametrize(
    ("percent", "freezes_c"),
    [(100, -59.5), (75, -37.2), (50, -26.1), (25, -15.0), (0, -9.4)],
)
def test_freezing_by_charge(percent: float, freezes_c: float) -> None:
    """Acid of 1.265 when full freezes as US Army TM 5-3820-256-24-4 Table 2 has it."""
    assert freezes_c == freezing_point_c(percent)


@pytest.mark.parametrize(("density", "freezes_c"), [(1.150, -15.0), (1.200, -26.7), (1.250, -52.2)])
def test_freezing_by_density(density: float, freezes_c: float) -> None:
    """US Army OD1002 lesson 2 gives it by density, 1.120 empty and 1.265 full; within 3 K."""
    percent = (density - 1.120) / (1.265 - 1.120) * 100.0
    assert pytest.approx(freezes_c, abs=3.5) == freezing_point_c(percent)


@given(st.floats(0, 100), st.sampled_from(["flooded", "AGM", "gel"]))
def test_no_start_is_promised_on_ice(percent: float, chemistry: Chemistry) -> None:
    """However small the load, the coldest start of a lead battery lies above its freezing point."""
    coldest = coldest_ignition_c(0.001, EASY, chemistry, percent)
    assert coldest.kind == "never" or not may_be_frozen(chemistry, coldest.value + 1e-6, percent)


@given(st.floats(-30, -7))
def test_no_emptiest_start_is_frozen(temperature_c: float) -> None:
    """However small the load, the emptiest start at a temperature is not yet ice."""
    emptiest = emptiest_ignition_percent(0.001, EASY, "flooded", temperature_c)
    assert freezing_point_c(emptiest.value) < temperature_c


def test_lithium_gives_no_current_below_minus_20() -> None:
    """Manuals allow discharge of LiFePO4 down to -20 C (two manuals, from memory)."""
    assert -20.0 == coldest_bearable_c("LiFePO4", 50.0)
    assert pytest.approx(-20.0, abs=1e-6) == coldest_ignition_c(0.001, EASY, "LiFePO4").value
    assert not may_be_frozen("LiFePO4", -40.0, 10.0)


def test_a_frozen_battery_is_not_called_able_to_start() -> None:
    """At 12.0 V and -20 C the acid, of some 1.155, is ice: -15 C by US Army TM 5-3820, Table 2."""
    told = json.loads(
        CliRunner()
        .invoke(
            app,
            ["battery", "--rest", "12.0", "--terminals", "10.45", "--load-amps", "10",
             "--chemistry", "flooded", "--rested", "12h", "--battery-temperature=-20C", "--json"],
        )
        .output
    )  # fmt: skip
    assert "may be frozen" == told["verdicts"]["frost"]["verdict"]
    assert "do not charge, load or start" in told["verdicts"]["frost"]["sentence"]
    assert any("neither charged nor loaded" in caution for caution in told["cautions"])
