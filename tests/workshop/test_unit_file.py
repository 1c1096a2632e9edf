"""Where the world and the unit files disagree: the files are only what a session is told."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from diag.workshop import Fault
from diag.workshop.standing import pumped_ml, standing
from tests.workshop.runs import faulty_run, sound_run
from tests.workshop.shipped import small

UNIT = Path(__file__).parents[2] / "rules" / "units" / "small-12-v.yaml"
FAR = 0.25  # of what the file says


def _at(phase: str, how: str, channel: str) -> float:
    value: float = getattr(sound_run().trace.during(phase), how)(channel)
    return value


def _low(channel: str) -> float:
    """Read a unit that holds itself on low, its room sensor warm."""
    warm = Fault("room sensor", "offset", "plus", 25.0)
    value = faulty_run(warm, seconds=300.0).trace.during("low").last(channel)
    assert value is not None
    return value


READ: dict[str, Callable[[], float]] = {
    "ignition current": lambda: _at("glow", "typical", "amps"),
    "fan run-up current": lambda: _at("fan run-up", "highest", "amps"),
    "fuel-on current": lambda: _at("fuel", "typical", "amps"),
    "flame current": lambda: _at("flame", "typical", "amps"),
    "cool-down current": lambda: _at("cool-down", "typical", "amps"),
    "burning current full": lambda: _at("full", "typical", "amps"),
    "burning current low": lambda: _low("amps"),
    "pump rate low": lambda: _low("pump rate"),
    "pump rate full": lambda: _at("full", "typical", "pump rate"),
    "outlet air speed": lambda: _at("full", "typical", "outlet air speed"),
    "rated heat": lambda: _at("full", "highest", "heat") / 1000.0,
    "pump dose": lambda: pumped_ml(small(), 100),
    "low-voltage cut-off": lambda: small().control_unit.low_volts_v,
    "supply cable area": lambda: small().positive_cable.area_mm2,
    "duct bore": lambda: small().duct.bore_mm,
}
WITHIN: dict[str, Callable[[], float]] = {
    "standby current": lambda: standing(small(), "standby amps") * 1000.0,
    "glow plug resistance": lambda: standing(small(), "plug resistance"),
    "pump coil": lambda: standing(small(), "pump coil resistance"),
    "flame sensor": lambda: standing(small(), "flame sensor resistance") / 1000.0,
}


def _told() -> dict[str, float]:
    """Read the plain numbers of the unit file, in the units that it is written in."""
    data = yaml.safe_load(UNIT.read_text(encoding="utf-8"))["data"]
    return {name: float(str(value).split()[0]) for name, value in data.items()}


def test_the_world_is_a_unit_of_the_class_that_its_file_tells_of() -> None:
    """What the file tells is within a quarter of what the world reads, and what is not is named."""
    told = _told()
    far = {}
    for name, read in READ.items():
        if abs(read() - told[name]) > FAR * told[name]:
            far[name] = (told[name], round(read(), 2))
    print("\n".join(f"{name}: told {a}, read {b}" for name, (a, b) in far.items()))
    assert {"cool-down current"} == set(far)


@pytest.mark.parametrize("name", WITHIN)
def test_resistances_and_standby_lie_between_the_files_ends(name: str) -> None:
    """What the file gives as two ends holds the sound unit's reading between them."""
    told = _told()
    least = told.get(f"{name} low", 0.0)
    most = told.get(f"{name} high", told.get(f"{name} limit", 0.0))
    assert least < WITHIN[name]() < most
