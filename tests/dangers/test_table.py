"""Every danger, however it comes up: it stops the work, forbids, is released, and stops again."""

from __future__ import annotations

from collections.abc import Callable
from importlib.util import find_spec
from itertools import islice

import pytest

from diag.logic.rests_on import findings_under
from diag.model.rulebook import Value
from diag.rulebook import parse_answer
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.journal.events import Repaired
from diag.session.prompt import AskTogether, StopWork, acts_of
from tests.dangers.shipped import answering, begin, book, compiled, controlled, sound
from tests.dangers.table import TABLE, Row

UNIT, COMPLAINT, MENDED = "small 12 V", "will not start", "glow plug aged"
FOLLOWING = 6
"""So many prompts are answered while the danger holds."""
HEARS = find_spec("diag.session.hearing") is not None

Way = Callable[[SessionController, Row], None]


def read(controller: SessionController, *written: str) -> None:
    """Let readings come in that nobody asked for, each an entry of its own."""
    for one in written:
        name, value = split(one)
        controller.volunteer(controller.state.rulebook.findings[name], value)


def split(written: str) -> tuple[str, Value]:
    name, _, answer = written.partition(" = ")
    return name, parse_answer(answer, book().findings[name])


def at_the_opening(controller: SessionController, row: Row) -> None:
    """Raise it before anything else: at the first question where it stands there."""
    prompt, (name, _) = controller.prompt, split(row.raised)
    assert isinstance(prompt, AskTogether)
    if name in [one.id for one in prompt.findings]:
        controller.answer(Line(name))
    else:
        read(controller, row.raised)


def during_work(controller: SessionController, row: Row) -> None:
    """Raise it by a reading after the opening and some checks."""
    controller.answer(Line("none"))
    for _ in islice(answering(controller.state, sound(UNIT)), 3):
        pass
    read(controller, row.raised)


def in_the_proof(controller: SessionController, row: Row) -> None:
    """Raise it by a reading in the run after a repair."""
    controller.answer(Line("none"))
    controller.record(Repaired(MENDED))
    read(controller, row.raised)


def by_a_correction(controller: SessionController, row: Row) -> None:
    """Raise it by `change`, over a reading that was sound."""
    controller.answer(Line("none"))
    read(controller, row.before)
    controller.change(row.raised)


def by_free_words(controller: SessionController, row: Row) -> None:
    """Raise it by the first of the words by which people tell of it, heard and confirmed."""
    from diag.session.hearing import hear_dangers  # a room that may be built later

    name, value = split(row.raised)
    words = book().dangers[row.danger].heard_as[name, str(value)]
    heard = [one for one in hear_dangers(words[0], book()) if one.danger.id == row.danger]
    assert [(name, value)] == [(one.finding.id, one.state) for one in heard]
    controller.answer(Line("none"))
    controller.volunteer(heard[0].finding, heard[0].state)


WAYS: tuple[Way, ...] = (at_the_opening, during_work, in_the_proof, by_a_correction)


def told_in_words(row: Row) -> bool:
    name, value = split(row.raised)
    return (name, str(value)) in book().dangers[row.danger].heard_as


CELLS = [
    *((row, way) for row in TABLE for way in WAYS),
    *((row, by_free_words) for row in TABLE if HEARS and told_in_words(row)),
]
every_cell = pytest.mark.parametrize(
    ("row", "way"), CELLS, ids=[f"{row.name}, {way.__name__}" for row, way in CELLS]
)


def raised(row: Row, way: Way) -> SessionController:
    """Return a session in which the danger has just come up."""
    controller = controlled(begin(UNIT, COMPLAINT))
    read(controller, *row.beside)
    way(controller, row)
    return controller


def stops(controller: SessionController) -> list[str]:
    """Return the dangers that stop the work now, each heeded as it comes."""
    found = []
    while isinstance(prompt := controller.prompt, StopWork):
        found.append(prompt.danger.id)
        controller.answer(Line("done"))
    return found


def test_every_danger_and_every_finding_that_raises_it_is_in_the_table() -> None:
    """Each condition of each danger's `raised when` is tried by a row of it."""
    below = compiled(UNIT).below
    wanted = {
        (danger.id, name)
        for danger in book().dangers.values()
        for name in findings_under(danger.raised_when, book().findings, below)
    }
    tried = {(row.danger, split(one)[0]) for row in TABLE for one in (row.raised, *row.beside)}
    assert set() == wanted - tried


@every_cell
def test_it_stops_the_work_at_once(row: Row, way: Way) -> None:
    """The prompt after the reading is a stop, and nothing is asked before the danger was told."""
    controller = raised(row, way)
    assert isinstance(controller.prompt, StopWork)
    assert row.danger in stops(controller)


@every_cell
def test_it_forbids_its_acts_while_it_holds(row: Row, way: Way) -> None:
    """No prompt wants an act that a danger which holds forbids; the word `done` releases none."""
    controller = raised(row, way)
    stops(controller)
    state = controller.state
    assert row.danger in state.dangers.held
    shows = {**sound(UNIT), **dict(map(split, (*row.beside, row.raised)))}
    offered = []
    for prompt in islice(answering(state, shows), FOLLOWING):
        if not isinstance(prompt, StopWork):
            offered.append(acts_of(prompt) & state.dangers.forbidden)
    assert [frozenset()] * len(offered) == offered


@every_cell
def test_it_is_released_by_readings_and_stops_again(row: Row, way: Way) -> None:
    """Every releasing reading is needed, all of them release it, and a new one raises it anew."""
    controller = raised(row, way)
    stops(controller)
    for one in row.released:
        assert row.danger in controller.state.dangers.held
        read(controller, one)
        assert row.danger not in stops(controller)
    assert row.danger not in controller.state.dangers.held
    read(controller, row.raised)
    assert row.danger in stops(controller)


@every_cell
def test_read_true_again_it_stops_again_though_it_holds(row: Row, way: Way) -> None:
    """A danger is a condition of the readings: told once more, it stops the work once more."""
    controller = raised(row, way)
    assert row.danger in stops(controller)
    read(controller, row.raised)
    assert row.danger in stops(controller)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row.name)
def test_what_was_read_before_releases_nothing(row: Row) -> None:
    """Readings from before the danger came up do not release it, however sound they were."""
    controller = controlled(begin(UNIT, COMPLAINT))
    controller.answer(Line("none"))
    mine = split(row.raised)[0]
    read(controller, *(one for one in row.released if split(one)[0] != mine), *row.beside)
    read(controller, row.raised)
    stops(controller)
    assert row.danger in controller.state.dangers.held
