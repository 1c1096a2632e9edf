"""The example in DEVELOPERS.md is a real cause, and what the page names exists."""

import re
from pathlib import Path

from diag.cli.places import shipped_rules
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook import load_rulebook

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_example_cause_loads_on_top_of_the_shipped_rules(tmp_path: Path) -> None:
    """The copyable cause is read without a problem, from the file that the page names."""
    found = re.search(r"<!-- example: (\S+) -->\n```yaml\n(.*?)```", PAGE, re.S)
    assert found is not None
    path = tmp_path / found[1]
    path.parent.mkdir()
    path.write_text(found[2], encoding="utf-8")
    formulas = {formula.name: formula for formula in FORMULAS}
    shipped = load_rulebook((shipped_rules(),), formulas)
    book = load_rulebook((shipped_rules(), tmp_path), formulas)
    assert {"leaves in the air inlet"} == set(book.causes) - set(shipped.causes)
    assert {"look at the inlet grille"} == set(book.checks) - set(shipped.checks)


def test_every_package_and_benchmark_is_named() -> None:
    """Each layer's package and each benchmark stands in the page, and what it names exists."""
    packages = {path.parent.name for path in (ROOT / "diag").glob("*/__init__.py")}
    assert set() == {name for name in packages if f"{name}/" not in PAGE}
    benches = {path.name for path in (ROOT / "tests/bench").glob("*.py")}
    named = {f"{name}.py" for name in re.findall(r"python (?:-m )?tests[/.]bench[/.](\w+)", PAGE)}
    assert benches - {"__init__.py"} == named
    for name in re.findall(r"`((?:diag|rules|tests)/[\w/.-]+)`", PAGE):
        if "AREA" not in name:
            assert (ROOT / name).exists(), name
