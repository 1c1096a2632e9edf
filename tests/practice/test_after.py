"""How a drill is marked and looked back upon, and what its hints and exercises say."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from random import Random

import pytest
from scipy.stats import entropy

from diag.model.quantity import Quantity
from diag.practice.drill.beside import looked_back, proof_of, tool_path, tool_steps
from diag.practice.drill.drill import Drill
from diag.practice.drill.exercise import exercise
from diag.practice.drill.hints import best_split, open_bits
from diag.practice.drill.levels import LEVELS, choose_fault, families_of
from diag.practice.drill.marks import is_right, marks_of, weaknesses
from diag.practice.work import COOLS
from diag.rulebook import parse_answer
from diag.session.candidates import candidate_checks
from tests.practice.settings import drill, shipped, typed

MARKED = {
    # lines typed, the tool's minutes, points; by the rule of the marks, worked by hand
    "named at once": (("look round for danger", "call bad earth"), 30.0, 10.0),
    "two degrees of hint": (("hint", "hint", "call bad earth"), 30.0, 8.0),
    "the answer was told": (("hint", "hint", "hint", "hint", "call bad earth"), 30.0, 0.0),
    "a caution run into": (("repair bad earth", "call bad earth"), 30.0, 8.0),
    "slow": (("look round for danger", "look for another drain", "call bad earth"), 5.0, 9.0),
    "the right family": (("call worn battery",), 30.0, 3.0),
    "the right family, and a guess": (("call worn battery and thin cable",), 30.0, 1.0),
    "another family": (("call clogged filter",), 30.0, 0.0),
    "one too many": (("call bad earth and worn battery",), 30.0, 8.0),
    "called sound": (("call nothing wrong",), 30.0, 0.0),
    "a good part": (("power off", "swap filter", "call bad earth"), 60.0, 9.0),
}


@pytest.mark.parametrize("case", MARKED)
def test_marks_follow_their_rule(case: str) -> None:
    """Points come of what was called, less hints, cautions, good parts, and time."""
    lines, tool_minutes, points = MARKED[case]
    of = drill("bad earth")
    typed(of, *lines)
    (mark,) = marks_of(of, tool_minutes)
    assert ("supply", "bad earth", points) == (mark.family, mark.cause, mark.points)


def test_a_sound_unit_is_marked_for_being_called_so() -> None:
    """`call nothing wrong` is right of a sound unit alone, or of one that was put right."""
    of = drill("nothing wrong", level=4)
    typed(of, "call nothing wrong")
    assert is_right(of)
    assert [("use", 10.0)] == [(one.family, one.points) for one in marks_of(of, 10.0)]
    mended = drill("bad earth")
    typed(mended, "look round for danger", "power off", "repair bad earth", "call nothing wrong")
    assert is_right(mended)


def test_each_thing_wrong_has_its_mark() -> None:
    """Of two faults, each is marked by itself; naming one alone is not right yet."""
    of = drill("bad earth + clogged filter", level=4)
    typed(of, "call clogged filter")
    assert not is_right(of)
    points = {one.family: one.points for one in marks_of(of, 30.0)}
    assert {"supply": 0.0, "fuel": 10.0} == points


def test_what_is_weak_is_drawn_more_often() -> None:
    """With marks of ten in all families but one, most faults come from that one."""
    of = shipped()
    families = sorted({cause.area for cause in of.book.causes.values()})
    weak = weaknesses({name: [10.0 * (name != "sensors")] for name in families}, families)
    assert {"sensors"} == {name for name, more in weak.items() if more > 1.0}

    def drawn(weights: dict[str, float]) -> int:
        counts = Counter(
            families_of(of.book, of.files.faults[fault].truths)[0][0]
            for n in range(300)
            for fault in [choose_fault(of.files, of.book, LEVELS[2], Random(n), weights)]
        )
        return counts["sensors"]

    assert drawn(dict(weak)) > 1.5 * drawn({})


def test_what_readings_told_is_how_far_belief_moved() -> None:
    """A deed is told by the relative entropy of belief after to belief before (Kullback and Leibler
    1951), worked out by scipy; what would have split best could be done and tells no more than is
    open."""
    of = drill("bad earth")
    before = open_bits(of.state.posterior)
    able = {offer.check.id for offer in candidate_checks(of.state)}
    beliefs = [_shares(of)]
    for line in ("look round", "start", "volts at rest", "power off", "look earth joint"):
        typed(of, line)
        if of.steps[-1].events:
            beliefs.append(_shares(of))
    points = looked_back(of)
    moved = [entropy(new, old, base=2) for old, new in pairwise(beliefs) if new != old]
    assert pytest.approx(moved, rel=1e-3) == [point.told_bits for point in points]
    best = points[0].best
    assert best is not None
    assert best.check.id in able
    assert 0.0 < best.bits <= best.open_bits == pytest.approx(before)


def _shares(of: Drill) -> list[float]:
    """Return the share of each cause, of two at once half to each, of nothing and the unknown."""
    posterior = of.state.posterior
    shares = dict.fromkeys(posterior.singles, 0.0) | dict(posterior.singles)
    for pair, share in posterior.pairs.items():
        for cause in pair:
            shares[cause] += share / 2.0
    return [*shares.values(), posterior.nothing, posterior.unknown]


def test_a_look_round_that_comes_late_is_told_so() -> None:
    """The first look for dangers comes before all else; where it did not, the look back says so."""
    for lines, said in (
        (("look round for danger", "start"), "safety comes first"),
        (("start", "look round for danger"), "it should have come first"),
    ):
        of = drill("bad earth")
        typed(of, *lines)
        assert [said] == [point.safety for point in looked_back(of) if point.safety]


def test_a_reading_by_its_own_name_is_its_check() -> None:
    """Whoever names a reading of the best check has done the best there was."""
    of = drill("bad earth")
    best = best_split(of.state, frozenset({COOLS}))
    assert best is not None
    checks = of.book.checks.values()
    typed(of, next(n for n in best.check.yields if sum(n in each.yields for each in checks) == 1))
    assert str(looked_back(of)[0]).endswith("; it was the best there was")


def test_a_proof_is_told_with_the_numbers_of_the_unit() -> None:
    """What proves a repair names no datum of the unit but what it comes to."""
    of = drill("worn pump")
    book = shipped().book
    dose = of.state.unit.data["pump dose"]
    low, high = (dose.unit.written(float(f"{dose.value * share:.6g}")) for share in (0.85, 1.15))
    assert f"fuel from 100 pulses: {low} to {high}" == proof_of(of, book.causes["pump worn"])
    assert "duct: sound; warm air rise is normal" == proof_of(of, book.causes["duct blocked"])


def test_a_danger_that_was_never_seen_is_told() -> None:
    """What is dangerous about a unit and was raised by no reading is named at the end."""
    of = drill("oversized fuse")
    of.unit.dangers = frozenset({"carbon monoxide"})
    typed(of, "look round for danger", "call oversized fuse")
    assert ("carbon monoxide",) == of.dangers_missed


def test_hints_come_by_degrees() -> None:
    """Family, check, meaning, answer, each a further hint if nothing was done in between."""
    of = drill("bad earth")
    first, second, third = typed(of, "hint", "hint", "hint")
    assert "What is wrong lies with: supply." == first.said[0]
    assert "expected to tell" in second.said[0]
    assert "Nothing is read yet." in third.said[0]
    _, again, meaning, answer = typed(of, "volts at the heater while igniting", *["hint"] * 3)
    assert "hint 2 of 4" == again.heard
    assert any("It speaks strongly for battery empty." == said for said in meaning.said)
    assert ["Bad earth: `call bad earth`."] == answer.said
    assert 4 == of.hint_degree


def test_the_tool_takes_the_same_unit() -> None:
    """The tool's way is that of a unit drawn anew with the same parts, and it ends."""
    of = drill("open glow plug")
    played = tool_path(shipped().files, shipped().book, of, seed=3)
    assert "proved" == played.ending
    assert ["glow plug open circuit"] == played.proposed
    steps = tool_steps(shipped().book, played)
    title = shipped().book.causes["glow plug open circuit"].title
    assert sorted(spent for spent, _ in steps) == [spent for spent, _ in steps]
    assert [f"repair: {title}"] == [what for _, what in steps if what.startswith("repair")]


def test_an_exercise_reads_the_unit_and_keeps_its_answer_apart() -> None:
    """Its readings are the unit's, its answer is what is wrong, and both come out again."""
    made, again = (exercise(shipped().files, drill("bad earth"), seed=3) for _ in range(2))
    assert made == again
    read = {name: value for _, rows in made.readings for name, value in rows}
    assert "no" == read["fuel leak"]
    volts = parse_answer(read["volts at rest"], shipped().book.findings["volts at rest"])
    assert isinstance(volts, Quantity)
    assert 11.0 < volts.si < 14.0
    assert [("supply", "bad earth")] == [(one.family, one.cause) for one in made.answers]
