"""Plain words in readings files: heard as at a prompt, told back, and never passed over."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.test_ask import diag


def test_readings_files_take_the_same_words(tmp_path: Path) -> None:
    """What is told in words beside the readings is said back; what is not sure is refused."""
    file = tmp_path / "bench.yaml"
    file.write_text("panel: lit\nsaid: fan turns, pump is silent\n", encoding="utf-8")
    begin = ("ask", "--unit", "small 12 V", "--complaint", "weak heat and very noisy")
    found = json.loads(diag(tmp_path, *begin, "--readings", str(file), "--json").stdout)
    assert ["weak heat", "noise"] == found["complaints"]
    read = {one["finding"]: one["value"] for one in found["readings"]}
    assert {"panel": "lit", "fan at start": "runs", "pump clicks": "silent"} == read
    assert "It is noisy." in found["heard"]
    file.write_text("said: the filter is clean. The filter is dirty.\n", encoding="utf-8")
    assert "says both" in diag(tmp_path, *begin, "--readings", str(file), "--json", code=1).stderr


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("panel: lit\nsaid: bananas\n", "readings.yaml:2: `bananas` tells of nothing"),
        ("said: filter clean\nfilter: dirty\n", "say both `clean` and `dirty` of `filter`"),
        ("said: filter clean\nSaid: it is dirty, the filter\n", "of `filter`; leave one of them"),
    ],
)
def test_words_in_a_file_are_neither_passed_over_nor_overruled(
    text: str, said: str, tmp_path: Path
) -> None:
    """A line that tells of nothing is refused with its place, and so are two answers to one."""
    file = tmp_path / "readings.yaml"
    file.write_text(text, encoding="utf-8")
    begin = ("ask", "--unit", "small 12 V", "--complaint", "noise", "--readings", str(file))
    assert said in diag(tmp_path, *begin, code=2).stderr


def test_a_complaint_in_a_file_stands_beside_the_one_named(tmp_path: Path) -> None:
    """What is complained of by name stays, whatever the words in the file add."""
    file = tmp_path / "readings.yaml"
    file.write_text("said: it flashes 3 times\n", encoding="utf-8")
    begin = ("ask", "--unit", "small 12 V", "--complaint", "white smoke", "--readings", str(file))
    found = json.loads(diag(tmp_path, *begin, "--json").stdout)
    assert ["white smoke", "shows a fault"] == found["complaints"]
