"""What is shown for a prompt and for `why`, on the small book of another subject."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest

from diag.cli.account.where import show_repairs
from diag.cli.ask.views import show_help, show_why
from diag.cli.book import load_book
from diag.cli.terminal.prompts import show_prompt
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.reason.plan.choose import Ranked
from diag.rulebook import load_rulebook
from diag.session.prompt import AskFinding, Closing, Prompt, ProposeRepair, RunAgain
from diag.session.state import SessionState
from tests.cli.terminals import terminal
from tests.session.test_controller import BICYCLE, FAILED, TO_THE_REPAIR, sit, tell


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def shown(state: SessionState, prompt: Prompt) -> str:
    out = io.StringIO()
    show_prompt(Screen(out, plain=True), state, prompt)
    return " ".join(out.getvalue().split())


def why(state: SessionState, prompt: Prompt) -> str:
    out = io.StringIO()
    show_why(Screen(out, plain=True), state, prompt)
    return " ".join(out.getvalue().split())


def test_why_names_every_kind_of_act_in_plain_words(book: Rulebook) -> None:
    """The two runners-up may be to hand it on, or to change nothing."""
    controller, _ = sit(book)
    tell(controller, "no", "soft")
    prompt = controller.prompt
    assert isinstance(prompt, AskFinding)
    assert prompt.choice is not None
    said = why(controller.state, prompt)
    assert "check first: spit on the valve" in said
    assert "It may speak for or against: The valve leaks. Of all that can be done" in said
    acts = (Ranked("stop", "stop", 600.0), Ranked("repair", "nothing wrong", 70.0))
    said = why(controller.state, replace(prompt, choice=replace(prompt.choice, runners_up=acts)))
    assert "stop here and hand it over" in said
    assert "change nothing, and run it to prove" in said


@pytest.mark.parametrize(
    ("made", "told"),
    [(0, ""), (1, ": 1; starts before lock-out: 3."),
     (2, ": 2; starts before lock-out: 3; this would be the last."),
     (6, ": 6; starts before lock-out: 3. It may be locked out by now: if so, clear the lock-out")],
)  # fmt: skip
def test_a_stock_of_runs_that_is_used_up_says_what_to_do_before_another(
    made: int, told: str
) -> None:
    """How many were made and how many there are, then the last, then what the rules say to do."""
    book = load_book()
    state = SessionState(book, book.units["LIB-03"], "will not start")
    state.begun = ["load test at the heater", "battery at rest"] * made
    check = book.checks["load test at the heater"]
    asked = AskFinding(book.findings[check.yields[0]], check, True, "")
    said = shown(state, asked)
    assert bool(made) == ("made so far" in said)
    assert told in said
    assert (made >= 3) == ("lock-out as the heater's own manual says before the next start" in said)


def test_another_run_is_asked_for_with_its_chance_and_what_to_look_over(book: Rulebook) -> None:
    """It says which work to look over, and how likely it is that this was all."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, *FAILED)
    prompt = controller.prompt
    assert isinstance(prompt, RunAgain)
    said = shown(controller.state, prompt)
    assert "Once more: The valve leaks" in said
    assert f"({prompt.probability:.0%})" in said
    assert "Type `done`" in said


def helped(book: Rulebook, columns: int, plain: bool = False) -> list[str]:
    """Return the lines of `help` on a terminal, from how to do the check on."""
    controller, _ = sit(book)
    finding = book.findings["pressure in the evening"]
    check = next(one for one in book.checks.values() if finding.id in one.yields)
    asked = AskFinding(finding, check, True, "it may tell")
    with terminal(columns) as out:
        show_help(Screen(out, plain=plain), controller.state, asked)
    lines = out.getvalue().splitlines()
    return lines[next(at for at, line in enumerate(lines) if "How: " in line) :]


def test_help_says_how_to_measure_with_its_drawing(book: Rulebook) -> None:
    """With, where, when, what is good on this unit, mistakes, then the drawing as it was drawn."""
    lines = helped(book, 80)
    at = next(number for number, line in enumerate(lines) if line.startswith("with "))
    assert [
        "with     Tyre gauge for this kind of valve.",
        "where    On the valve of the tyre, pressed on straight.",
        "when     In the evening, with the tyre cold. A second is enough.",
        "good     The rules hold no limit for it; its own manual may.",
        "mistake  It hisses while you press. Then it reads too low.",
        " rim ====( )====",
        "          |  valve",
        "       [gauge]",
        "Press the gauge on straight.",
        "Believable: 0 bar to 12 bar.",
    ] == lines[at:]


def test_what_is_not_drawn_is_told(book: Rulebook) -> None:
    """On a plain screen words stand in the place of the drawing; on forty columns all fits."""
    plain = " ".join(helped(book, 80, plain=True))
    assert "drawing  The gauge sits on the valve, which stands out of the rim." in plain
    assert "====" not in plain
    assert 40 > max(map(len, helped(book, 40)))


def test_no_test_run_is_announced_while_a_danger_holds(book: Rulebook) -> None:
    """A repair that is put forward then says what is not released, and that nothing is run yet."""
    controller, _ = sit(book)
    cause = next(iter(book.causes.values()))
    safe = shown(controller.state, ProposeRepair(cause, 0.9, True))
    assert "Then run the heater; you are asked" in safe
    tell(controller, "yes", "done")
    held = shown(controller.state, ProposeRepair(cause, 0.9, True))
    assert "Then run" not in held
    assert "Do not run the heater yet: no brakes is not released." in held


def test_a_danger_that_holds_at_the_end_says_what_was_not_read_for_it(book: Rulebook) -> None:
    """With every question passed over, the end names the readings that would release it."""
    controller, _ = sit(book)
    tell(controller, "yes", "done", "no")
    while not isinstance(controller.prompt, Closing):
        if isinstance(controller.prompt, ProposeRepair):
            tell(controller, "other")
        else:
            controller.pass_over("not sure")
    said = shown(controller.state, controller.prompt)
    assert "Not read for that: `brakes hold`." in said


def test_repairs_made_so_far_stand_with_how_they_came_out(book: Rulebook) -> None:
    """Nothing before the first; then each with its own result, the one under proof as well."""
    controller, _ = sit(book)
    out = io.StringIO()
    show_repairs(Screen(out, plain=True), controller.state)
    assert "" == out.getvalue()
    tell(controller, *TO_THE_REPAIR, "done")
    show_repairs(Screen(out, plain=True), controller.state)
    assert "The valve leaks: made; not proved." in " ".join(out.getvalue().split())
