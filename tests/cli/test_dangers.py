"""Words of danger are read back before a line is anything else, on the small book of bicycles."""

from __future__ import annotations

import io

import pytest

from diag.cli.ask.conversation import LEFT, Conversation
from diag.cli.ask.dangers import DangerEar, Leaves, confirmed
from diag.cli.book import load_book
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.controller import SessionController
from diag.session.hearing import hear_dangers
from diag.session.prompt import StopWork
from tests.cli.terminals import Lines
from tests.session.test_controller import BICYCLE, asked, sit, tell


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def ear(book: Rulebook, *lines: str) -> tuple[DangerEar, SessionController, io.StringIO]:
    controller, _ = sit(book)
    out = io.StringIO()
    return DangerEar(controller, Screen(out, plain=True), Lines(*lines)), controller, out


READ_BACK = (
    "You said: help, its brakes failed\n"
    "That would be a danger: No brakes.\n"
    "Does a brake lever go all the way to the bar?\n"
    "Is the answer `yes`? [yes/no]\n"
)


def test_a_danger_is_read_back_and_stops_the_work_on_yes(book: Rulebook) -> None:
    """What was understood is said whole, and counts once it is confirmed."""
    listening, controller, out = ear(book, "yes")
    assert listening.take("help, its brakes failed")
    assert READ_BACK == out.getvalue()
    assert isinstance(controller.prompt, StopWork)


def test_a_line_that_is_no_danger_goes_on_as_an_answer(book: Rulebook) -> None:
    """On no, nothing is recorded, and the line is still to be read."""
    listening, controller, out = ear(book, "no")
    assert not listening.take("help, its brakes failed")
    assert READ_BACK == out.getvalue()
    assert [] == controller.state.journal


def test_only_yes_or_no_answers_a_read_back(book: Rulebook) -> None:
    """Anything else is refused, and neither counts nor is lost."""
    listening, controller, out = ear(book, "perhaps", "y")
    assert listening.take("the brakes failed")
    assert "Type `yes` if that is so, `no` if it is not, or `leave`." in out.getvalue()
    assert isinstance(controller.prompt, StopWork)


@pytest.mark.parametrize("lines", [(), ("leave",)])
def test_leaving_in_a_read_back_records_nothing(book: Rulebook, lines: tuple[str, ...]) -> None:
    """Leaving, or the end of the input, is neither yes nor no."""
    listening, controller, _ = ear(book, *lines)
    with pytest.raises(Leaves):
        listening.take("the brakes failed")
    assert [] == controller.state.journal


@pytest.mark.parametrize("line", ["no", "y", "why", "undo", "hello there", "the brakes work", ""])
def test_answers_commands_and_harmless_words_are_not_read_back(book: Rulebook, line: str) -> None:
    """A listed answer, a command and talk of no danger pass unheard."""
    listening, _, out = ear(book)
    assert not listening.take(line)
    assert "" == out.getvalue()


@pytest.mark.parametrize("word", ["say", "note", "danger"])
def test_the_text_of_a_command_is_listened_to(book: Rulebook, word: str) -> None:
    """Danger is heard in a remark, too."""
    listening, controller, _ = ear(book, "yes")
    assert listening.take(f"{word} it has no brakes")
    assert isinstance(controller.prompt, StopWork)


def test_a_danger_is_heard_at_every_prompt(book: Rulebook) -> None:
    """At a question about something else, and after it was denied before."""
    listening, controller, _ = ear(book, "yes")
    tell(controller, "no", "soft")
    assert asked(controller) == "bubbles at the valve"
    assert listening.take("now the brakes failed")
    assert isinstance(controller.prompt, StopWork)


def test_what_the_stop_is_for_is_not_read_back_again(book: Rulebook) -> None:
    """At a stop, words for the same thing are left to the stop's own prompt."""
    listening, controller, out = ear(book)
    tell(controller, "yes")
    assert not listening.take("yes, the brakes failed")
    assert "" == out.getvalue()


def test_danger_alone_lists_the_questions_of_danger(book: Rulebook) -> None:
    """The list takes its numbers or none; what is named there is recorded."""
    listening, controller, out = ear(book, "7", "1")
    listening.ask()
    assert "1   Does a brake lever go all the way to the bar?" in out.getvalue()
    assert (
        "`7` is not on the list; type `none`, or those that are true: numbers from 1 to\n"
        in out.getvalue()
    )
    assert isinstance(controller.prompt, StopWork)


def test_none_of_the_list_records_nothing(book: Rulebook) -> None:
    """`none` is an answer to the list alone."""
    listening, controller, _ = ear(book, "none")
    listening.ask()
    assert [] == controller.state.journal


def test_before_a_session_each_stop_stands_before_the_next_question() -> None:
    """Of two dangers told in one line, the first is stopped for before the second is read back."""
    out = io.StringIO()
    said = "it smells of exhaust in the cab and my head aches"
    heard = hear_dangers(said, load_book())
    confirmed(said, heard, Screen(out, plain=True), Lines("yes", "yes"))
    told = [line for line in out.getvalue().splitlines() if "STOP" in line or "would be" in line]
    assert ["would be", "STOP"] * 2 == ["STOP" if "STOP" in line else "would be" for line in told]


def test_before_a_session_the_danger_is_returned(book: Rulebook) -> None:
    """In words for a complaint a danger is read back, and given to who begins the session."""
    screen = Screen(io.StringIO(), plain=True)
    said = "it goes flat and has no brakes"
    found = confirmed(said, hear_dangers(said, book), screen, Lines("yes"))
    assert [("no brakes", "brake gone", "yes")] == [
        (one.danger.id, one.finding.id, one.state) for one in found
    ]
    assert () == confirmed("it goes flat", hear_dangers("it goes flat", book), screen, Lines())


def test_a_conversation_listens_first(book: Rulebook) -> None:
    """A typed danger stops a whole session, which is left in the middle of the next one."""
    controller, _ = sit(book)
    out = io.StringIO()
    lines = Lines("no", "brakes do not work any more", "yes", "done", "brakes failed", "leave")
    assert LEFT == Conversation(controller, Screen(out, plain=True), lines).run()
    assert "STOP: No brakes" in out.getvalue()
    assert ["no", "yes"] == [
        event.value for event in controller.state.journal if hasattr(event, "value")
    ]
