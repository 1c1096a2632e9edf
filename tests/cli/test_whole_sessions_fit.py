"""Whole sessions, drills and lessons fit a terminal that changes its width at every line typed."""

from __future__ import annotations

import io
import os
import random
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.app import run
from diag.cli.ask.conversation import Conversation
from diag.cli.book import load_book
from diag.cli.guard import guarded
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Finding, Rulebook
from diag.session.commands import WORDS
from diag.session.controller import SessionController
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt
from diag.session.state import SessionState
from tests.cli.terminals import PIECES, Terminal, terminal, texts, widest, widths
from tests.cli.test_fits import on_terminal

NARROWEST, WIDEST = 40, 200
ESCAPE = re.compile(r"\x1b\[[\d;?]*[A-Za-z]")
LINES = 45
ANSWERS_OF_TEN = 6
SOME = (
    "12.1 V",
    "暖房機の故障 e\u0301 😀",
    "3",
    "no idea at all",
    "fuel drips",
    "9,8",
    "x" * 90,
    "",
)


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_book(None)


class Watch:
    """Looks at what was written since it last looked, then makes the terminal another width."""

    def __init__(self, out: Terminal, rng: random.Random, slack: int = 0) -> None:
        self._out, self._rng, self._at, self._slack = out, rng, 0, slack
        self.looks = 0

    def look(self) -> None:
        """Hold what is new to the width that the terminal had."""
        said = ESCAPE.sub("", self._out.getvalue()[self._at :])
        self._at = len(self._out.getvalue())
        assert widest(said) < int(os.environ["COLUMNS"]) + self._slack, said
        self.looks += 1
        os.environ["COLUMNS"] = str(self._rng.randint(NARROWEST, WIDEST))


class Anybody:
    """Types answers that can be taken, every word of the prompts, and what nobody can take."""

    def __init__(self, rng: random.Random, controller: SessionController, watch: Watch | None):
        self._rng, self._controller, self._watch = rng, controller, watch
        self._words = [spelling for spellings, _ in WORDS.values() for spelling in spellings[:1]]
        rng.shuffle(self._words)
        self._left = LINES

    def offer(self, controller: object) -> str:
        return ""

    def read(self, offered: str) -> str | None:
        if self._watch:
            self._watch.look()
        self._left -= 1
        if self._left <= 0:
            return None
        if self._rng.randrange(10) < ANSWERS_OF_TEN or not self._words:
            return self._answer(self._controller.prompt)
        word = self._words.pop()
        return "help" if word == "leave" else f"{word} {self._behind(word)}".strip()

    def _answer(self, prompt: Prompt) -> str:
        rng = self._rng
        if rng.randrange(8) == 0:
            return rng.choice(SOME)
        if isinstance(prompt, AskFinding):
            return self._of(prompt.finding)
        if isinstance(prompt, AskTogether):
            return rng.choice(["none"] * 9 + ["1"])
        return "undo" if isinstance(prompt, Closing) else rng.choice(["done", "done", "other"])

    def _of(self, finding: Finding) -> str:
        if finding.choices:
            return self._rng.choice(finding.states)
        if finding.kind == "code" or not finding.believable or not finding.unit:
            return "unsure"
        low, high = (end.value for end in finding.believable)
        unit = "" if finding.unit.symbol == "1" else finding.unit.symbol
        return f"{self._rng.uniform(low, min(high, low + 20)):.1f} {unit}"

    def _behind(self, word: str) -> str:
        """Return what may stand behind a word of the prompts."""
        of, rng = self._controller.state.rulebook, self._rng
        causes, checks = sorted(of.causes), sorted(of.checks)
        behind = {
            "why": ["", *causes], "why-not": causes, "do": checks, "next": ["3", "9"],
            "where": ["", "2", "99"], "note": SOME, "say": SOME, "danger": ["", *PIECES[:3]],
            "picture": ["", "2", "volts", "belief", "暖"], "use": ["", "battery", "moon"],
            "change": [f"{one} = {self._of(of.findings[one])}" for one in rng.sample(CHANGED, 2)],
            "here": ["", "vehicle"], "with": ["clamp meter"], "without": ["clamp meter"],
        }  # fmt: skip
        return rng.choice(behind.get(word, [""]))


CHANGED = (
    "volts at rest", "volts at the terminals while igniting", "amps while igniting",
    "volts at the heater while igniting", "co alarm", "amps in fan run-up",
)  # fmt: skip


def sit(book: Rulebook, seed: int, screen: Screen, watch: Watch | None) -> None:
    """Hold a session of so many lines on any unit and complaint."""
    rng = random.Random(seed)
    unit = book.units[rng.choice(sorted(book.units))]
    state = SessionState(book, unit, rng.choice(sorted(book.complaints)))
    controller = SessionController(state, lambda _: None, lambda: "")
    Conversation(controller, screen, Anybody(rng, controller, watch)).run()


@pytest.mark.parametrize("seed", range(6))
def test_a_whole_session_fits_whatever_is_typed(
    book: Rulebook, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between any two lines typed all that is shown fits the width that the terminal has then."""
    with terminal(80, "xterm-256color") as out:
        if seed % 2:
            monkeypatch.delenv("NO_COLOR")
        watch = Watch(out, random.Random(seed))
        sit(book, seed, Screen(plain=seed == 0), watch)
    assert watch.looks > 1


@pytest.mark.parametrize("seed", [20, 21])
def test_a_whole_session_in_a_pipe_has_no_escape(book: Rulebook, seed: int) -> None:
    """Neither an escape nor a line of 80 columns comes out of a session in a pipe."""
    out = io.StringIO()
    sit(book, seed, Screen(out), None)
    assert "\x1b" not in out.getvalue()
    assert widest(out.getvalue()) < 80


class WatchedHand:
    """A keyboard whose every line is typed at a terminal of another width than the one before."""

    def __init__(self, watch: Watch, *lines: str) -> None:
        self._watch, self._lines = watch, iter(lines)

    def isatty(self) -> bool:
        return True

    def readline(self, limit: int = -1) -> str:
        self._watch.look()
        print()
        line = next(self._lines, None)
        return "" if line is None else f"{line}\n"


AT_THE_BENCH = (
    "help", "help read", "look round for danger", "notes", "暖房機の故障 😀", "volts at rest",
    "swap glow plug", "start", "wait 5 min", "amps while igniting", "hint", "repair bad earth",
    "call bad earth", "", "", "",
)  # fmt: skip
IN_A_LESSON = ("", "perhaps", "1", "3", "back", "", "", "3", "", "?", "", "2", "", "1", "", "2", "")


@pytest.mark.parametrize(
    ("words", "typed"),
    [(("drill", "--level", "2", "--seed", "7"), AT_THE_BENCH),
     (("drill", "lessons", "supply first"), IN_A_LESSON), (("ask",), ("99", "暖", "1", "x", "1"))],
    ids=["drill", "lesson", "ask"],
)  # fmt: skip
def test_a_drill_and_a_lesson_fit(
    words: tuple[str, ...], typed: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So do drills, lessons and the lists that one picks from, line by line."""
    monkeypatch.setattr("sys.argv", ["diag", *words])
    with terminal(80, term="dumb") as out:
        os.environ["DIAG_HOME"] = str(tmp_path)
        watch = Watch(out, random.Random(1), slack=1)
        monkeypatch.setattr("sys.stdin", WatchedHand(watch, *typed))
        with pytest.raises(SystemExit), guarded():
            raise SystemExit(run())
    assert watch.looks > len(typed) // 2


@pytest.mark.parametrize("width", [40, 57, 200])
def test_a_sheet_fits(width: int) -> None:
    """The sheet of a complaint, its box of dangers included, fits."""
    said = on_terminal("sequence 'radio noise'", width)
    assert "+- Dangers first -" in said
    assert widest(ESCAPE.sub("", said.rpartition("\r")[2])) < width


@settings(max_examples=25, deadline=None)
@given(texts, st.lists(texts, max_size=3), widths)
def test_a_box_fits(title: str, paragraphs: list[str], width: int) -> None:
    """Whatever stands in a box, no line of it is wider than the screen."""
    with terminal(width) as out:
        Screen().box(title, paragraphs)
    assert widest(out.getvalue()) < width
