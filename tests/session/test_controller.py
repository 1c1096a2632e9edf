"""A whole session on another subject: the engine knows nothing of any trade."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import pytest

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.candidates import open_findings
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.journal.events import Event, Heeded, as_record, from_record
from diag.session.prompt import AskFinding, AskTogether, Closing, ProposeRepair, RunAgain, StopWork
from diag.session.result import result
from diag.session.slips import Doubtful, NotUnderstood
from diag.session.state import SessionState

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def sit(book: Rulebook) -> tuple[SessionController, list[Event]]:
    journal: list[Event] = []
    state = SessionState(book, book.units["town bicycle"], "goes flat")
    return SessionController(state, journal.append, lambda: "2026-01-01T10:00:00"), journal


def asked(controller: SessionController) -> str:
    prompt = controller.prompt
    if isinstance(prompt, AskFinding):
        return prompt.finding.id
    return type(prompt).__name__


def tell(controller: SessionController, *answers: str) -> None:
    for answer in answers:
        controller.answer(Line(answer))


TO_THE_REPAIR: Sequence[str] = ("no", "soft", "yes")


def test_safety_is_asked_before_anything_else(book: Rulebook) -> None:
    """What a danger asks first comes before the intake."""
    controller, _ = sit(book)
    assert asked(controller) == "brake gone"
    tell(controller, "no")
    assert asked(controller) == "tyre"


def test_a_danger_stops_the_work_until_it_is_heeded(book: Rulebook) -> None:
    """First what is to be done at once, then what may release it; read true again, it stops."""
    controller, _ = sit(book)
    tell(controller, "yes")
    assert isinstance(controller.prompt, StopWork)
    with pytest.raises(NotUnderstood, match="only readings release it"):
        tell(controller, "cleared")
    tell(controller, "done")
    assert asked(controller) == "brake gone"
    tell(controller, "yes")
    assert isinstance(controller.prompt, StopWork)
    tell(controller, "done")
    assert asked(controller) == "tyre"
    controller.volunteer(book.findings["brake gone"], "no")
    assert controller.state.dangers.forbidden == {"rides it"}
    controller.change("brakes hold = yes")
    assert controller.state.dangers.forbidden == frozenset()


@pytest.mark.parametrize("typed", ["y", "yes", "ok", "understood", "Y", "1", "no", "go on"])
def test_only_done_says_that_a_stop_was_heeded(book: Rulebook, typed: str) -> None:
    """What may be typed by habit at any prompt never counts as having done what a stop asks."""
    controller, journal = sit(book)
    tell(controller, "yes")
    before = list(journal)
    with pytest.raises(NotUnderstood, match="type `done` once that is done"):
        tell(controller, typed)
    for pass_over in (lambda: controller.pass_over("not sure"), controller.skip_check):
        with pytest.raises(NotUnderstood, match="no question to pass over"):
            pass_over()
    assert before == journal
    assert isinstance(controller.prompt, StopWork)


def test_a_danger_that_goes_on_is_not_asked_about_for_ever(book: Rulebook) -> None:
    """A reading taken to release it that raises it again is taken again only after a repair."""
    controller, _ = sit(book)
    tell(controller, "yes", "done", "yes")
    assert isinstance(controller.prompt, StopWork)
    tell(controller, "done")
    seen = [asked(controller)]
    while not isinstance(controller.prompt, Closing):
        if isinstance(controller.prompt, ProposeRepair):
            tell(controller, "other")
        else:
            controller.pass_over("not sure")
        seen.append(asked(controller))
    assert "brake gone" not in seen
    assert isinstance(controller.prompt, Closing)
    assert "handed over" == controller.prompt.ending.kind


def test_the_cheap_check_comes_before_the_wheel_is_taken_out(book: Rulebook) -> None:
    """Of two checks that would tell as much, the one with less to take apart is chosen."""
    controller, _ = sit(book)
    tell(controller, "no", "soft")
    assert asked(controller) == "bubbles at the valve"


def test_a_repair_is_proved_by_its_readings(book: Rulebook) -> None:
    """The proof's readings are asked after the repair, and end the session when they hold."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR)
    prompt = controller.prompt
    assert isinstance(prompt, ProposeRepair)
    assert prompt.cause.id == "leaky valve"
    tell(controller, "done", "4", "3,9 bar", "hard")
    assert isinstance(controller.prompt, Closing)
    assert controller.prompt.ending.kind == "proved"


FAILED: Sequence[str] = ("done", "4", "2", "4", "2", "soft", "soft")
"""What fails is read once more before it counts."""


def test_a_failed_proof_is_evidence_and_the_session_goes_on(book: Rulebook) -> None:
    """After a failed proof the repair may not have taken; it is run again, or else looked on."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR)
    before = controller.state.posterior.causes["thorn in the tyre"]
    tell(controller, *FAILED)
    assert before < controller.state.posterior.causes["thorn in the tyre"]
    prompt = controller.prompt
    assert isinstance(prompt, RunAgain)
    assert prompt.cause.id == "leaky valve"
    assert prompt.probability == controller.state.posterior.nothing
    with pytest.raises(NotUnderstood, match="type `done`"):
        tell(controller, "4 bar")
    tell(controller, "other")
    prompt = controller.prompt
    assert isinstance(prompt, ProposeRepair)
    assert prompt.cause.id == "thorn in the tyre"


def test_what_holds_when_it_is_run_again_ends_the_session(book: Rulebook) -> None:
    """The same proof is asked once more, and proves the same repair."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, *FAILED, "done", "4", "3.9", "hard")
    prompt = controller.prompt
    assert isinstance(prompt, Closing)
    assert prompt.ending.kind == "proved"
    assert ["leaky valve"] * 2 == [one.cause for one in prompt.ending.results]
    assert [False, True] == [one.proved for one in prompt.ending.results]


def test_what_fails_when_it_is_run_again_is_not_run_a_third_time(book: Rulebook) -> None:
    """Two failed proofs leave the other cause, however dear its repair is."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, *FAILED, *FAILED)
    prompt = controller.prompt
    assert isinstance(prompt, ProposeRepair)
    assert prompt.cause.id == "thorn in the tyre"


def test_what_a_repair_may_have_changed_is_looked_at_anew(book: Rulebook) -> None:
    """After a failed proof only what the repaired cause shows is read again, and nothing told."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR)
    controller.change("thorn = no")
    assert frozenset() == controller.state.renewable
    tell(controller, *FAILED)
    assert frozenset({"bubbles at the valve"}) == controller.state.renewable
    assert "nothing wrong" != result(controller.state)["verdict"]


def test_back_and_change_equal_never_having_said_it(book: Rulebook) -> None:
    """Correcting an answer gives the state of having said it right at once."""
    controller, _ = sit(book)
    tell(controller, "no", "flat")
    assert controller.change("tyre = soft") == "tyre"
    other, _ = sit(book)
    tell(other, "no", "soft")
    assert result(other.state) == result(controller.state)
    controller.undo()
    assert controller.state.readings["tyre"].value == "flat"
    controller.undo()
    assert asked(controller) == "tyre"


def test_an_old_session_may_hold_a_cleared_hazard() -> None:
    """What was stored under the earlier name of a kind is read as today's kind."""
    assert Heeded("leak") == from_record("hazard cleared", {"hazard": "leak"})


def test_replaying_the_journal_gives_the_same_state(book: Rulebook) -> None:
    """What was recorded, through JSON and back, is the whole session."""
    controller, journal = sit(book)
    tell(controller, *TO_THE_REPAIR)
    tell(controller, *FAILED)
    stored = [json.loads(json.dumps(as_record(event))) for event in journal]
    events = [from_record(kind, payload) for kind, payload in stored]
    again = SessionState(book, book.units["town bicycle"], "goes flat").replay(events)
    assert result(controller.state) == result(again)


def test_a_slip_is_asked_back_once(book: Rulebook) -> None:
    """An answer that looks like a slip is kept only when it is typed again."""
    controller, journal = sit(book)
    tell(controller, "no")
    with pytest.raises(Doubtful, match="few tyres take that; type it again if it is so"):
        controller.change("pressure in the evening = 11 bar")
    assert len(journal) == 1
    controller.change("pressure in the evening = 11 bar")
    assert len(journal) == 2


def test_not_sure_is_not_asked_again(book: Rulebook) -> None:
    """A question passed over is left alone, and the next best one comes."""
    controller, _ = sit(book)
    tell(controller, "no", "soft")
    controller.pass_over("not sure")
    assert asked(controller) != "bubbles at the valve"


def test_what_hangs_on_a_question_without_sense_is_not_asked(tmp_path: Path) -> None:
    """Where the tyre is hard nothing asks how it hisses, and so nothing how loudly."""
    more = """\
source: invented
findings:
  hiss: {ask: Does it hiss?, kind: yes/no, as it should be: no, asked when: tyre is flat}
  loud: {ask: Is it loud?, kind: yes/no, as it should be: no, asked when: hiss is yes}
checks:
  listen: {do: Listen., minutes: 1, yields: [hiss, loud]}
"""
    (tmp_path / "ear").mkdir()
    (tmp_path / "ear" / "hiss.yaml").write_text(more, encoding="utf-8")
    controller, _ = sit(load_rulebook([BICYCLE, tmp_path], {}))
    listen = controller.state.rulebook.checks["listen"]
    tell(controller, "no", "flat")
    assert [one.id for one in open_findings(controller.state, listen)] == ["hiss", "loud"]
    controller.change("tyre = hard")
    assert open_findings(controller.state, listen) == ()


def test_only_a_certain_rule_zeroes_a_cause(book: Rulebook) -> None:
    """What physics forbids is ruled out; taking the reading back restores it."""
    controller, _ = sit(book)
    tell(controller, "no", "soft")
    controller.change("pressure in the evening = 4 bar")
    controller.change("pressure in the morning = 4 bar")
    assert controller.state.posterior.causes["thorn in the tyre"] == 0
    controller.undo()
    assert controller.state.posterior.causes["thorn in the tyre"] > 0


@pytest.mark.parametrize(
    ("answer", "sentence"),
    [
        ("purple", "purple"),
        ("nan", "nan"),
        ("[red]x[/red]", "[red]x[/red]"),
    ],
)
def test_nonsense_is_refused_in_one_sentence_and_nothing_is_lost(
    book: Rulebook, answer: str, sentence: str
) -> None:
    """A wrong answer says what was wrong, and the same question stays."""
    controller, journal = sit(book)
    tell(controller, "no")
    with pytest.raises(ValueError, match=r"^[^\n]+$") as caught:
        tell(controller, answer)
    assert sentence in str(caught.value)
    assert len(journal) == 1
    assert asked(controller) == "tyre"


def test_together_is_not_needed_here(book: Rulebook) -> None:
    """Checks without a joint question are asked one by one."""
    controller, _ = sit(book)
    assert not isinstance(controller.prompt, AskTogether)
