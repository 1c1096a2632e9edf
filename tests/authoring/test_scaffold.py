"""A new cause file loads as it stands, explains every key, and is refused for a bad name."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import shop

from diag.authoring.lints import run_lints
from diag.authoring.scaffold import cause_file
from diag.rulebook.build.tables import CAUSE, REPAIR


def test_it_loads_on_top_of_the_rules_and_no_lint_minds_it(tmp_path: Path) -> None:
    """The file is complete: it is read without a problem and lints are content with the draft."""
    folder = shop.written(tmp_path)
    text = cause_file(shop.read(folder).rulebook, "bent reflector", "power")
    (folder / "power/bent-reflector.yaml").write_text(text, encoding="utf-8")
    material = shop.read(folder)
    assert "draft" == material.rulebook.causes["bent reflector"].status
    assert () == run_lints(material)


def test_what_is_commented_out_loads_too(tmp_path: Path) -> None:
    """With the marks taken off its keys that can stand, the file is still read."""
    folder = shop.written(tmp_path)
    text = cause_file(shop.read(folder).rulebook, "bent reflector", "power")
    shown = text.replace("# must not show:\n#   ", "must not show:\n  ")
    shown = shown.replace("# rules out when:\n#   ", "rules out when:\n  ")
    assert shown.count("#") == text.count("#") - 4
    (folder / "power/bent-reflector.yaml").write_text(shown, encoding="utf-8")
    assert shop.read(folder).rulebook.causes["bent reflector"].quiet


def test_every_key_of_a_cause_is_explained(tmp_path: Path) -> None:
    """The keys that the reader knows of a cause and a repair all stand in the file."""
    text = cause_file(shop.read(shop.written(tmp_path)).rulebook, "bent reflector", "power")
    named = set(re.findall(r"^(?:# )? *([a-z ]+):(?: |$)", text, re.MULTILINE))
    assert set() == {*CAUSE, *REPAIR} - named


@pytest.mark.parametrize(
    ("name", "area", "message"),
    [
        ("Bent", "power", "`Bent` cannot be an id: an id is lower-case words"),
        ("flat cells", "power", "there is a cause `flat cells` already, in "),
        ("bent reflector", "../up", "`../up` cannot be an area; known are `power`"),
        ("bent reflector", "", "`` cannot be an area; known are `power`"),
        ("../bent", "power", "`../bent` cannot be an id: "),
    ],
)
def test_a_bad_name_is_refused(name: str, area: str, message: str, tmp_path: Path) -> None:
    """An id that cannot be one, a taken one, and an area that leads elsewhere are refused."""
    book = shop.read(shop.written(tmp_path)).rulebook
    with pytest.raises(ValueError, match=f"^{re.escape(message)}"):
        cause_file(book, name, area)
