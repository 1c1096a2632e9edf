"""The commands about rules, as their users meet them: what they print and how they end."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import shop
from typer.testing import CliRunner, Result

from diag.authoring.lints import LINTS
from diag.cli.app import app
from diag.rulebook.build.tables import CAUSE


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the program an empty home, and return it."""
    monkeypatch.setenv("DIAG_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def _run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def _rules(folder: Path, fragment: str = "") -> str:
    """Write the small rulebook where it needs no formula, and return the folder."""
    return str(shop.written(folder / "lamps", fragment))


def test_check_of_clean_rules_says_what_it_read(home: Path, tmp_path: Path) -> None:
    """Rules that keep every lint end with 0, and one sentence that counts them."""
    found = _run("rules", "check", _rules(tmp_path))
    assert (0, "") == (found.exit_code, found.stderr)
    assert found.stdout.replace("\n", " ").strip() == (
        "No problem found: 3 causes, 4 findings, 3 checks, 4 signs, 2 rules, 0 figures, 0 "
        f"dangers, 1 units, 2 cases; {len(LINTS)} lints."
    )


def test_check_tells_what_a_lint_finds_and_ends_with_1(home: Path, tmp_path: Path) -> None:
    """A lint's problem is printed whole: place, what, lint, line, caret and advice."""
    folder = _rules(tmp_path, "causes: {broken wire: {tell the owner: }}")
    found = _run("rules", "check", folder)
    assert 1 == found.exit_code
    assert found.stderr == (
        f"{folder}/power/broken-wire.yaml:1:8: the cause `broken wire` has no `tell the owner` "
        "[C02 cause-complete]\n"
        "  | cause: broken wire\n"
        "  |        ^\n"
        "  add a line `tell the owner: ...`\n"
    )


def test_lints_are_listed_and_each_shows_its_manual(home: Path) -> None:
    """Every lint stands in the list, and by name or code prints its docstring."""
    listed = _run("rules", "lints").stdout
    for lint in LINTS:
        assert f"{lint.code}  {lint.name}" in listed
    assert LINTS[0].manual in _run("rules", "lints", LINTS[0].name).stdout
    assert LINTS[0].manual in _run("rules", "lints", LINTS[0].code.lower()).stdout


def test_an_unknown_lint_is_refused_with_its_neighbours(home: Path) -> None:
    """A misspelt lint is wrong use, and the sentence offers what is near."""
    found = _run("rules", "lints", "state-reach")
    assert (2, "") == (found.exit_code, found.stdout)
    assert found.stderr == (
        "there is no lint `state-reach`; near it are `state-reached`; `diag rules lints` lists "
        "them\n"
    )


def test_new_writes_a_cause_once_and_never_over_it(home: Path) -> None:
    """The file is written into the user's own rules, and a second time is refused."""
    found = _run("rules", "new", "cause", "damp switch", "--area", "use")
    path = home / "rules/use/damp-switch.yaml"
    assert (0, "") == (found.exit_code, found.stderr)
    assert all(f"{key}:" in path.read_text(encoding="utf-8") for key in CAUSE)
    path.write_text(path.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    again = _run("rules", "new", "cause", "damp switch", "--area", "use")
    assert again.exit_code == 2
    assert again.stderr == f"there is a cause `damp switch` already, in {path}:3:8\n"
    assert path.read_text(encoding="utf-8").endswith("# mine\n")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("cause", "damp switch", "--area", "../../etc"),
            "`../../etc` cannot be an area; known are ",
        ),
        (("sign", "damp", "--area", "use"), "`sign` cannot be begun; write: diag rules new cause "),
        (("cause", "../up", "--area", "use"), "`../up` cannot be an id: "),
    ],
)
def test_new_refuses_what_it_cannot_begin(words: tuple[str, ...], message: str, home: Path) -> None:
    """Nothing is written for a bad area, kind or id, and the exit code is 2."""
    found = _run("rules", "new", *words)
    assert 2 == found.exit_code
    assert found.stderr.startswith(message)
    assert not home.exists()


def test_coverage_prints_and_is_data(home: Path) -> None:
    """The shares are printed in words and given as JSON, and agree."""
    data = json.loads(_run("rules", "coverage", "--json").stdout)
    said = _run("rules", "coverage").stdout
    assert 0 < data["fraction detected"] <= 1
    assert 0 < data["fraction isolated"]["1"] <= data["fraction isolated"]["2"] <= 1
    assert f"{100 * data['fraction isolated']['1']:.1f} % of what is detected" in said
    causes = [name for group in data["groups"] for name in group["causes"]]
    assert len(set(causes)) == len(causes)


def test_the_tree_comes_in_four_forms(home: Path) -> None:
    """Text, Markdown, JSON and the sheet all begin with the complaint's title or id."""
    words = ("noise", "--depth", "1", "--least", "5 %")
    assert _run("rules", "tree", *words).stdout.startswith("It is noisy: about ")
    assert _run("rules", "tree", *words, "--markdown").stdout.startswith("# It is noisy\n")
    data = json.loads(_run("rules", "tree", *words, "--json").stdout)
    assert ("noise", 1.0) == (data["complaint"], data["tree"]["share"])
    sheet = _run("sequence", *words).stdout
    assert sheet.startswith("It is noisy: about ")
    assert "\n1. " in sheet


@pytest.mark.parametrize("depth", ["-1", "13", "deep", "²"])
def test_a_depth_that_is_none_is_refused(depth: str, home: Path) -> None:
    """A depth is a small count; anything else is wrong use."""
    found = _run("rules", "tree", "noise", f"--depth={depth}")
    assert 2 == found.exit_code
    assert found.stderr == f"`{depth}` is no depth; give a number of checks, 0 to 12\n"


@pytest.mark.parametrize("least", ["0", "101", "few", "nan"])
def test_a_least_share_that_is_none_is_refused(least: str, home: Path) -> None:
    """A least share is a percentage above 0; anything else is wrong use."""
    found = _run("sequence", "noise", "--least", least)
    assert 2 == found.exit_code
    assert found.stderr == f"`{least}` is no least share; give 0.1 to 100 percent\n"


def test_the_schema_is_printed_as_json(home: Path) -> None:
    """What is printed is one JSON object of the current draft of JSON Schema."""
    data = json.loads(_run("rules", "schema").stdout)
    assert "https://json-schema.org/draft/2020-12/schema" == data["$schema"]


def test_the_shipped_rules_are_clean(home: Path) -> None:
    """No lint finds anything in the rules that come with the program."""
    found = _run("rules", "check")
    assert (0, "") == (found.exit_code, found.stderr)


def test_the_shipped_checks_tell_every_cause_apart_or_the_rules_say_how(home: Path) -> None:
    """Every shipped cause is detected, and causes that look alike are explained."""
    assert 0 == _run("rules", "coverage").exit_code


def test_causes_alike_and_unexplained_end_coverage_with_1(home: Path) -> None:
    """A twin of a shipped cause that nothing tells from it is listed, and the exit code is 1."""
    assert 0 == _run("rules", "new", "cause", "first twin", "--area", "use").exit_code
    assert 0 == _run("rules", "new", "cause", "second twin", "--area", "use").exit_code
    found = _run("rules", "coverage", "--json")
    pairs = [one["causes"] for one in json.loads(found.stdout)["not told apart"]]
    assert 1 == found.exit_code
    assert ["first twin", "second twin"] in pairs
