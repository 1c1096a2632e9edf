"""Lessons: what is wrong with a file of them, and what the shipped ones keep to."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.authoring.lints.lint import sentences
from diag.authoring.lints.plain_words import old_words
from diag.authoring.lints.short_sentences import MOST_WORDS
from diag.cli.places import shipped_rules
from diag.model.problem import ProblemsFound
from diag.model.quantity import UNITS
from diag.model.rulebook import Rulebook
from diag.physics.formulas.catalogue import FORMULAS
from diag.practice.lessons import pages
from diag.practice.lessons.bench import LessonBench, written
from diag.practice.lessons.lesson import PICTURES, Lesson, placeholders, practised
from diag.practice.lessons.written import read_lessons
from diag.practice.pictures.heat import heat_share
from diag.rulebook import load_rulebook
from diag.workshop import WorkshopError
from diag.workshop.standing import standing
from tests.workshop.shipped import shipped_world

LESSONS = shipped_rules() / "lessons"
NAMES = ("what a start looks like", "supply first", "fuel", "air", "heat", "shut-down", "dangers")
SHORT: dict[str, Any] = {
    "number": 1,
    "title": "A short one",
    "why": "It is so.",
    "unit": "small 12 V",
    "seed": 4,
    "steps": {
        "first": {
            "ask": "What is it?",
            "choices": [{"this": "Yes."}, {"that": "No."}],
            "right": "this",
            "tell": "At rest it has {volts at rest}.",
        }
    },
    "practise": {"bad earth": 1},
}


@cache
def book() -> Rulebook:
    return load_rulebook((shipped_rules(),), {each.name: each for each in FORMULAS})


@cache
def shipped() -> dict[str, Lesson]:
    return dict(read_lessons([LESSONS], book(), shipped_world()))


@cache
def bench(name: str) -> LessonBench:
    return LessonBench(shipped()[name], book(), shipped_world())


def read(folder: Path, **lessons: dict[str, Any]) -> dict[str, Lesson]:
    """Write lessons into a file of a folder, and read that."""
    (folder / "own.yaml").write_text(
        yaml.safe_dump({"source": "invented", "lessons": lessons}, sort_keys=False)
    )
    return dict(read_lessons([folder], book(), shipped_world()))


def changed(keys: tuple[str, ...], value: object) -> dict[str, Any]:
    """Give the short lesson with one value changed, or taken out where it is None."""
    lesson: dict[str, Any] = yaml.safe_load(yaml.safe_dump(SHORT))
    below = lesson
    for key in keys[:-1]:
        below = below[key]
    if value is None:
        del below[keys[-1]]
    else:
        below[keys[-1]] = value
    return lesson


def test_a_short_lesson_is_read(tmp_path: Path) -> None:
    """A lesson with what it must have is read as it is written."""
    (lesson,) = read(tmp_path, short=SHORT).values()
    assert ("short", 1, ("It is so.",), "") == (
        lesson.id, lesson.number, lesson.why, lesson.fault,
    )  # fmt: skip
    assert {"this": "Yes.", "that": "No."} == lesson.steps[0].choices
    assert "short: first" == lesson.item(lesson.steps[0])


FIRST = ("steps", "first")
WRONG: tuple[tuple[tuple[str, ...], object, str], ...] = (
    (("unit",), "small 13 V", "there is no class of units `small 13 V`"),
    (("fault",), "bad earht", "there is no fault `bad earht`"),
    (("seed",), "many", "`many` is no whole number above 0"),
    (("number",), "0", "`0` is no whole number above 0"),
    (("cautions",), ["hot part"], "there is no caution `hot part`"),
    (("practise",), {"bad earht": 1}, "there is no cause `bad earht`"),
    (
        ("practise",),
        {"microbes in the fuel": 1},
        "level 1 draws no unit with `microbes in the fuel`",
    ),
    (("practise",), {"bad earth": 9}, "there is no level 9: expected 1, 2, 3, 4"),
    (("title",), None, "this lesson has no `title`"),
    (("tittle",), "x", "`tittle` is not a key of a lesson"),
    (("why",), "It has {volts at rset}.", "there is nothing to put for `volts at rset` in braces"),
    (
        ("why",),
        "{sound unit pump dose}",
        "there is nothing to put for `sound unit pump dose` in braces",
    ),
    (("steps",), {}, "this lesson has no step"),
    (("steps",), "none", "`name: ...` pairs are expected under `steps`"),
    ((*FIRST, "right"), "thsi", "`thsi` is none of the choices"),
    ((*FIRST, "choices"), [{"this": "Yes."}], "a question needs two answers or more"),
    ((*FIRST, "choices"), "this", "a list of `- name: ...` lines is expected here"),
    (
        (*FIRST, "shows"),
        ["volts at rset"],
        "there is no finding that the world reads `volts at rset`",
    ),
    (
        (*FIRST, "shows"),
        ["damaged battery"],
        "there is no finding that the world reads `damaged battery`",
    ),
    ((*FIRST, "picture"), "curent", "there is no picture `curent`"),
    ((*FIRST, "of"), "a strat", "there is no act `a strat`"),
    ((*FIRST, "ask"), None, "this step has no `ask`"),
    ((*FIRST, "hint"), "x", "`hint` is not a key of a step"),
)


@pytest.mark.parametrize(("keys", "value", "message"), WRONG)
def test_what_is_wrong_is_told_with_its_place(
    tmp_path: Path, keys: tuple[str, ...], value: object, message: str
) -> None:
    """Each mistake is one problem, in the line of the value that is wrong."""
    with pytest.raises(ProblemsFound) as found:
        read(tmp_path, short=changed(keys, value))
    (problem,) = found.value.problems
    assert message == problem.message
    assert (tmp_path / "own.yaml") == Path(problem.place.path)
    assert problem.place.line > 2


def test_two_lessons_of_one_number_or_name(tmp_path: Path) -> None:
    """A number stands once, and an own lesson does not take the name of a shipped one."""
    with pytest.raises(ProblemsFound, match="`a` has the number 1 already"):
        read(tmp_path, a=SHORT, b=changed(("title",), "Another"))
    read(tmp_path, a=SHORT)
    with pytest.raises(ProblemsFound, match="there is a lesson `a` already"):
        read_lessons([tmp_path, tmp_path], book(), shipped_world())


def test_the_shipped_lessons() -> None:
    """There are seven, in order, each with questions and three causes to practise."""
    assert NAMES == tuple(shipped())
    assert [3] * 7 == [len(lesson.practise) for lesson in shipped().values()]
    assert all(len(lesson.steps) >= 4 for lesson in shipped().values())


@pytest.mark.parametrize("name", NAMES)
def test_what_is_practised_is_what_the_lesson_names(name: str) -> None:
    """Each cause to practise is drawn sooner or later, at its level, and nothing else is."""
    lesson, drawn = shipped()[name], set()
    for seed in range(60):
        level, fault = practised(lesson, shipped_world(), Random(seed))
        truths = frozenset[str]().union(*shipped_world().faults[fault].truths)
        (cause,) = truths & lesson.practise.keys()
        assert level.number == lesson.practise[cause]
        drawn.add(cause)
    assert set(lesson.practise) == drawn


def texts(lesson: Lesson) -> list[str]:
    """Give all that a lesson says, filled in."""
    found = [lesson.title, *pages.why(bench(lesson.id))]
    for step in lesson.steps:
        asked = pages.asked(bench(lesson.id), step)
        found += [asked.ask, *asked.choices, *asked.meant, *pages.told(bench(lesson.id), step)]
    return found


@pytest.mark.parametrize("name", NAMES)
def test_what_a_lesson_says_can_be_read_aloud(name: str) -> None:
    """Sentences are short, words are the shop's, and no brace or empty reading is left."""
    for text in texts(shipped()[name]):
        assert [] == [*old_words(text)], text
        assert [] == [s for s in sentences(text) if len(s.split()) > MOST_WORDS]
        assert not set("{}") & set(text), text
        assert "nothing to read" not in text


def test_lessons_hold_no_number_of_their_own() -> None:
    """What the unit or the rules know is never written down: the one number is a way to measure."""
    said = [
        text
        for lesson in shipped().values()
        for step in lesson.steps
        for text in (*lesson.why, step.ask, *step.choices, *step.choices.values(), *step.tell)
    ]
    words = {word for text in said for word in text.split() if any(map(str.isdigit, word))}
    assert {"100"} == words


@pytest.mark.parametrize("name", NAMES)
def test_a_lesson_touches_what_can_hurt_with_its_cautions(name: str) -> None:
    """Every lesson runs its heater, so every lesson warns of the exhaust."""
    assert "exhaust gas" in shipped()[name].cautions


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=20, deadline=None)
@given(width=st.integers(39, 199))
def test_pictures_of_lessons_fit(name: str, width: int) -> None:
    """Every picture of every lesson fits any terminal, and has words that say the same."""
    for step in shipped()[name].steps:
        made = pages.drawing(bench(name), step, book(), width)
        assert (made is None) == (not step.picture)
        if made is not None:
            assert max(map(len, made.rows)) <= width
            assert made.words


def test_a_picture_of_what_never_was(tmp_path: Path) -> None:
    """Heat of a heater that never burns is refused, with the lesson and the step."""
    first = {**SHORT["steps"]["first"], "picture": "heat"}
    lesson = read(tmp_path, short={**SHORT, "fault": "blown fuse", "steps": {"first": first}})
    one = LessonBench(lesson["short"], book(), shipped_world())
    said = r"^lesson `short`, step `first`: it never burnt steadily in this run"
    with pytest.raises(WorkshopError, match=said):
        pages.drawing(one, lesson["short"].steps[0], book(), 80)


def test_every_picture_can_be_drawn() -> None:
    """Each picture that a lesson may name has somebody who draws it."""
    assert set(PICTURES) == {
        step.picture for each in shipped().values() for step in each.steps if step.picture
    }


def test_the_same_lesson_reads_the_same() -> None:
    """Readings hang on class, fault and seed alone, not on which page was shown before."""
    lesson = shipped()["supply first"]
    late = LessonBench(lesson, book(), shipped_world())
    late.seen("a full run")
    for step in reversed(lesson.steps):
        assert pages.readings(bench(lesson.id), step) == pages.readings(late, step)


def test_the_sound_unit_is_the_same_without_its_fault() -> None:
    """The unit beside the faulty one differs from it in what the fault changes and no more."""
    one = bench("supply first")
    name = "positive cable resistance"
    assert standing(one.came_in(), name) == standing(one.came_in(sound=True), name)
    faulty, sound = (one.came_in(each).negative_joint.resistance_ohm for each in (False, True))
    assert faulty > 20 * sound


def number(name: str, finding: str, sound: bool = False) -> float:
    found = bench(name).reading(finding, sound)
    assert isinstance(found, float)
    return found


def test_the_supply_lesson_is_true() -> None:
    """By Kirchhoff's law the readings of its page name the earth side, as its answer does."""
    rest, low = number("supply first", "volts at rest"), 10.5
    here = number("supply first", "volts at the heater while igniting")
    battery = number("supply first", "volts at the terminals while igniting")
    there = number("supply first", "drop along the positive cable")
    back = number("supply first", "drop along the negative cable")
    assert rest - 0.3 < battery
    assert here < low < number("supply first", "volts at the heater while igniting", sound=True)
    assert back > 10 * there
    assert battery - here == pytest.approx(there + back, rel=0.08)


def test_the_other_lessons_are_true() -> None:
    """What the right answers rest on is what the world reads."""
    assert number("fuel", "fuel from 100 pulses") < 0.85 * number("fuel", "fuel from a can")
    assert ("dies", "fades", "poor") == tuple(
        bench("fuel").reading(each) for each in ("lights up", "how it goes out", "suction joints")
    )
    assert number("air", "oxygen in the exhaust") < 3.0
    assert 5.0 < number("air", "oxygen in the exhaust", sound=True) < 15.0
    assert "blocked" == bench("air").reading("intake")
    hot, usual = (number("heat", "exhaust temperature", sound) for sound in (False, True))
    assert hot > usual + 100.0
    heat = bench("heat")
    share = heat_share(heat.seen("a full run").trace, heat.came_in().fuel)
    least, most = (book().thresholds[n].value for n in ("least efficiency", "usual efficiency"))
    assert least.value < share.percent < most.value
    assert number("shut-down", "standby amps") < 0.09
    assert number("shut-down", "amps in shut-down") > 5 * number("shut-down", "amps in cool-down")
    assert ("yes", "no") == tuple(
        bench("dangers").reading(each) for each in ("fumes inside", "co alarm")
    )
    assert number("dangers", "carbon monoxide at a joint") > 9.0


def test_cut_offs_of_world_and_rules_are_the_same() -> None:
    """The picture's cut-off, from the unit file, is the one at which the world's unit stops."""
    for lesson in shipped().values():
        volts = book().units[lesson.kind].data["low-voltage cut-off"].si
        assert volts == bench(lesson.id).came_in().control_unit.low_volts_v


@given(st.floats(0.01, 50.0))
def test_a_reading_is_as_fine_as_its_meter(volts: float) -> None:
    """Volts are told to 0.01 V, the resolution of the meter, as near as four digits go."""
    told = float(written(volts, UNITS["V"], UNITS["V"], "volts").split()[0])
    assert told == pytest.approx(volts, abs=0.0051)


@given(st.text(alphabet="ab {}", max_size=20))
def test_placeholders_are_what_stands_in_braces(text: str) -> None:
    """No placeholder holds a brace, and each stands in the text between braces."""
    for name in placeholders(text):
        assert "{" + name + "}" in text
        assert not set("{}") & set(name)
