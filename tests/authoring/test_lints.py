"""Each lint fires on its failing example and keeps quiet on its passing one, as its manual says."""

from __future__ import annotations

import re
import textwrap
from pathlib import Path

import pytest
import shop

from diag.authoring import lints as package
from diag.authoring.lints import LINTS, Lint, run_lints


def _part(lint: Lint, name: str) -> str:
    found = re.search(rf"^{name}:\n((?: .*\n|\n)+)", lint.manual + "\n", re.MULTILINE)
    assert found is not None, f"{lint.name} has no part {name}"
    return textwrap.dedent(found[1]).strip("\n")


def _problems(folder: Path, fragment: str) -> list[str]:
    found = run_lints(shop.read(shop.written(folder, fragment)))
    return [f"{one.message}\n{one.advice}" for one in found]


def test_the_small_rulebook_is_clean(tmp_path: Path) -> None:
    """No lint finds anything in rules that keep every one of them."""
    assert [] == _problems(tmp_path, "")


@pytest.mark.parametrize("lint", LINTS, ids=lambda lint: lint.name)
def test_a_lint_fires_on_its_failing_example(lint: Lint, tmp_path: Path) -> None:
    """The failing example brings exactly the problem that the manual prints, and no other."""
    message, advice = _part(lint, "Says").splitlines()
    expected = [f"{message} [{lint.code} {lint.name}]\n{advice}"]
    assert expected == _problems(tmp_path, _part(lint, "Fails"))


@pytest.mark.parametrize("lint", LINTS, ids=lambda lint: lint.name)
def test_a_lint_is_quiet_on_its_passing_example(lint: Lint, tmp_path: Path) -> None:
    """The passing example brings no problem of any lint."""
    assert [] == _problems(tmp_path, _part(lint, "Passes"))


def test_every_lint_has_its_own_code_name_and_file() -> None:
    """Codes and names are unique, the file is called like the lint, and no file is left out."""
    folder = Path(package.__file__).parent
    files = {path.stem for path in folder.glob("*.py")} - {
        "__init__",
        "cautions_wanted",
        "lint",
        "uses",
    }
    assert files == {lint.name.replace("-", "_") for lint in LINTS}
    assert len(LINTS) == len({lint.code for lint in LINTS})


def test_problems_are_sorted_by_place_and_show_the_line(tmp_path: Path) -> None:
    """The whole message: place, what, lint, the line with a caret, and what to do."""
    fragment = """
    findings:
      wet: {ask: Look for water inside.}
    causes:
      broken wire: {repair: {do: [Solder the wire]}}
    """
    found = run_lints(shop.read(shop.written(tmp_path, fragment)))
    text = "\n".join(str(one) for one in found).replace(f"{tmp_path}/", "")
    assert text == (
        "lamps.yaml:28:3: `ask` of `wet` does not end with a question mark: `Look for water "
        "inside.` [M01 ask-is-question]\n"
        "  |   wet:\n"
        "  |   ^\n"
        "  put it as a question\n"
        "power/broken-wire.yaml:1:8: `do` of `broken wire` does not end with a full stop: "
        "`Solder the wire` [M02 do-is-sentence]\n"
        "  | cause: broken wire\n"
        "  |        ^\n"
        "  write a whole sentence"
    )


def test_a_proven_cause_whose_case_fails_is_told(tmp_path: Path) -> None:
    """A case that does not come out withdraws the proof, whatever the number of cases."""
    folder = shop.written(tmp_path, "causes: {broken wire: {status: proven}}")
    cases = folder / "cases/lamps.yaml"
    cases.write_text(cases.read_text().replace("wire: parted", "wire: whole"), encoding="utf-8")
    messages = [one.message for one in run_lints(shop.read(folder))]
    assert messages == [
        "the cause `broken wire` is called proven, but its case `LAMP 1 broken` fails "
        "[E02 proven-by-cases]"
    ]


def test_three_passing_cases_prove_a_cause(tmp_path: Path) -> None:
    """Evidence promotes: with three cases that come out, `proven` stands."""
    folder = shop.written(tmp_path, "causes: {flat cells: {status: proven}}")
    cases = folder / "cases/lamps.yaml"
    text = cases.read_text()
    one = text[text.index("  LAMP 1 flat:") : text.index("  LAMP 1 broken:")]
    more = one.replace("LAMP 1 flat", "again") + one.replace("LAMP 1 flat", "once more")
    cases.write_text(text + more, encoding="utf-8")
    assert () == run_lints(shop.read(folder))
