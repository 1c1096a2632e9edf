"""The commands about rules, as their users meet them: what they print and how they end."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import shop
from typer.testing import CliRunner, Result

from diag.authoring.lints import LINTS
from diag.authoring.scaffold import TEMPLATES
from diag.authoring.scaffold.names import OWN_FOLDER
from diag.cli.app import app
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook.build.tables import CAUSE

TWIN = """\
cause: {name}
title: Twin
area: use
status: trial
share: rare
source: invented
shows: {{lights dim: {{yes: fifty-fifty}}}}
repair: {{do: [Replace it.], minutes: 9}}
"""


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
        f"dangers, 1 units, 2 cases; {len(LINTS)} lints. Still drafts, which no "
        "other command reads: `rusty switch`."
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
    manual = LINTS[0].manual.split()
    for name in (LINTS[0].name, LINTS[0].code.lower()):
        said = _run("rules", "lints", name).stdout
        assert manual == said.split()[-len(manual) :]
        assert max(map(len, said.splitlines())) < 80


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
    assert again.stderr == f"{path} is there already; edit it, or give another id\n"
    assert path.read_text(encoding="utf-8").endswith("# mine\n")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("cause", "damp switch", "--area", "../../etc"),
            "`../../etc` cannot be an area; known are ",
        ),
        (("rule", "damp", "--area", "use"), "`rule` cannot be begun; one of `cause`, "),
        (
            ("sign", "damp hose"),
            "say where it belongs: diag rules new sign 'damp hose' --area AREA",
        ),
        (("cause", "damp", "--area", "cases"), "`cases` cannot be an area: that folder holds "),
        (("cause", "../up", "--area", "use"), "`../up` cannot be an id: "),
    ],
)
def test_new_refuses_what_it_cannot_begin(words: tuple[str, ...], message: str, home: Path) -> None:
    """Nothing is written for a bad area, kind or id, and the exit code is 2."""
    found = _run("rules", "new", *words)
    assert 2 == found.exit_code
    assert found.stderr.startswith(message)
    assert not home.exists()


@pytest.mark.parametrize("kind", TEMPLATES)
def test_what_was_begun_is_refused_by_the_check_and_stops_no_other_command(
    kind: str, home: Path
) -> None:
    """A file just begun fails `rules check` alone, with one sentence for each placeholder."""
    area = () if kind in OWN_FOLDER else ("--area", "use")
    assert 0 == _run("rules", "new", kind, "damp switch", *area).exit_code
    checked = _run("rules", "check")
    assert (1, "") == (checked.exit_code, checked.stdout)
    assert "is a placeholder, still to be filled in\n" in checked.stderr
    assert "  write what belongs here, or take the line out\n" in checked.stderr
    shown = _run("rules", "show", "worn battery")
    assert (0, "") == (shown.exit_code, shown.stderr)


@pytest.mark.parametrize("folder", ["", "use", "cases", "../units"])
def test_an_empty_folder_of_ones_own_stops_nothing(folder: str, home: Path) -> None:
    """A folder that was made and holds no rule file yet is as if it were not there."""
    (home / "rules" / folder).mkdir(parents=True)
    shown = _run("rules", "show", "worn battery")
    assert (0, "") == (shown.exit_code, shown.stderr)
    assert 0 == _run("rules", "check").exit_code


def test_what_rests_on_a_draft_is_refused(home: Path, tmp_path: Path) -> None:
    """The check reads drafts, yet what is in use must hold without them, and is told why not."""
    folder = _rules(tmp_path, "causes: {broken wire: {shows: {hum: {yes: improbable}}}}")
    path = Path(folder) / "power/hum.yaml"
    hum = (
        "findings: {hum: {ask: Does it hum?, kind: yes/no, as it should be: no}}\n"
        "checks: {listen: {do: Listen., minutes: 1, yields: hum, source: memory}}\n"
    )
    path.write_text(hum, encoding="utf-8")
    assert 0 == _run("rules", "check", folder).exit_code
    path.write_text("status: draft\n" + hum, encoding="utf-8")
    found = _run("rules", "check", folder)
    assert (1, "") == (found.exit_code, found.stdout)
    assert found.stderr == (
        f"{folder}/power/broken-wire.yaml:15:3: there is no sign, choice or yes/no finding `hum`\n"
        "  |   hum:\n"
        "  |   ^^^\n"
        "  it stands in a draft: take `status: draft` out of that file\n"
    )


def test_formulas_are_listed_with_units_and_sources(home: Path) -> None:
    """Every formula stands in the list with all its inputs, and as JSON in the same words."""
    said = " ".join(_run("rules", "formulas").stdout.split())
    data = json.loads(_run("rules", "formulas", "--json").stdout)
    assert [one.name for one in FORMULAS] == [one["formula"] for one in data]
    for one, told in zip(FORMULAS, data, strict=True):
        assert list(one.inputs) == [(each["input"], each["unit"]) for each in told["takes"]]
        assert (one.unit, one.source) == (told["unit"], told["source"])
        takes = " ".join(f"takes {name} [{unit}]" for name, unit in one.inputs)
        assert f"{one.explains} {takes} source {one.source}" in said
        assert f"{one.name} [{one.unit}]" in said


def test_the_schema_is_written_where_templates_look_for_it(home: Path) -> None:
    """The path in a new file leads to the schema that `--write` writes, and names no folder."""
    assert 0 == _run("rules", "new", "cause", "damp switch", "--area", "use").exit_code
    assert 0 == _run("rules", "schema", "--write").exit_code
    path = home / "rules/use/damp-switch.yaml"
    line = path.read_text(encoding="utf-8").splitlines()[0]
    assert "# yaml-language-server: $schema=../schema.json" == line
    written = (path.parent / line.partition("=")[2]).read_text(encoding="utf-8")
    assert _run("rules", "schema").stdout == written


def test_coverage_prints_and_is_data(home: Path) -> None:
    """The shares are printed in words and given as JSON, and agree."""
    data = json.loads(_run("rules", "coverage", "--json").stdout)
    said = _run("rules", "coverage").stdout
    assert 0 < data["fraction_detected"] <= 1
    assert 0 < data["fraction_isolated"]["1"] <= data["fraction_isolated"]["2"] <= 1
    assert f"{100 * data['fraction_isolated']['1']:.1f} % of detected faults" in said
    causes = [name for group in data["groups"] for name in group["causes"]]
    assert len(set(causes)) == len(causes)


def test_the_tree_comes_in_four_forms(home: Path) -> None:
    """Text, Markdown, JSON and numbered steps all begin with the complaint's title or id."""
    words = ("rules", "tree", "noise", "--depth", "1", "--least", "5 %")
    assert _run(*words).stdout.startswith("It is noisy: about ")
    assert _run(*words, "--markdown").stdout.startswith("# It is noisy\n")
    data = json.loads(_run(*words, "--json").stdout)
    assert ("noise", 1.0) == (data["complaint"], data["tree"]["share"])
    numbered = _run(*words, "--numbered").stdout
    assert numbered.startswith("It is noisy: about ")
    assert "\n1. " in numbered


@pytest.mark.parametrize("depth", ["-1", "13", "deep", "²"])
def test_a_depth_that_is_none_is_refused(depth: str, home: Path) -> None:
    """A depth is a small count; anything else is wrong use."""
    found = _run("rules", "tree", "noise", f"--depth={depth}")
    assert 2 == found.exit_code
    assert found.stderr == f"`{depth}` is no depth; give a number of checks, 0 to 12\n"


@pytest.mark.parametrize("least", ["0", "101", "few", "nan"])
def test_a_least_share_that_is_none_is_refused(least: str, home: Path) -> None:
    """A least share is a percentage above 0; anything else is wrong use."""
    found = _run("rules", "tree", "noise", "--least", least)
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
    (home / "rules/use").mkdir(parents=True)
    for name in ("first twin", "second twin"):
        path = home / f"rules/use/{name.replace(' ', '-')}.yaml"
        path.write_text(TWIN.format(name=name), encoding="utf-8")
    found = _run("rules", "coverage", "--json")
    pairs = [one["causes"] for one in json.loads(found.stdout)["not_told_apart"]]
    assert 1 == found.exit_code
    assert ["first twin", "second twin"] in pairs


def test_a_cause_on_trial_is_marked(home: Path) -> None:
    """An entry read back says how far its cause can be trusted."""
    said = " ".join(_run("rules", "show", "worn battery").stdout.split())
    assert "status on trial: in use, but not called proven by three worked cases yet" in said
