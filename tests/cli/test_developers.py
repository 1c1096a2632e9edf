"""The examples in DEVELOPERS.md are real, it describes all there is, and what it names exists."""

import re
from pathlib import Path

import pytest
import yaml

from diag.authoring.case_runner import run_case
from diag.authoring.lints import LINTS, Material, run_lints
from diag.cli import app as diag
from diag.cli.places import shipped_rules
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook import load_cases, load_rulebook
from diag.rulebook.build import tables
from diag.rulebook.build.gather import SECTIONS
from tests.cli.commands import leaves

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


PARTS = {
    "findings": (tables.FINDING, tables.SLIP), "checks": (tables.CHECK,),
    "signs": (tables.SIGN, tables.RULE), "figures": (tables.FIGURE,),
    "dangers": (tables.DANGER,), "complaints": (tables.COMPLAINT,),
    "cannot be": (tables.CANNOT_BE,), "unit data": (tables.UNIT_DATUM,),
    "unit limits": (tables.UNIT_LIMIT,), "unit": (tables.UNIT,),
    "cause": (tables.CAUSE, tables.REPAIR, tables.RULED_OUT), "cases": (tables.CASE,),
    "Scales": (dict.fromkeys(tables.SCALES), {"words": None}),
}  # fmt: skip
"""The paragraph of each kind of entry to the keys that the reader knows of it."""
LEAVES = leaves()


def _example(mark: str, folder: Path) -> Path:
    """Write the example under a mark into the file that the page names, and return its path."""
    found = re.search(rf"<!-- {mark}: (\S+) -->\n```yaml\n(.*?)```", PAGE, re.S)
    assert found is not None
    path = folder / found[1]
    path.parent.mkdir(parents=True)
    path.write_text(found[2], encoding="utf-8")
    return path


def test_the_example_cause_and_its_case_come_out(tmp_path: Path) -> None:
    """The copyable cause is read without a problem, no lint minds it, and its case finds it."""
    _example("example", tmp_path)
    formulas = {formula.name: formula for formula in FORMULAS}
    shipped = load_rulebook((shipped_rules(),), formulas)
    book = load_rulebook((shipped_rules(), tmp_path), formulas)
    assert {"leaves in the air inlet"} == set(book.causes) - set(shipped.causes)
    assert {"look at the inlet grille"} == set(book.checks) - set(shipped.checks)
    cases = load_cases(_example("case", tmp_path), book)
    assert [()] == [run_case(book, case).failures for case in cases]
    old = load_cases(shipped_rules() / "cases", book)
    assert () == run_lints(Material(book, (*old, *cases)))


@pytest.mark.parametrize("part", PARTS)
def test_every_key_of_a_rule_file_is_described(part: str) -> None:
    """The keys that the reader knows of a kind of entry stand in that kind's own paragraph."""
    flat = " ".join(PAGE.split())
    found = re.search(rf"\*\*`?{part}`?\*\*:(.*?)(?=\*\*`?[a-zS]|### )", flat)
    assert found is not None
    named = {word.partition(":")[0] for word in re.findall(r"`([^`]+)`", found[1])}
    known = {key for table in PARTS[part] for key in table}
    assert set() == known - named - {"source", part}


def test_every_section_setting_and_lint_is_described() -> None:
    """Sections, settings of the shipped scales, and lints with code and summary are all told."""
    assert set() == {name for name in SECTIONS if f"`{name}`" not in PAGE}
    settings = yaml.safe_load((shipped_rules() / "scales.yaml").read_text())["settings"]["words"]
    table = PAGE.partition("| setting |")[2].partition("\n\n")[0]
    assert set(settings) == set(re.findall(r"^\| `([a-z ]+)` \| \S", table, re.M))
    rows = set(re.findall(r"^\| ([A-Z]\d\d) \| (\S+) \| (.*) \|$", PAGE, re.M))
    assert {(lint.code, lint.name, lint.summary) for lint in LINTS} == rows


@pytest.mark.parametrize("path", LEAVES, ids=" ".join)
def test_every_command_and_option_has_its_line_of_help(path: tuple[str, ...]) -> None:
    """No command, argument or option is without a sentence that says what it does."""
    leaf = LEAVES[path]
    assert leaf.help or diag.COMMANDS[path[0]][1]
    assert [] == [each.name for each in leaf.params if not getattr(each, "help", None)]


def test_what_a_recipe_names_is_there() -> None:
    """Each name in capitals, each module and each test command that is named exists."""
    for name, home in (
        ("COMMANDS", "diag/cli/app.py"),
        ("EVENTS", "diag/session/journal/events.py"),
        ("_EARLIER", "diag/session/journal/events.py"),
        ("MIGRATIONS", "diag/store/schema.py"), ("WORKED", "tests/physics/test_catalogue.py"),
        ("_units", "diag/model/quantity.py"), ("UNITS", "tests/physics/test_catalogue.py"),
        ("FORMULAS", "diag/physics/formulas/catalogue.py"),
    ):  # fmt: skip
        assert f"`{name}`" in PAGE
        assert f"`{home}`" in PAGE
        assert re.search(rf"^(def )?{name}\b", (ROOT / home).read_text(encoding="utf-8"), re.M)
    paths = [f"/{path.relative_to(ROOT)}" for path in ROOT.glob("[dt]*/**/*.py")]
    for name in re.findall(r"`([\w/]+\.py)\b", PAGE):
        assert any(path.endswith(f"/{name}") for path in paths), name
    flat = " ".join(PAGE.split())
    for words in re.findall(r"`python -m pytest ([^`]+)`", flat):
        for word in words.split():
            assert (
                word.startswith(("-", '"'))
                or word in ("not", "cases", 'cases"')
                or (ROOT / word).exists()
            ), word


def test_every_package_and_benchmark_is_named() -> None:
    """Each package, room and benchmark stands in the page, and what it names exists."""
    packages = {path.parent.name for path in (ROOT / "diag").glob("*/**/*.py")}
    assert set() == {name for name in packages if f"{name}/" not in PAGE}
    benches = {path.name for path in (ROOT / "tests/bench").glob("*.py")}
    named = {f"{name}.py" for name in re.findall(r"python (?:-m )?tests[/.]bench[/.](\w+)", PAGE)}
    assert benches - {"__init__.py"} == named
    for name in re.findall(r"`((?:diag|rules|tests)/[\w/.-]+)`", PAGE):
        if "AREA" not in name:
            assert (ROOT / name).exists(), name
