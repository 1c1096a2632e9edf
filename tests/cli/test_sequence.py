"""`diag sequence` as its users meet it: one page, in each of its forms."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from diag.cli.app import app
from diag.cli.rules.sequence import PAGE_LINES
from tests.dangers import shipped


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Give the program an empty home."""
    monkeypatch.setenv("DIAG_HOME", str(tmp_path / "home"))


def _run(*words: str) -> Result:
    return CliRunner().invoke(app, ["sequence", *words])


@pytest.mark.parametrize("complaint", shipped.book().complaints)
def test_every_sheet_is_one_page(complaint: str) -> None:
    """A sheet has at most 60 lines of less than 80 columns, dangers first, then numbered steps."""
    found = _run(complaint)
    assert (0, "") == (found.exit_code, found.stderr)
    lines = found.stdout.splitlines()
    assert len(lines) <= PAGE_LINES
    assert max(map(len, lines)) < 80
    title = shipped.book().complaints[complaint].title
    assert " ".join(lines[:2]).startswith(f"{title}: the usual fault sequence")
    text = "\n".join(lines)
    numbers = [int(one) for one in re.findall(r"^(\d+)\. [A-Z]", text, re.M)]
    assert list(range(1, len(numbers) + 1)) == numbers
    assert 3 <= len(numbers) <= 14
    assert text.index("\nDangers first:\n") < text.index("\n1. ")


def test_every_form_holds_the_same_steps(tmp_path: Path) -> None:
    """Text, Markdown, JSON and the page to print name the same checks in the same order."""
    data = json.loads(_run("smell", "--json").stdout)
    checks = [step["check"] for step in data["steps"]]
    said = " ".join(_run("smell").stdout.split())
    text = re.findall(r"\d+\. ([A-Z' -]+) \(", said)
    assert [one.upper() for one in checks] == text
    marked = re.findall(r"^\d+\. \*\*(.+?)\*\*", _run("smell", "--markdown").stdout, re.M)
    assert checks == [one.lower() for one in marked]
    path = tmp_path / "smell.html"
    assert f"{path}\n" == _run("smell", "--page", str(path)).stdout
    page = path.read_text(encoding="utf-8")
    named = re.findall(r"<td[^>]*><strong>(.+?)\.</strong>", page)
    assert [one.replace("&#x27;", "'").lower() for one in named] == checks


def test_the_page_stands_by_itself(tmp_path: Path) -> None:
    """The page fetches nothing, is A4, and what the rules say is text in it."""
    path = tmp_path / "page.html"
    assert 0 == _run("will not start", "--page", str(path)).exit_code
    page = path.read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>")
    assert "size: A4" in page
    assert not re.search(r"https?:|src=|<script|<link|@import|url\(", page)


def test_each_reading_says_what_is_good_and_what_it_points_to() -> None:
    """Of what is measured the sheet tells the number with its unit, and the causes by name."""
    data = json.loads(_run("will not start", "--unit", "small 12 V", "--json").stdout)
    readings = {
        name: good
        for step in data["steps"]
        for one in step["readings"]
        for name, good in one["good"].items()
    }
    assert "12.4 V or more" == readings["volts at rest"]
    causes = shipped.book().causes
    named = [
        name
        for step in data["steps"]
        for one in step["readings"]
        for point in one["points_to"]
        for name in point["causes"]
    ]
    assert set(named) <= causes.keys()
    assert {"blown fuse", "worn battery", "bad earth"} <= set(named)


@pytest.mark.parametrize(
    ("complaint", "said"),
    [
        # the less oxygen is left, the more carbon dioxide: 1. BImSchV (2010) annex 2 no. 3.4
        (
            "check it over",
            r"Carbon dioxide in the exhaust: [^.]+\.\d % to [^.]+\.\d %\. If above \(short\): ",
        ),
        ("weak heat", r"Efficiency of the heater: 55 % to 92 %\. If below \(lost\): "),
        # an open circuit is more than any resistance, a short circuit less
        (
            "too hot",
            r"Overheat sensor: .*? If above \(open circuit\): .* If below \(short-circuited\): ",
        ),
        # one end leaves one way out
        ("will not start", r"Volts at the heater while igniting: 11 V or more\*\. If sags: "),
    ],
)
def test_a_state_beside_a_range_says_on_which_side_it_lies(complaint: str, said: str) -> None:
    """Of a range with two ends it is told whether a state is above or below it."""
    found = _run(complaint, "--unit", "small 12 V", "--markdown").stdout
    assert re.search(said, found), found


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("noise", "--page", "noise.txt"),
            "`noise.txt` is no page to print; give a name that ends with .html\n",
        ),
        (("noise", "--unit", "small 13 V"), "there is no unit `small 13 V`; near it are "),
        (("noize",), "there is no complaint `noize`; near it are `noise`"),
    ],
)
def test_wrong_use_is_one_sentence(words: tuple[str, ...], message: str) -> None:
    """A page that is none, an unknown unit or complaint: one sentence, and exit code 2."""
    found = _run(*words)
    assert (2, "") == (found.exit_code, found.stdout)
    assert found.stderr.startswith(message)


def test_a_page_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    """A folder that is not there is named, with exit code 1."""
    path = tmp_path / "nowhere" / "page.html"
    found = _run("radio noise", "--page", str(path))
    assert (1, "") == (found.exit_code, found.stdout)
    assert f"`{path}` cannot be used: no such file or directory\n" == found.stderr
