"""A new rule file explains every key, is refused until it is filled in, and then passes."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
import shop

from diag.authoring.lints import Material, run_lints
from diag.authoring.scaffold import TEMPLATES, template
from diag.authoring.scaffold.names import OWN_FOLDER
from diag.model.problem import ProblemsFound
from diag.practice.lessons.written import STEP
from diag.practice.lessons.written import TABLE as LESSON
from diag.rulebook import load_rulebook, read_entries
from diag.rulebook.build.tables import (
    CASE,
    CAUSE,
    CHECK,
    FINDING,
    MEASURE,
    REPAIR,
    RULE,
    SIGN,
    SLIP,
)
from tests.rulebook.lamps import FORMULAS

KEYS = {
    "cause": {*CAUSE, *REPAIR},
    "finding": {*FINDING, *SLIP, *MEASURE},
    "check": {*CHECK},
    "sign": {*SIGN, *RULE},
    "case": {*CASE},
    "lesson": {*LESSON, *STEP},
}
NAMES = {
    "finding": "strap", "check": "pull the strap", "sign": "hold of the strap",
    "cause": "slack strap", "case": "LAMP 1 wobbles", "lesson": "straps",
}  # fmt: skip
ANSWERS = {
    "finding": (
        "common practice", "How far does the strap give?",
        "quantity\n    unit: mm\n    believable: 0 mm to 90 mm",
        "measured\n    measure: {with: A ruler., where: Beside the strap., when: Pull it.,\n"
        "      mistakes: You pull at the buckle.}",
    ),
    "check": ("common practice", "Pull the strap and measure.", "2", "strap"),
    "sign": (
        "memory", "how the strap holds", "strap < 9 mm", "strap >= 9 mm", "it has stretched",
    ),
    "cause": (
        "rare", "memory", "probable", "The strap has stretched.", "improbable",
        "Shorten the strap.", "4", "beam is bright", "The strap was slack.",
    ),
    "case": ("invented", "will not light", "slack strap"),
    "lesson": (
        "invented", "1", "Straps", "A strap holds.", "LAMP", "3", "Does it hold?", "Yes.", "No.",
        "It holds.", "1",
    ),
}  # fmt: skip
"""What is put in the place of each placeholder, in their order."""
PLACEHOLDER = re.compile(r"<[^#\n]*>")


def _begun(folder: Path, kind: str) -> Path:
    """Write the template of a kind into a folder of rules, and return its path."""
    book = load_rulebook([folder], FORMULAS)
    made = template(book, kind, NAMES[kind], "" if kind in OWN_FOLDER else "power")
    path = folder / made.path
    path.parent.mkdir(exist_ok=True)
    path.write_text(made.text, encoding="utf-8")
    return path


def _placeholders(text: str) -> list[str]:
    """Return what is to be replaced, outside comments."""
    lines = [line for line in text.splitlines() if not line.lstrip().startswith("#")]
    return [found for line in lines for found in PLACEHOLDER.findall(line)]


def _fill(path: Path, kind: str) -> None:
    """Put the answers in the place of the placeholders."""
    text = path.read_text(encoding="utf-8")
    for left, answer in zip(_placeholders(text), ANSWERS[kind], strict=True):
        text = text.replace(left, answer, 1)
    path.write_text(text, encoding="utf-8")


def _problems(folder: Path) -> list[str]:
    """Return what the check says of a folder, from the reader or else from the lints."""
    try:
        material: Material = shop.read(folder)
    except ProblemsFound as error:
        return [one.message for one in error.problems]
    found = [one.message for one in run_lints(material)]
    try:
        if (folder / "lessons").is_dir():
            read_entries(folder / "lessons", "lessons", LESSON, drafts=True)
    except ProblemsFound as error:
        found += [one.message for one in error.problems]
    return found


@pytest.mark.parametrize("kind", TEMPLATES)
def test_every_key_is_explained(kind: str, tmp_path: Path) -> None:
    """The keys that the reader knows of a kind of entry all stand in its template."""
    book = shop.read(shop.written(tmp_path)).rulebook
    text = template(book, kind, NAMES[kind], "" if kind in OWN_FOLDER else "power").text
    named = set(re.findall(r"(?:^|\{|, )(?:[# -])*([a-z/ ]+):(?: |$)", text, re.MULTILINE))
    assert set() == KEYS[kind] - named


@pytest.mark.parametrize("kind", TEMPLATES)
def test_what_is_not_filled_in_is_refused(kind: str, tmp_path: Path) -> None:
    """Each placeholder that was left is named with its place, and nothing else is wrong yet."""
    folder = shop.written(tmp_path)
    path = _begun(folder, kind)
    left = _placeholders(path.read_text(encoding="utf-8"))
    found = [one for one in _problems(folder) if "placeholder, still to be filled in" in one]
    assert left
    assert len(left) == len(found)


def test_what_is_filled_in_passes(tmp_path: Path) -> None:
    """A finding, its check, a sign of it, a cause that shows it and its case pass every lint."""
    folder = shop.written(tmp_path)
    for kind in NAMES:
        path = _begun(folder, kind)
        _fill(path, kind)
        text = path.read_text(encoding="utf-8")
        text = re.sub(
            r"shows:\n  beam:.*\n", "shows:\n  hold of the strap: {poor: probable}\n", text
        )
        used = "status: trial" if kind == "cause" else "# in use"
        path.write_text(re.sub(r"status: draft.*", used, text), encoding="utf-8")
    assert [] == _problems(folder)
    book = load_rulebook([folder], FORMULAS)
    assert "slack strap" in book.causes
    assert "strap" in book.findings


def test_what_is_commented_out_loads_too(tmp_path: Path) -> None:
    """With the marks taken off its keys that can stand, a cause is still read."""
    folder = shop.written(tmp_path)
    path = _begun(folder, "cause")
    _fill(path, "cause")
    text = path.read_text(encoding="utf-8")
    shown = text.replace("# must not show:\n#   ", "must not show:\n  ")
    shown = shown.replace("# rules out when:\n#   ", "rules out when:\n  ")
    assert shown.count("#") == text.count("#") - 4
    path.write_text(shown, encoding="utf-8")
    assert shop.read(folder).rulebook.causes["slack strap"].quiet


def test_a_draft_is_as_if_it_were_not_there(tmp_path: Path) -> None:
    """Whatever stands in drafts, the rules in use load as they did, to the same hash."""
    folder = shop.written(tmp_path)
    before = load_rulebook([folder], FORMULAS)
    for kind in ("cause", "finding", "check", "sign"):
        _begun(folder, kind)
    (folder / "power/twice.yaml").write_text(
        "status: draft\nfindings: {beam: {}}\nfindings: {}\n", encoding="utf-8"
    )
    after = load_rulebook([folder], FORMULAS)
    assert before == replace(after, drafts=before.drafts)


def test_a_lesson_that_is_a_draft_is_read_by_the_check_alone(tmp_path: Path) -> None:
    """Until its draft line is taken out a lesson is as if not there, whatever stands in it."""
    folder = shop.written(tmp_path)
    path = _begun(folder, "lesson")
    assert {} == read_entries(path.parent, "lessons", LESSON, drafts=False)
    _fill(path, "lesson")
    assert {"straps"} == set(read_entries(path.parent, "lessons", LESSON, drafts=True))
    path.write_text(path.read_text(encoding="utf-8").replace("status: draft", "status: ready"))
    for drafts in (True, False):
        with pytest.raises(ProblemsFound, match="`ready`"):
            read_entries(path.parent, "lessons", LESSON, drafts=drafts)


@pytest.mark.parametrize(
    ("kind", "name", "area", "message"),
    [
        ("cause", "Bent", "power", "`Bent` cannot be an id: an id is lower-case words"),
        ("cause", "flat cells", "power", "there is a cause `flat cells` already, in "),
        ("finding", "supply", "power", "there is a sign `supply` already, in "),
        ("sign", "beam and glow", "power", "`beam and glow` cannot be an id: the word `and` is "),
        ("check", "look at it", "power", "there is a check `look at it` already, in "),
        ("cause", "bent reflector", "../up", "`../up` cannot be an area; known are `power`"),
        ("cause", "bent reflector", "", "`` cannot be an area; known are `power`"),
        (
            "cause",
            "bent reflector",
            "cases",
            "`cases` cannot be an area: that folder holds worked ",
        ),
        ("sign", "bent", "units", "`units` cannot be an area: that folder holds units; known are "),
        ("case", "LAMP 1", "power", "a case needs no area: all cases stand in the folder `cases`"),
        ("lesson", "straps", "power", "a lesson needs no area: all lessons stand in the folder "),
        ("case", "LAMP\n1", "", "`LAMP\n1` cannot be an id: it is one line of at most 80 "),
        ("case", "a: b", "", "`a: b` cannot be an id: it may not hold `: `"),
        ("cause", "../bent", "power", "`../bent` cannot be an id: "),
        ("rule", "bent", "power", "`rule` cannot be begun; one of `cause`, `finding`, `check`, "),
    ],
)
def test_a_bad_name_is_refused(
    kind: str, name: str, area: str, message: str, tmp_path: Path
) -> None:
    """An id that cannot be one, a taken one, and a folder that is no area are refused."""
    book = shop.read(shop.written(tmp_path)).rulebook
    with pytest.raises(ValueError, match=f"^{re.escape(message)}"):
        template(book, kind, name, area)
