"""The engine knows no word of the trade: all of that stands in rules and physics."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "diag"
ENGINE = ("model", "rulebook", "reason", "session", "store", "library")
NOUNS = (
    "heater", "battery", "batteries", "fuel", "diesel", "kerosene", "glow", "plug", "pump",
    "flame", "smoke", "exhaust", "burner", "ignition", "igniter", "thermostat", "carbon",
    "monoxide", "duct", "fan", "soot", "flash", "tank", "combustion",
)  # fmt: skip
WORD = re.compile(rf"\b({'|'.join(NOUNS)})s?\b", re.IGNORECASE)


@pytest.mark.parametrize("layer", ENGINE)
def test_the_engine_has_no_noun_of_the_trade(layer: str) -> None:
    """Neither code nor comment of these layers names anything of the trade."""
    files = sorted((PACKAGE / layer).rglob("*.py"))
    assert files
    found = [
        f"{path.relative_to(PACKAGE)}:{number}: {match.group()}"
        for path in files
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        for match in [WORD.search(line)]
        if match
    ]
    assert found == []


def test_the_search_finds_what_it_looks_for() -> None:
    """The pattern does match the trade's nouns, alone and in the plural."""
    assert WORD.search("two fans and a Heater") is not None
    assert WORD.search("fantastic") is None
