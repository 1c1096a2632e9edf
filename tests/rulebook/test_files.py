"""Files that are refused before anything in them is understood."""

from __future__ import annotations

import pytest
import yaml
from lamps import FILES, FORMULAS, complaint_about, write

from diag.rulebook import load_rulebook
from diag.rulebook.yaml import nodes


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "x.yaml: the file is empty\n  fill or delete it"),
        ("# only a remark\n", "x.yaml: the file is empty\n  fill or delete it"),
        (
            "- a\n",
            "x.yaml:1:1: the file holds no keys\n  | - a\n  | ^\n  write `key: value` lines",
        ),
        (
            "source: memory\nsource: invented\n",
            "x.yaml:2:1: the key `source` stands twice in this mapping\n"
            "  | source: invented\n  | ^^^^^^\n  the first is in line 1: keep one of the two",
        ),
        (
            "source: &a memory\n",
            "x.yaml:1:9: the anchor `&a` may not be used\n"
            "  | source: &a memory\n  |         ^^^^^^^^^\n  take it out",
        ),
        (
            "source: *a\n",
            "x.yaml:1:9: the alias `*a` may not be used\n"
            "  | source: *a\n  |         ^^\n  write it out again",
        ),
        (
            "source: !!str memory\n",
            "x.yaml:1:9: the tag `tag:yaml.org,2002:str` may not be used\n"
            "  | source: !!str memory\n  |         ^^^^^^^^^^^^\n"
            "  every value is read as plain text: take it out",
        ),
        (
            "source: memory\n---\nsource: memory\n",
            "x.yaml:2:1: a second document starts here\n  | ---\n  | ^^^\n  one document to a file",
        ),
        (
            "source: a\x1b[31m\n",
            "x.yaml:1:10: the control character U+001B may not stand in a file\n"
            "  | source: a?[31m\n  |          ^\n  take it out",
        ),
        (
            'source: "memory \\e[31m"\n',
            "x.yaml:1:9: the text holds the control character U+001B\n"
            '  | source: "memory \\e[31m"\n  |         ^^^^^^^^^^^^^^^\n  take it out',
        ),
        (
            "source: [a\n",
            "x.yaml:2:1: this is not YAML: while parsing a flow sequence did not find expected "
            "',' or ']'\n  look at the indents, quotes, colons and brackets here and on the "
            "line above",
        ),
        (
            "sings: {}\n",
            "x.yaml:1:1: `sings` is not a section of a rule file\n  | sings: {}\n  | ^^^^^\n"
            "  did you mean `signs` or `settings` or `findings`?",
        ),
    ],
)
def test_refused(tmp_path, text, said):
    """Each thing that misleads in YAML is refused with its place and what to do."""
    assert complaint_about(tmp_path, {"x.yaml": text}) == said


def test_too_deep(tmp_path):
    """The forty-first level is refused."""
    said = complaint_about(tmp_path, {"x.yaml": "[" * 50 + "]" * 50})
    assert said == (
        "x.yaml:1:41: more than 40 levels deep\n"
        f"  | {'[' * 50}{']' * 50}\n  | {' ' * 40}^\n  write it flatter"
    )


@pytest.mark.parametrize("opening", ["[", "- ", "{a: ", "? "])
def test_ten_thousand_levels(tmp_path, opening):
    """Ten thousand levels are one refusal in one place, never an exhausted stack."""
    said = complaint_about(tmp_path, {"x.yaml": opening * 10_000})
    assert said.startswith("x.yaml:")
    assert said.count("x.yaml:") == 1


def test_not_utf8(tmp_path):
    """A byte that is not UTF-8 is named with its place."""
    (tmp_path / "x.yaml").write_bytes(b"source: memory\nsay: caf\xe9\n")
    assert complaint_about(tmp_path, {}) == (
        "x.yaml:2:9: the byte `e9` is not UTF-8\n  save the file as UTF-8"
    )


def test_folder_named_like_a_file(tmp_path):
    """A folder in the place of a file is said to be one."""
    (tmp_path / "x.yaml").mkdir()
    assert complaint_about(tmp_path, {}) == "x.yaml: this is a folder\n  name a file in it"


def test_missing_link(tmp_path):
    """A file that is not there any more is said to be missing."""
    (tmp_path / "x.yaml").symlink_to(tmp_path / "gone.yaml")
    assert complaint_about(tmp_path, {}) == "x.yaml: there is no such file\n  check the name"


def test_oversize(tmp_path):
    """A file beyond all measure is not read at all."""
    with (tmp_path / "x.yaml").open("wb") as file:
        file.truncate(17_000_000)
    assert complaint_about(tmp_path, {}) == (
        "x.yaml: the file holds 17000000 bytes, the most that is read is 16000000 bytes\n"
        "  split it into several files"
    )


def test_byte_order_mark_is_harmless(tmp_path):
    """A file saved with a byte order mark reads like any other."""
    assert complaint_about(tmp_path, {"x.yaml": "\ufeffsource: memory\n"}) == ""


def test_other_ending(tmp_path):
    """A file that would be passed over because of its ending is named."""
    said = complaint_about(tmp_path, {"x.yml": "source: memory\n"})
    assert said == "x.yml: this file is not read\n  name it `.yaml`"


def test_pure_parser_reads_the_same(tmp_path, monkeypatch):
    """Without the C parser the same files give the same rulebook.

    The two differ in one thing: the pure one takes no `?` before a comma inside braces.
    """
    write(tmp_path, {name: text.replace("?,", ",") for name, text in FILES.items()})
    fast = load_rulebook([tmp_path], FORMULAS)
    monkeypatch.setattr(nodes, "LOADER", yaml.Loader)
    assert load_rulebook([tmp_path], FORMULAS) == fast
