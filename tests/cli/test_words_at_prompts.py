"""Every word works at every prompt, in a session and at the bench."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping
from itertools import chain, repeat
from pathlib import Path

import pytest

from diag.cli.app import run
from diag.cli.ask.conversation import LEFT, Conversation
from diag.cli.bench import asking
from diag.cli.bench.battery import run_battery
from diag.cli.bench.cable import run_cable
from diag.cli.bench.exhaust import run_exhaust
from diag.cli.bench.heat import run_heat
from diag.cli.bench.kept.known import FINDINGS, UNIT_DATA
from diag.cli.book import load_book
from diag.cli.terminal.screen import Screen
from diag.model.quantity import Quantity
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.commands import WORDS
from diag.session.controller import SessionController
from diag.session.journal.events import Answered, Event, Noted, Together
from diag.session.state import SessionState
from tests.session.test_controller import BICYCLE

BENCHES = {"battery": run_battery, "cable": run_cable, "heat": run_heat, "exhaust": run_exhaust}
PROMPTS: Mapping[str, tuple[str, ...]] = {
    "safety": (),
    "stop": ("yes",),
    "choice": ("no",),
    "repair": ("no", "soft", "yes"),
    "proof": ("no", "soft", "yes", "done"),
    "end": ("no", *(["skip check", "other"] * 12)),
}
"""Lines that lead to each kind of prompt on the book of bicycles."""
ARGUMENTS = {"change": "tyre = hard", "say": "soft tyre", "note": "keep this", "use": "battery"}


class Endless:
    """Lines, and then `leave` for ever."""

    def __init__(self, *lines: str) -> None:
        self._lines: Iterator[str] = chain(lines, repeat("leave"))

    def offer(self, controller: object) -> str:
        return ""

    def read(self, offered: str) -> str | None:
        return next(self._lines)


@pytest.fixture(scope="module")
def bicycle() -> Rulebook:
    return load_rulebook([BICYCLE], {})


@pytest.fixture(scope="module")
def shipped() -> Rulebook:
    return load_book(None)


def converse(book: Rulebook, unit: str, complaint: str, *lines: str) -> tuple[str, list[Event]]:
    journal: list[Event] = []
    state = SessionState(book, book.units[unit], complaint)
    controller = SessionController(state, journal.append, lambda: "")
    out = io.StringIO()
    Conversation(controller, Screen(out), Endless(*lines)).run()
    return out.getvalue(), journal


@pytest.mark.parametrize("prompt", PROMPTS)
@pytest.mark.parametrize("word", WORDS)
def test_every_word_works_at_every_prompt(bicycle: Rulebook, prompt: str, word: str) -> None:
    """Whatever is asked, a word is taken as the word, and the session can be left after it."""
    line = f"{WORDS[word][0][0]} {ARGUMENTS.get(word, '')}".strip()
    said, _ = converse(bicycle, "town bicycle", "goes flat", *PROMPTS[prompt], line)
    assert "none of the choices" not in said.rpartition("> ")[2]


@pytest.mark.parametrize("prompt", ["safety", "stop", "choice", "repair", "proof"])
@pytest.mark.parametrize("line", ["", "  ", "again"])
def test_enter_alone_repeats_the_question(bicycle: Rulebook, prompt: str, line: str) -> None:
    """What is asked is put again, and nothing is recorded."""
    before, journal = converse(bicycle, "town bicycle", "goes flat", *PROMPTS[prompt])
    said, after = converse(bicycle, "town bicycle", "goes flat", *PROMPTS[prompt], line)
    assert said.startswith(before)
    repeated = said[len(before) :].strip().splitlines()
    assert repeated
    assert repeated[-1] == before.strip().splitlines()[-1]
    assert journal == after


def test_the_ways_out_are_said_at_the_second_refusal(bicycle: Rulebook) -> None:
    """The first refusal says what is wrong; the second what else can be typed."""
    once, _ = converse(bicycle, "town bicycle", "goes flat", "no", "moon")
    twice, _ = converse(bicycle, "town bicycle", "goes flat", "no", "moon", "moon")
    assert (0, 1) == (once.count("`skip check`"), twice.count("`skip check`"))


@pytest.mark.parametrize("bench", BENCHES)
@pytest.mark.parametrize("word", WORDS)
def test_every_word_is_known_at_the_bench(
    bench: str, word: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A word is never read as a number: it is obeyed, or said to belong to a session."""
    lines = iter([WORDS[word][0][0], *["leave"] * 9])
    with pytest.raises(asking.LeavesBench) as left:
        BENCHES[bench]({}, ask=lambda question: next(lines))
    assert (word == "danger") == left.value.danger
    assert "expected" not in capsys.readouterr().err


def test_undo_at_the_bench_asks_for_the_answer_before(capsys: pytest.CaptureFixture[str]) -> None:
    """The latest answer is asked for anew, and the question goes on from there."""
    asked: list[str] = []
    lines = iter(["12.6", "undo", "12.7", "11.9", "50", "skip", "skip"])

    def ask(question: str) -> str:
        asked.append(question)
        return next(lines)

    assert 0 == run_battery({}, ask=ask)
    assert asked[0] == asked[2]
    assert asked[1] == asked[3]
    assert "12.7 V - 11.9 V" in capsys.readouterr().out


WORKED = ("use battery", "12.6", "11.6", "9 A", "", "")


def test_a_bench_sum_goes_into_the_session_as_one_act(shipped: Rulebook) -> None:
    """What was typed is read back and taken down with what the sum says; `undo` takes all back."""
    said, journal = converse(
        shipped, "small 12 V", "will not start", "none", *WORKED, "yes", "undo"
    )
    taken = journal[1]
    assert isinstance(taken, Together)
    answers = {one.finding: str(one.value) for one in taken.events if isinstance(one, Answered)}
    assert {
        "volts at rest": "12.6 V",
        "volts at the terminals while igniting": "11.6 V",
        "amps while igniting": "9 A",
    } == answers
    remark = taken.events[-1]
    assert isinstance(remark, Noted)
    assert "battery resistance 111.1 mohm" in remark.text
    assert "Taken back: `volts at rest`, 12.6 V" in said.replace("\n", " ")


def test_a_bench_sum_takes_the_cable_down_as_well(shipped: Rulebook) -> None:
    """Length and copper typed for a sum are readings of the session, and not asked for twice."""
    lines = ("use battery", "12.6", "11.6", "9 A", "4.5", "4 mm2", "", "yes")
    _, journal = converse(shipped, "small 12 V", "will not start", "none", *lines)
    taken = journal[1]
    assert isinstance(taken, Together)
    answers = {one.finding: str(one.value) for one in taken.events if isinstance(one, Answered)}
    assert ("4.5 m", "4 mm2") == (answers["cable run"], answers["cable area"])


@pytest.mark.parametrize(
    ("typed", "heard"), [("12 ppm", False), ("60ppm", False), ("the co alarm is sounding", True)]
)
def test_an_amount_at_the_bench_is_no_word_of_danger(
    shipped: Rulebook, typed: str, heard: bool
) -> None:
    """What a sum asks for may be a ppm; a danger told in words is read back there too."""
    lines = ("none", "use exhaust", typed, "no")
    said, _ = converse(shipped, "small 12 V", "will not start", *lines)
    assert heard == ("That would be a danger" in said)


def test_a_bench_sum_takes_nothing_that_is_not_so(shipped: Rulebook) -> None:
    """After a no each reading is asked for by itself."""
    lines = ("none", *WORKED, "no", "yes", "no", "no")
    _, journal = converse(shipped, "small 12 V", "will not start", *lines)
    taken = journal[1]
    assert isinstance(taken, Together)
    found = [one.finding for one in taken.events if isinstance(one, Answered)]
    assert ["volts at rest"] == found


def test_what_is_known_is_filled_in(shipped: Rulebook) -> None:
    """A reading of the session is not asked for again at the bench."""
    lines = ("none", "change volts at rest = 12.7 V", "use battery", "11.6", "9", "", "", "yes")
    said, _ = converse(shipped, "small 12 V", "will not start", *lines)
    assert "12.7 V, as known here" in said
    assert "(12.7 V - 11.6 V) / 9 A" in said
    assert "Volts at the terminals, all switched off?" not in said


@pytest.mark.parametrize(("unit", "length"), [("LIB-03", ["4.5 m"]), ("small 12 V", [])])
def test_a_cable_is_known_where_it_was_measured(
    shipped: Rulebook, unit: str, length: list[str]
) -> None:
    """The cable of the unit's own file is filled in; what its class has is not taken for it."""
    said, _ = converse(shipped, unit, "will not start", "none", "use battery")
    found = [line.split()[1:3] for line in said.splitlines() if line.strip().startswith("length ")]
    assert length == [" ".join(one).strip(",") for one in found]


def test_bench_inputs_and_findings_are_the_same_quantities(shipped: Rulebook) -> None:
    """Each input is of its finding's dimension, and of its unit datum's."""
    unit = shipped.units["small 12 V"]
    for bench, options in FINDINGS.items():
        module = __import__(f"diag.bench.{bench}.inputs", fromlist=["INPUTS"])
        inputs = {one.option: one for one in module.INPUTS}
        for option, name in options.items():
            finding = shipped.findings[name].unit
            assert finding is not None
            assert inputs[option].unit == finding.symbol, (bench, option)
        for option, datum in UNIT_DATA[bench].items():
            value = unit.data[datum]
            assert isinstance(value, Quantity)
            assert inputs[option].unit == value.unit.symbol


def test_a_bench_sum_is_kept_with_a_session(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--keep` adds a remark with inputs, verdict and figures; no such session is refused first."""
    from diag.store import Store

    monkeypatch.setenv("DIAG_HOME", str(tmp_path))
    words = ["diag", "battery", "--rest", "12.6", "--terminals", "11.9", "--load-amps", "50"]
    monkeypatch.setattr("sys.argv", [*words, "--keep", "moon"])
    with pytest.raises(SystemExit) as refused:
        run()
    assert 2 == refused.value.code
    assert "there is no session `moon`" in capsys.readouterr().err
    store = Store(tmp_path / "sessions.db")
    session = store.create({"unit": "small 12 V", "complaint": "will not start", "rulebook": ""})
    monkeypatch.setattr("sys.argv", [*words, "--keep", session])
    with pytest.raises(SystemExit) as kept:
        run()
    assert 0 == kept.value.code
    (entry,) = store.events(session)
    assert "noted" == entry.kind
    assert str(entry.payload["text"]).startswith(
        "battery (rest 12.6, terminals 11.9, load-amps 50)"
    )
    store.close()


def test_leaving_returns_to_the_session(shipped: Rulebook) -> None:
    """`leave` at a bench question leaves the bench alone."""
    said, journal = converse(shipped, "small 12 V", "will not start", "none", "use cable", "leave")
    assert 1 == len(journal)
    assert "Back in the session; nothing was taken down." in said
    assert LEFT
