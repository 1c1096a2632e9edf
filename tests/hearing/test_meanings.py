"""What people's sentences (all invented) are heard as, and the laws of hearing on the rules."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.model.quantity import Quantity
from diag.model.rulebook import Value
from diag.rulebook import parse_answer
from diag.session.hearing import Ear, HeardFact
from diag.session.slips import NotUnderstood

HERE = Path(__file__).parent
FLOORS = {
    "said": (141, 5, 4),
    "also-said": (187, 3, 4),
    "told": (1408, 16, 40),
    "fresh": (99, 8, 10),
}
"""File to the least sentences heard right at once and after a choice, and the most heard wrong;
`fresh` as it came out the first time."""
COMMON = settings(deadline=None, max_examples=60)
Meant = tuple[str, Value | float]


@pytest.fixture(scope="module")
def ear(tmp_path_factory: pytest.TempPathFactory) -> Ear:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return Ear(load_book())


def plain(value: Value) -> Value | float:
    return round(value.si, 9) if isinstance(value, Quantity) else value


def meant(fact: HeardFact) -> Meant:
    if fact.complaint:
        return ("complaint", fact.complaint)
    assert fact.value is not None
    return (fact.finding, plain(fact.value))


def wanted(ear: Ear, entry: Mapping[str, Any]) -> set[Meant]:
    findings = ear.rulebook.findings
    read = {
        (name, plain(parse_answer(str(value), findings[name])))
        for name, value in entry["findings"].items()
    }
    return read | {("complaint", name) for name in entry["complaints"]}


def heard(ear: Ear, text: str) -> set[Meant]:
    return {meant(one) for one in ear.hear(text).facts}


def outcome(ear: Ear, entry: Mapping[str, Any]) -> str:
    want = wanted(ear, entry)
    hearing = ear.hear(entry["says"])
    got = {meant(one) for one in hearing.facts}
    asked = [{meant(one) for one in among} for among in hearing.choices]
    if got - want:
        return "wrong"
    if got == want and not asked:
        return "right"
    offered = {one for among in asked for one in among}
    return "after a choice" if want - got <= offered else "in part"


@pytest.mark.parametrize("name", FLOORS)
def test_sentences_are_heard_as_they_were(ear: Ear, name: str) -> None:
    """No fewer sentences are heard right, and no more wrong, than when the phrases were written;
    all of them are read back."""
    read = yaml.safe_load((HERE / f"{name}.yaml").read_text("utf-8"))
    came_out = [outcome(ear, entry) for entry in read]
    right, after, wrong = (came_out.count(one) for one in ("right", "after a choice", "wrong"))
    least, least_after, most_wrong = FLOORS[name]
    assert right >= least
    assert right + after >= least + least_after
    assert wrong <= most_wrong


FACTS = ("fuse is blown", "pump is silent", "panel stays dark", "filter is clean", "tank is empty")


@given(st.permutations(FACTS))
@COMMON
def test_the_order_of_facts_is_all_one(ear: Ear, facts: list[str]) -> None:
    """Several facts in a line are heard alike in any order."""
    assert heard(ear, ". ".join(FACTS)) == heard(ear, ". ".join(facts))
    assert len(FACTS) == len(heard(ear, ", ".join(facts)))


@pytest.mark.parametrize(
    ("said", "finding", "state", "other"),
    [
        ("the isolator is {}off", "isolator", "off", "on"),
        ("the filler hose is fine, fuel hose is {}kinked", "fuel hose", "kinked", "fair"),
        ("the gasket is {}torn", "burner gasket", "leaking", "tight"),
        ("lights {}dim when it starts", "lights dim", "yes", "no"),
    ],
)
def test_a_denial_flips_a_fact(ear: Ear, said: str, finding: str, state: str, other: str) -> None:
    """Of two states the one that is denied gives the other."""
    assert (finding, state) in heard(ear, said.format(""))
    assert (finding, other) in heard(ear, said.format("not "))


@pytest.mark.parametrize(
    ("said", "finding", "value"),
    [
        ("12,4 volts at the battery", "volts at rest", "12.4 V"),
        (
            "battery posts drop to 10.9 V under load",
            "volts at the terminals while igniting",
            "10.9 V",
        ),
        (
            "10.2 V at the heater connector while igniting",
            "volts at the heater while igniting",
            "10.2 V",
        ),
        ("glow plug connector gets 8.9 V in the glow", "volts at the glow plug", "8.9 V"),
        ("glow plug reads 900 mΩ cold", "glow plug resistance cold", "0.9 ohm"),
        ("the cable is five metres long", "cable run", "5 m"),
        ("battery stood without charge for three weeks", "days without charge", "21 d"),
        ("battery at minus 5 C", "battery temperature", "-5 C"),
    ],
)
def test_a_number_goes_to_its_place(ear: Ear, said: str, finding: str, value: str) -> None:
    """Unit and place together say what an amount is of."""
    expected = plain(parse_answer(value, ear.rulebook.findings[finding]))
    assert (finding, expected) in heard(ear, said)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("plug is 3 years old", set()),
        ("exhaust is 2 m with 3 bends", {("exhaust length", 2.0)}),
        ("it takes 5 attempts before it catches", {("complaint", "many attempts")}),
        ("needs 6 A at start", {("amps while igniting", 6.0)}),
    ],
)
def test_a_bare_number_that_counts_other_things_is_no_amount(
    ear: Ear, said: str, expected: set[Meant]
) -> None:
    """Years, bends and attempts are neither ohms nor degrees nor amperes."""
    assert expected == heard(ear, said)


@pytest.mark.parametrize(
    ("said", "finding"),
    [
        ("glow plug reads OL", "glow plug resistance cold"),
        ("the pump coil is open circuit", "pump coil"),
    ],
)
def test_more_than_the_meter_shows_is_a_reading(ear: Ear, said: str, finding: str) -> None:
    """`OL` and open circuit are heard as a resistance over range."""
    found = {one.finding: str(one.value) for one in ear.hear(said).facts}
    assert {finding: "over range"} == found


@pytest.mark.parametrize("slip", ["izolator", "isolater", "isollator", "isolatr"])
def test_a_slip_of_spelling_is_forgiven(ear: Ear, slip: str) -> None:
    """One wrong letter leaves a word what it is."""
    assert {("isolator", "off")} == heard(ear, f"the {slip} is off")


def test_two_complaints_are_both_kept(ear: Ear) -> None:
    """What is complained of in one breath is heard as several complaints."""
    expected = {("complaint", "weak heat"), ("complaint", "noise")}
    assert expected == heard(ear, "weak heat and very noisy")


def test_a_line_that_contradicts_itself_gets_one_sentence(ear: Ear) -> None:
    """Two answers to one question are told as such, and neither is taken."""
    with pytest.raises(
        NotUnderstood, match=r"says both .* of `filter`; say which of the two it is"
    ):
        ear.hear("the filter is clean. The filter is dirty.")


def test_endless_talk_gets_one_sentence(ear: Ear) -> None:
    """Ten thousand words are refused at once, with what to do."""
    with pytest.raises(NotUnderstood, match="10000 words in one line; tell it in pieces"):
        ear.hear("pump " * 10_000)


@given(st.text(max_size=200))
@COMMON
def test_whatever_is_typed_is_heard_or_refused(ear: Ear, line: str) -> None:
    """No text breaks the matcher, no thing is told twice, and at most three are offered."""
    try:
        hearing = ear.hear(line)
    except NotUnderstood:
        return
    about = [(one.complaint, one.finding) for one in hearing.facts]
    assert len(set(about)) == len(about)
    assert all(1 <= len(among) <= 3 for among in hearing.choices)


def test_danger_is_heard_beside_the_rest(ear: Ear) -> None:
    """What tells of danger is told as such, whatever else a line says."""
    hearing = ear.hear("the CO alarm went off and the fuse is blown")
    assert "co alarm" in {one.finding.id for one in hearing.dangers}
    assert ("supply fuse", "blown") in {meant(one) for one in hearing.facts}
