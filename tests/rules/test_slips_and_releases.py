"""What the shipped rules doubt before it counts, and what they ask before work goes on."""

from __future__ import annotations

import pytest

from diag.model.expression import names_in
from diag.model.rulebook import Rulebook
from diag.rulebook import parse_answer
from diag.session.candidates import candidate_checks, open_findings
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.dangers.work import not_read_for, releasing
from diag.session.journal.events import Repaired
from diag.session.next_prompt import next_prompt
from diag.session.offer.words import begin
from diag.session.prompt import AskFinding, StopWork
from diag.session.slips import Doubtful, usual_slip
from diag.session.state import SessionState
from tests.dangers import shipped

UNIT = "small 12 V"


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return shipped.book()


def session(
    book: Rulebook, complaint: str, *, profile: str = "", unit: str = UNIT
) -> SessionController:
    state = SessionState(book, book.units[unit], complaint, shipped.compiled(unit))
    controller = SessionController(state, lambda _: None, lambda: "")
    if profile:
        controller.record(begin(book, profile))
    return controller


def tell(controller: SessionController, readings: dict[str, str]) -> None:
    for name, answer in readings.items():
        finding = controller.state.rulebook.findings[name]
        controller.volunteer(finding, parse_answer(answer, finding))
        if controller.state.dangers.unheeded:
            controller.answer(Line("done"))


@pytest.mark.parametrize(
    ("finding", "typed", "meant", "known"),
    [
        ("volts at rest", "1.27 V", "12.7 V", {}),
        ("volts at the heater while igniting", "2.3 V", "11.3 V", {"lights up": "yes"}),
        ("volts at the terminals while igniting", "5.1 V", "11.9 V", {"pump clicks": "clicks"}),
        ("glow plug resistance cold", "1.9 kohm", "1.9 ohm", {}),
        ("glow plug resistance cold", "600 ohm", "OL", {}),
        ("pump coil", "9.4 kohm", "9.4 ohm", {}),
        ("flame sensor", "1080 kohm", "1.08 kohm", {}),
        ("amps with the fan at speed", "9.3 A", "2.0 A", {}),
        ("standby amps", "0 A", "20 mA", {"panel": "lit"}),
    ],
)
def test_a_usual_slip_of_the_meter_is_doubted_and_what_was_meant_is_not(
    book: Rulebook, finding: str, typed: str, meant: str, known: dict[str, str]
) -> None:
    """A lost point, a range a thousand times off, or the reading of another phase (common
    practice)."""
    controller = session(book, "will not start")
    for name, answer in known.items():
        controller.volunteer(book.findings[name], answer)
    asked = book.findings[finding]
    slips = [
        usual_slip(asked, parse_answer(text, asked), controller.state) for text in (typed, meant)
    ]
    assert [True, False] == [slip is not None for slip in slips]


@pytest.mark.parametrize(
    ("unit", "asked"), [("small 12 V", False), ("medium 12 V", False), ("small 24 V", True)]
)
def test_the_halves_of_a_bank_are_asked_about_where_there_are_two(
    book: Rulebook, unit: str, asked: bool
) -> None:
    """At 12 V one battery feeds the heater: nothing is asked of halves, and no half is suspected,
    until somebody tells of two in series."""
    controller = session(book, "flattens the battery", unit=unit)
    state = controller.state
    halves = book.checks["compare the halves of the bank"]
    assert asked == bool(open_findings(state, halves))
    offered = [one.check.id for one in candidate_checks(state)]
    assert asked == (halves.id in offered)
    weak = "one battery of the pair weak"
    assert asked == (state.posterior.causes.get(weak, 0.0) > 0)
    controller.volunteer(book.findings["halves of the bank"], "apart")
    assert state.posterior.causes[weak] > 0.2


def test_a_charred_part_is_replaced_before_anything_is_run(book: Rulebook) -> None:
    """With the charred part still there not even a watched run is asked for: after a repair that
    was another the proof waits, and what is asked is what was done with that part."""
    controller = session(book, "keeps blowing its fuse", profile="workshop")
    tell(controller, {"hot wiring": "yes", "charred part": "there"})
    controller.record(Repaired("fuse too small"))
    state, asked = controller.state, list[str]()
    while "charred part" not in asked:
        prompt = next_prompt(state)
        assert isinstance(prompt, AskFinding)
        assert prompt.check is not None
        assert {"watched run", *state.dangers.forbidden}.isdisjoint(prompt.check.acts)
        asked.append(prompt.finding.id)
        if prompt.finding.id != "charred part":
            controller.pass_over("not sure")
    tell(controller, {"charred part": "replaced"})
    assert ["joint in a watched start"] == [one.finding.id for one in releasing(state, True)]
    tell(controller, {"joint in a watched start": "cool"})
    assert frozenset() == state.dangers.forbidden


@pytest.mark.parametrize("profile", ["bench", "vehicle", "workshop"])
def test_carbon_monoxide_can_be_released_wherever_a_heater_is_run(
    book: Rulebook, profile: str
) -> None:
    """People breathe beside a bench, too: whether all are well is asked there as in a vehicle."""
    controller = session(book, "dark smoke", profile=profile)
    tell(controller, {"co alarm": "yes"})
    asked = {one.finding.id for one in releasing(controller.state, held_back=True)}
    assert {"everybody safe outside", "carbon monoxide outdoors"} <= asked
    assert "everybody safe outside" in not_read_for(controller.state, "carbon monoxide")


def test_what_fails_now_and_then_is_not_called_sound_before_its_wiring_was_shaken(
    book: Rulebook,
) -> None:
    """Clean starts do not show a loose contact: shaking brings it out (common practice)."""
    wanted = names_in(*(one.condition for one in book.complaints["only sometimes"].proof))
    assert "shaken while it runs" in wanted


@pytest.mark.parametrize(
    ("read", "other"), [("positive", "negative side"), ("negative", "positive side")]
)
@pytest.mark.parametrize(("at_the_heater", "large"), [("10.1 V", True), ("11.7 V", False)])
def test_what_both_cables_lose_and_one_does_not_the_other_loses(
    book: Rulebook, read: str, other: str, at_the_heater: str, large: bool
) -> None:
    """Kirchhoff's voltage law (1845): of 2.2 V lost one way round, 0.2 V along one cable leave 2 V
    for the other. What is left of 0.6 V is no more than two readings may be out by."""
    controller = session(book, "will not start")
    volts = {
        "amps while igniting": "9 A",
        "volts at the terminals while igniting": "12.3 V",
        "volts at the heater while igniting": at_the_heater,
        f"drop along the {read} cable": "0.2 V",
    }
    tell(controller, volts)
    assert (["large"] if large else []) == sorted(controller.state.chain.states(other))
    finding = f"drop along the {'negative' if read == 'positive' else 'positive'} cable"
    tell(controller, {finding: "0.3 V"})
    assert ["small"] == sorted(controller.state.chain.states(other))


def test_what_raises_a_danger_is_never_doubted_and_the_same_number_alone_is(
    book: Rulebook,
) -> None:
    """1.27 V may be 12.7 V with its point lost; of a lead battery at -8 C it means ice, and that
    stops the work at once."""
    controller = session(book, "will not start", profile="workshop")
    with pytest.raises(Doubtful, match="decimal point"):
        controller.change("volts at rest = 1.27 V")
    assert "volts at rest" not in controller.state.readings
    controller.change("volts at rest = 1.27 V")  # the same again is taken as meant
    controller.undo()
    tell(controller, {"battery kind": "lead-acid", "battery temperature": "-8 C"})
    controller.change("volts at rest = 1.30 V")
    assert isinstance(controller.prompt, StopWork)
