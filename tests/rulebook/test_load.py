"""What a sound set of files becomes, and what several folders, cases and units add."""

from __future__ import annotations

from pathlib import Path

import pytest
from lamps import CAUSE, FILES, FORMULAS, SIGNS, complaint_about, edited, write

from diag.model.problem import ProblemsFound
from diag.model.quantity import quantity
from diag.model.rulebook import Fact
from diag.physics.formulas.catalogue import FORMULAS as CATALOGUE
from diag.rulebook import load_cases, load_rulebook, load_unit_file, read_readings
from diag.rulebook.build.gather import Gathered
from diag.rulebook.load import read_all


def test_everything_written_is_there(lamps):
    """Each entry of the files is in the rulebook, words turned into numbers."""
    cause = lamps.causes["flat cells"]
    assert cause.odds == 0.1
    assert cause.shows == {"supply": {"sags": 0.85}, "beam": {"dim": 0.5, "dark": 0.15}}
    assert cause.repair.cost == 7
    assert lamps.units["LAMP 1"].data == {"rated volts": quantity(6, "V")}
    assert lamps.units["LAMP 1"].codes == {"3": "open"}
    assert list(lamps.figures) == ["lamp power", "lamp resistance"]
    assert lamps.checks["look at it"].needs == ("dark room",)


def test_raw_words_stay_words(lamps):
    """`no` is the word no, and a yes/no finding lists its sound answer first."""
    assert lamps.findings["wet"].states == ("no", "yes")


def test_finding_named_as_evidence_is_a_sign(lamps):
    """A choice finding that a cause names is a sign, with the usual leak."""
    assert lamps.signs["beam"].is_finding is True
    assert lamps.signs["beam"].leak == {"dim": 0.02, "dark": 0.02}
    assert lamps.signs["wet"].is_finding is True


def test_sign_taken_from_a_finding(lamps):
    """A sign taken from a finding has one rule for each state that they share."""
    facts = [rule.then for rule in lamps.rules if rule.then.name == "light"]
    assert facts == [Fact("sign", "light", "bright"), Fact("sign", "light", "dim")]


def test_hash_follows_the_bytes(lamps, tmp_path):
    """The same bytes under the same names give the same hash, others another."""
    same = load_rulebook([write(tmp_path / "a", FILES)], FORMULAS)
    files = {**FILES, "signs.yaml": SIGNS + "# a remark\n"}
    other = load_rulebook([write(tmp_path / "b", files)], FORMULAS)
    assert (same.hash == lamps.hash, other.hash == lamps.hash) == (True, False)


def test_later_folder_loads_on_top(tmp_path):
    """A second folder adds its causes; an id that is taken is refused, both places named."""
    first = write(tmp_path / "a", FILES)
    more = edited(CAUSE, "cause: flat cells", "cause: worn cells")
    second = write(tmp_path / "b", {"power/worn-cells.yaml": more})
    assert list(load_rulebook([first, second], FORMULAS).causes) == ["flat cells", "worn cells"]
    write(second, {"power/flat-cells.yaml": CAUSE})
    with pytest.raises(ProblemsFound) as found:
        load_rulebook([first, second], FORMULAS)
    assert str(found.value).replace(f"{tmp_path}/", "") == (
        "b/power/flat-cells.yaml:1:8: `flat cells` is already among the causes, "
        "in a/power/flat-cells.yaml:1:8\n"
        "  | cause: flat cells\n"
        "  |        ^^^^^^^^^^\n"
        "  give one of the two another id"
    )


@pytest.mark.parametrize("shipped", [False, True])
def test_places_are_kept_on_demand(tmp_path, shipped):
    """A sound rulebook is the same, places and all, whether every place was kept on the way."""
    folder = Path(__file__).parents[2] / "rules" if shipped else write(tmp_path, FILES)
    formulas = {each.name: each for each in CATALOGUE} if shipped else FORMULAS
    books = [read_all(Gathered(placed=kept), [folder], formulas) for kept in (False, True)]
    assert books[0] == books[1]


def test_unit_based_on_another(lamps, tmp_path):
    """What a unit leaves out is taken from the one it is based on, and marked assumed."""
    text = "unit: MINE\ntitle: Mine\nsource: invented\nbased on: LAMP 1\n"
    write(tmp_path, {"mine.yaml": text})
    unit = load_unit_file(tmp_path / "mine.yaml", lamps)
    assert unit.assumed == {"rated volts"}
    assert unit.data["rated volts"] == quantity(6, "V")
    assert unit.codes == {"3": "open"}


@pytest.mark.parametrize("source", ["memory", "invented"])
def test_what_a_unit_says_from_memory_is_assumed(source, lamps, tmp_path):
    """A number of a unit counts as its own only where it was not written down from memory."""
    text = f"unit: MINE\ntitle: Mine\nsource: {source}\ndata: {{rated volts: 5 V}}\n"
    write(tmp_path, {"mine.yaml": text})
    unit = load_unit_file(tmp_path / "mine.yaml", lamps)
    assert unit.assumed == ({"rated volts"} if source == "memory" else set())


def test_cases(lamps, tmp_path):
    """A case is read against the rulebook; a finding it does not know is refused."""
    text = (
        "cases:\n  LAMP 1 is dim:\n    unit: LAMP 1\n    complaint: will not light\n"
        "    truth: [flat cells]\n    shows: {cell volts: 4 V, wet: no}\n    note: invented\n"
    )
    write(tmp_path, {"one.yaml": text})
    (case,) = load_cases(tmp_path, lamps)
    assert case.truth == ("flat cells",)
    assert (case.readings["cell volts"].value, case.readings["wet"]) == (4.0, "no")
    write(tmp_path, {"one.yaml": edited(text, "cell volts", "cell volt")})
    with pytest.raises(ProblemsFound) as found:
        load_cases(tmp_path / "one.yaml", lamps)
    assert str(found.value).replace(f"{tmp_path}/", "") == (
        "one.yaml:6:13: there is no finding `cell volt`\n"
        "  |     shows: {cell volt: 4 V, wet: no}\n"
        "  |             ^^^^^^^^^\n"
        "  did you mean `cell volts`?"
    )


def test_readings_carry_the_meter_error(lamps):
    """Half a percent of 5 V and 0.02 V are 0.045 V."""
    unit = lamps.units["LAMP 1"]
    read = read_readings("cell volts: 5\nwet: no\n", "r.yaml", lamps, unit)
    assert read["cell volts"].error == pytest.approx(0.045)
    assert read["wet"] == "no"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "wet: no\nwet: yes\n",
            "r.yaml:2:1: the key `wet` stands twice in this mapping\n  | wet: yes\n  | ^^^\n"
            "  the first is in line 1: keep one of the two",
        ),
        (
            "cell volts: 12 A\n",
            "r.yaml:1:13: `12 A` is a current\n  | cell volts: 12 A\n"
            "  |             ^^^^\n  a voltage in V is expected",
        ),
    ],
)
def test_readings_file_refusals(lamps, text, said):
    """A repeated answer and a wrong dimension are refused in place."""
    with pytest.raises(ProblemsFound) as found:
        read_readings(text, "r.yaml", lamps, lamps.units["LAMP 1"])
    assert str(found.value) == said


def test_cases_are_left_alone_at_start(tmp_path):
    """What stands under `cases` is not read with the rules."""
    assert complaint_about(tmp_path, {"cases/broken.yaml": "{"}) == ""
