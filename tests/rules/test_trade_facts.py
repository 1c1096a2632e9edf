"""What every fitter knows, told by the tool: common practice, no source."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from diag.cli.ask.run import run_ask
from diag.cli.book import load_book
from tests.dangers.shipped import sound

UNIT = """\
source: common practice
unit: simple panel
title: A small heater with a simple panel
based on: small 12 V
data: {nominal voltage: 12 V}
codes: {3: ignition circuit}
"""

VOLTS_UNDER_LOAD = {
    "volts at the heater while igniting",
    "volts at the terminals while igniting",
}


def ask(
    readings: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> dict[str, Any]:
    home = tmp_path / "home"
    (home / "units").mkdir(parents=True, exist_ok=True)
    (home / "units" / "simple-panel.yaml").write_text(UNIT, encoding="utf-8")
    monkeypatch.setenv("DIAG_HOME", str(home))
    file = tmp_path / "readings.yaml"
    file.write_text(readings, encoding="utf-8")
    code = run_ask(unit="simple panel", complaint="shows a fault", readings=str(file), as_json=True)
    assert code == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def probability(found: dict[str, Any], cause: str) -> float:
    return next((one["probability"] for one in found["causes"] if one["id"] == cause), 0.0)


def test_three_flashes_and_a_charger_that_helps_mean_the_supply(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Over 12 V at rest, ignition-circuit flashes and lighting on a charger: battery or leads
    first, the plug well below (common practice, no source)."""
    readings = "volts at rest: 12.4 V\nflash count: 3\ncharger helps: yes\n"
    found = ask(readings, tmp_path, monkeypatch, capsys)
    assert found["causes"][0]["id"] == "worn battery"
    assert found["causes"][0]["area"] == "supply"
    plug = sum(
        probability(found, name)
        for name in ("glow plug open circuit", "glow plug aged", "glow plug coked")
    )
    supply = sum(one["probability"] for one in found["causes"] if one["area"] == "supply")
    assert supply > 4 * plug


def test_before_the_charger_a_voltage_under_load_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A voltage under load comes before the charger, and long before the plug is taken out; before
    it come words with the owner, and what the same start shows (common practice, no source)."""
    book = load_book()
    told = {**dict.fromkeys(book.asked_first, "no"), "volts at rest": "12.4 V", "flash count": "3"}
    name = ""
    while name not in VOLTS_UNDER_LOAD:
        readings = "".join(f"{name}: {value}\n" for name, value in told.items())
        found = ask(readings, tmp_path, monkeypatch, capsys)
        name = found["next"]["finding"]
        check = book.checks[found["next"]["check"]]
        assert check.access == "ask" or check.run == "one start"
        told[name] = str(sound("small 12 V").get(name, "0.03 A"))
    assert "fault code is ignition circuit" in [fact["fact"] for fact in found["facts"]]
    assert found["verdict"] == "keep looking"


def test_a_danger_outranks_everything(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With a carbon monoxide alarm the verdict is to stop, and nothing is asked next."""
    found = ask("co alarm: yes\nvolts at rest: 12.4 V\n", tmp_path, monkeypatch, capsys)
    assert found["verdict"] == "stop"
    assert [one["danger"] for one in found["dangers"]] == ["carbon monoxide"]
    assert found["next"] is None
