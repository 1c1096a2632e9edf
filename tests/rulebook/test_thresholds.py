"""Thresholds: limits that stand once, named in conditions and sums like figures."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lamps import FILES, FORMULAS, SIGNS, UNIT, complaint_about, edited, write

from diag.cli.places import shipped_rules
from diag.model.problem import ProblemsFound
from diag.model.quantity import quantity
from diag.rulebook import load_rulebook, load_thresholds, parse_condition
from diag.rulebook.build.gather import Gathered
from diag.rulebook.build.thresholds import thresholds

LIMITS = """\
thresholds:
  slack:
    title: what a sound cell may stand below its rating
    value: 0.5 V
    source: invented
  dim glow: {value: 20 %, proportional to: {rated volts: 5 V}, source: memory}
"""
NAMED = edited(
    edited(SIGNS, "cell volts < unit rated volts - 0.5 V", "cell volts < unit rated volts - slack"),
    "cell volts >= unit rated volts - 0.5 V",
    "cell volts >= unit rated volts - slack",
)


def test_a_name_stands_for_its_number(tmp_path: Path) -> None:
    """A rule that names a threshold equals the rule with its number written there."""
    written = load_rulebook([write(tmp_path / "a", FILES)], FORMULAS)
    files = {**FILES, "signs.yaml": NAMED, "thresholds.yaml": LIMITS}
    named = load_rulebook([write(tmp_path / "b", files)], FORMULAS)
    assert [rule.when for rule in written.rules] == [rule.when for rule in named.rules]


def test_a_threshold_may_grow_with_a_datum_of_the_unit(tmp_path: Path) -> None:
    """20 % at 5 V is 40 % at 10 V, in a condition as for whoever reads the threshold alone."""
    book = load_rulebook([write(tmp_path, {**FILES, "thresholds.yaml": LIMITS})], FORMULAS)
    expected = parse_condition("lamp amps / 1 A < 20 % * unit rated volts / 5 V", book)
    assert expected == parse_condition("lamp amps / 1 A < dim glow", book)
    grown = book.thresholds["dim glow"].at({"rated volts": quantity(10, "V")})
    assert quantity(40, "%") == grown


def test_thresholds_are_read_without_the_rest(tmp_path: Path) -> None:
    """The file alone gives what the whole rulebook holds, even when the rest is broken."""
    folder = write(tmp_path, {**FILES, "thresholds.yaml": LIMITS})
    whole = load_rulebook([folder], FORMULAS).thresholds
    write(tmp_path, {"signs.yaml": "findings: ["})
    assert list(whole.items()) == list(load_thresholds(folder).items())


def test_a_number_with_its_origin_asks_the_rule_for_none(tmp_path: Path) -> None:
    """A rule without a source may name a threshold, which has its own."""
    signs = edited(NAMED, "source: invented\nunit data", "unit data")
    said = complaint_about(tmp_path, {"signs.yaml": signs, "thresholds.yaml": LIMITS})
    assert "supply" not in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            edited(LIMITS, "    source: invented\n", ""),
            "thresholds.yaml:2:3: the numbers here do not say where they come from",
        ),
        (edited(LIMITS, "    value: 0.5 V\n", ""), "this threshold has no `value`"),
        (
            edited(LIMITS, "rated volts: 5 V", "rated volt: 5 V"),
            "there is no unit datum `rated volt`",
        ),
        (edited(LIMITS, "rated volts: 5 V", "rated volts: 5 A"), "thresholds.yaml:6:"),
        (edited(LIMITS, "rated volts: 5 V", "rated volts: 0 V"), "a value above 0 is expected"),
        (edited(LIMITS, "0.5 V", "0.5 A"), "cannot be"),
        (edited(LIMITS, "  slack:", "  beam:"), "`beam` is already a finding or a sign"),
    ],
)
def test_what_is_wrong_with_a_threshold_is_told(tmp_path: Path, text: str, said: str) -> None:
    """An origin, a value, a datum that exists and fits, and a name of its own are needed."""
    assert said in complaint_about(tmp_path, {"signs.yaml": NAMED, "thresholds.yaml": text})


def test_a_folder_without_thresholds_is_told(tmp_path: Path) -> None:
    """Who reads thresholds alone is told the file that is missing."""
    with pytest.raises(ProblemsFound, match="there is no such file"):
        load_thresholds(write(tmp_path, {"units/lamp.yaml": UNIT}))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "thresholds: [",
        LIMITS + "findings: {}\n",
        edited(LIMITS, "0.5 V", "0.5 volt each"),
        edited(LIMITS, "0.5 V", "<a voltage>"),
        edited(LIMITS, "0.5 V", "[0.5 V]"),
        edited(LIMITS, "    value: 0.5 V\n", ""),
        edited(LIMITS, "    value: 0.5 V", "    valeu: 0.5 V"),
        edited(LIMITS, "    source: invented\n", ""),
        edited(LIMITS, "    source: invented", "    source: somewhere"),
        edited(LIMITS, "  slack:", "  slack or not:"),
        edited(LIMITS, "rated volts: 5 V", "rated volts: five"),
    ],
)
def test_alone_says_what_the_whole_reader_says(tmp_path: Path, text: str) -> None:
    """What is wrong in the file is told in the same words, whoever reads it."""
    alone, whole = both_read(write(tmp_path, {"thresholds.yaml": text}))
    assert whole == alone


PIECES = (
    "source: memory",
    "thresholds:",
    "thresholds: # all",
    "  slack:",
    "  slack: {value: 3 V}",
    "  dim glow:",
    "  not so:",
    "    value: 0.5 V",
    "    value: 1,5 %",
    "    value: '5 %'",
    "    title: a cell's slack",
    "    title: what: else",
    "    title: one # two",
    "      and more",
    "    source: invented",
    "    source: nobody",
    "    proportional to: {rated volts: 5 V}",
    "    proportional to: {rated volts: 5}",
    "    proportional to: {}",
    "  # a remark",
    "",
    "\tvalue: 3 V",
)


@settings(deadline=None, max_examples=400)
@given(st.lists(st.sampled_from(PIECES), max_size=9).map("\n".join), st.booleans())
def test_plain_lines_are_read_as_yaml_reads_them(body: str, begun: bool) -> None:
    """However plain lines are put together, both readers find the same limits or problems."""
    text = "thresholds:\n  slack:\n    value: 0.5 V\n" * begun + body
    with tempfile.TemporaryDirectory() as folder:
        alone, whole = both_read(write(Path(folder), {"thresholds.yaml": text}))
    assert whole == alone


def both_read(folder: Path) -> tuple[object, object]:
    """Return what the reader of thresholds alone and the reader of all files make of them."""
    gathered = Gathered()
    source, top, _ = gathered.open(folder / "thresholds.yaml", str(folder / "thresholds.yaml"))
    if top is not None:
        gathered.add_file(source, top)
    made = {} if gathered.problems else thresholds(gathered)
    made = {} if gathered.problems else thresholds(gathered)
    whole: object = tuple(sorted(gathered.problems)) or list(made.items())
    try:
        alone: object = list(load_thresholds(folder).items())
    except ProblemsFound as error:
        alone = error.problems
    return alone, whole


def test_the_shipped_limits_are_read_without_yaml() -> None:
    """A bench command loads no reader of YAML: the shipped file is plain enough."""
    code = (
        "import sys; from pathlib import Path; from diag.rulebook import load_thresholds;"
        "print(len(load_thresholds(Path(sys.argv[1]))) > 9, 'yaml' in sys.modules)"
    )
    command = [sys.executable, "-c", code, str(shipped_rules())]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert done.stdout == "True False\n"
