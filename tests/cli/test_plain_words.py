"""What the program itself says keeps to the shop's usual words, as the rules do."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from diag.authoring.lints.plain_words import old_words

HERE = Path(__file__).parents[2]
NOT_SAID = {"diag/authoring/lints/plain_words.py"}
"""Where the old words stand since they are the old ones."""
SAYING = ("cli", "bench", "session", "authoring", "library")
"""The rooms whose texts people see; what a session hears, old words too, is none."""
MODULES = sorted(
    path.relative_to(HERE).as_posix()
    for room in SAYING
    for path in (HERE / "diag" / room).rglob("*.py")
    if "hearing" not in path.parts
)


def _said(module: Path) -> Iterator[str]:
    """Yield every text of a module but its docstrings, which are for those who read code."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    docs = {id(each.value) for each in ast.walk(tree) if isinstance(each, ast.Expr)}
    for each in ast.walk(tree):
        if isinstance(each, ast.Constant) and isinstance(each.value, str) and id(each) not in docs:
            yield each.value.replace("mends as well", "")  # a key of rule files, no word for users


@pytest.mark.parametrize("module", [one for one in MODULES if one not in NOT_SAID])
def test_no_screen_says_an_old_word(module: str) -> None:
    """No text of a module that speaks to people holds a word of the lint's list."""
    assert [] == [word for text in _said(HERE / module) for word in old_words(text)]


@pytest.mark.parametrize("page", ["README.md"])
def test_no_page_for_users_says_an_old_word(page: str) -> None:
    """The page that users read keeps to the usual words."""
    assert [] == list(old_words((HERE / page).read_text(encoding="utf-8")))
