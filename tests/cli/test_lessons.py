"""`diag drill lessons` and `diag drill progress`: at a keyboard, in a pipe, on another day."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

from diag.store import Store
from diag.store.drills import Drills
from diag.store.lessons import LessonAnswer, Lessons
from diag.store.schema import MIGRATIONS
from tests.cli.terminals import widest

pty = pytest.importorskip("pty")

from tests.cli.test_keyboard import DIAG, END, INTERRUPT, ROOT, Terminal  # noqa: E402

EIGHTY, FORTY = 80, 40
AGO = "2020-01-01T10:00:00+00:00"


def run(
    home: Path, *words: str, typed: str = "", group: str = "drill"
) -> subprocess.CompletedProcess[str]:
    """Run a command in a pipe."""
    return subprocess.run(
        [*DIAG, group, *words],
        input=typed,
        capture_output=True,
        text=True,
        env={**os.environ, "DIAG_HOME": str(home)},
        cwd=ROOT,
        check=False,
    )


def kept(home: Path, now: str = AGO) -> Lessons:
    home.mkdir(parents=True, exist_ok=True)
    return Lessons(Store(home / "sessions.db", now=lambda: now))


@pytest.mark.parametrize("number", range(1, 8))
def test_a_lesson_in_a_pipe_is_whole(tmp_path: Path, number: int) -> None:
    """All pages stand in a pipe, below 80 columns, without drawing, and nothing is kept."""
    done = run(tmp_path, "lessons", str(number))
    assert (0, "") == (done.returncode, done.stderr)
    assert widest(done.stdout) < EIGHTY
    pages = [line for line in done.stdout.splitlines() if ", page " in line]
    count = int(pages[0].rpartition(" of ")[2])
    assert [f"page {n} of {count}" for n in range(1, count + 1)] == [
        line.partition(", ")[2] for line in pages
    ]
    assert count - 2 == done.stdout.count("Answer: ")
    assert "##" not in done.stdout
    assert not (tmp_path / "sessions.db").exists()


def test_an_unknown_lesson(tmp_path: Path) -> None:
    """A lesson that there is not is refused with those near it."""
    done = run(tmp_path, "lessons", "suply first")
    assert (2, "") == (done.returncode, done.stdout)
    assert done.stderr.startswith("there is no lesson `suply first`; near it are `supply first`")


def test_a_file_of_a_newer_version(tmp_path: Path) -> None:
    """A store that a newer version wrote is refused in a sentence, by both commands."""
    kept(tmp_path)
    subprocess.run(
        [sys.executable, "-c", "import sqlite3, sys; sqlite3.connect(sys.argv[1])"
         f".execute('pragma user_version = {len(MIGRATIONS) + 1}')",
         str(tmp_path / "sessions.db")],
        check=True,
    )  # fmt: skip
    for command in ("lessons", "progress"):
        done = run(tmp_path, command)
        assert (1, "") == (done.returncode, done.stdout)
        assert "was written by a newer version" in done.stderr


OWN = """source: invented
lessons:
  the workshop's own:
    number: 8
    title: How we do it here
    why: So that it is done alike.
    unit: small 12 V
    fault: FAULT
    seed: 1
    steps:
      first:
        ask: Which fuse is in?
        choices: [{any: No.}, {the right one: "Yes, {fuse rating}."}]
        right: the right one
        tell: Look at its colour.
    practise: {blown fuse: 2}
"""


def test_a_lesson_of_the_workshops_own(tmp_path: Path) -> None:
    """A file in the user's own folder is listed and shown; what is wrong in it has its place."""
    file = tmp_path / "rules" / "lessons" / "own.yaml"
    file.parent.mkdir(parents=True)
    file.write_text(OWN.replace("FAULT", "blown fuse"))
    assert "8 the workshop's own: not begun" in run(tmp_path, "lessons").stdout
    assert "Yes, 20 A." in run(tmp_path, "lessons", "8").stdout
    file.write_text(OWN.replace("FAULT", "blown fues"))
    for done in (run(tmp_path, "lessons"), run(tmp_path, "check", group="rules")):
        assert 1 == done.returncode
        assert f"{file}:8:12: there is no fault `blown fues`" in done.stderr
        assert "did you mean `blown fuse`" in done.stderr


def test_a_drill_of_a_lesson(tmp_path: Path) -> None:
    """A drill by lesson begins at a level of that lesson; another level, or lesson, is refused."""
    done = run(tmp_path, "--lesson", "supply first", typed="quit\n")
    assert (0, "") == (done.returncode, done.stderr)
    assert "Drill " in done.stdout
    for words, refused in (
        (("--lesson", "supply"), "there is no lesson `supply`; near it are `supply first`"),
        (("--lesson", "2", "--level", "3"), "a lesson has its own levels: leave out `--level`"),
    ):
        done = run(tmp_path, *words)
        assert 2 == done.returncode
        assert done.stderr.startswith(refused)


class Learner:
    """Somebody at a terminal of a width, who types and waits for what comes."""

    def __init__(self, home: Path, width: int, *words: str) -> None:
        self.terminal = Terminal(home, "drill", *words, columns=width)
        self._seen = ""

    def wait(self, text: str) -> Learner:
        """Wait for words behind what was waited for before, however they are wrapped."""
        self.terminal.wait_for(text, after=self._seen)
        before, found, _ = self.terminal.screen[len(self._seen) :].partition(text)
        self._seen += before + found
        return self

    def type(self, line: str) -> Learner:
        self.terminal.send(line.encode() + b"\r")
        return self


@pytest.mark.parametrize("width", [EIGHTY, FORTY])
def test_a_whole_lesson_by_keyboard(tmp_path: Path, width: int) -> None:
    """Answers, right, wrong and not known, a picture, what was missed again, and the end."""
    one = Learner(tmp_path, width, "lessons", "supply first")
    one.wait("page 1 of 7").wait("> ").type("").wait("Caution").wait("> ").type("")
    one.wait("page 2 of 7").wait("> ").type("perhaps").wait("Type a number from 1 to")
    one.wait("> ").type("1").wait("Try again").wait("> ").type("3").wait("12.79 V")
    one.wait("> ").type("back").wait("page 1 of 7").wait("> ").type("").wait("> ").type("")
    one.wait("page 2 of 7").wait("> ").type("3").wait("> ").type("")
    one.wait("page 3 of 7").wait("> ").type("?").wait("Answer: 2.").wait("> ").type("")
    one.wait("page 4 of 7").wait("> ").type("between the battery and the heater")
    one.wait("Yes.").wait("> ").type("")
    one.wait("page 5 of 7").wait("> ").type("2").wait("shows the picture").wait("> ").type("")
    one.wait("- earth joint").wait("####").wait("> ").type("")
    one.wait("page 6 of 7").wait("> ").type("3").wait("> ").type("")
    one.wait("page 7 of 7").wait("Once more").wait("> ").type("3")
    one.wait("Once more").wait("> ").type("2").wait("diag drill --lesson 2").wait("> ").type("")
    one.wait("is done")
    assert 0 == one.terminal.finish(END)
    lines = one.terminal.screen.replace("\r", "")
    assert widest(lines) <= width
    qualities = [answer.quality for answer in kept(tmp_path).answers()]
    assert [2, 4, 0, 4, 4, 4, 4, 4] == qualities
    place = kept(tmp_path).places()["supply first"]
    assert (0, True) == (place.page, place.finished is not None)


@pytest.mark.parametrize("key", [INTERRUPT, END])
def test_a_lesson_left_in_the_middle_goes_on_there(tmp_path: Path, key: bytes) -> None:
    """After Ctrl-C or Ctrl-D at a question the lesson goes on at its page, answers kept."""
    one = Learner(tmp_path, EIGHTY, "lessons", "2")
    one.wait("> ").type("").wait("> ").type("").wait("page 2 of 7").wait("> ").type("3")
    one.wait("> ").type("")
    one.wait("page 3 of 7").wait("> ").type("1").wait("Try again").wait("> ")
    assert 0 == one.terminal.finish(key)
    assert "Saved. Go on with: diag drill lessons 2" in one.terminal.screen
    assert "Traceback" not in one.terminal.screen
    assert [4, 2] == [answer.quality for answer in kept(tmp_path).answers()]
    again = Learner(tmp_path, EIGHTY, "lessons", "supply first").wait("page 3 of 7").wait("> ")
    again.type("quit")
    again.wait("Saved.")
    assert 0 == again.terminal.finish(END)
    assert "page 1 of 7" not in again.terminal.screen
    assert "left on page 3 of 7" in run(tmp_path, "lessons").stdout


def test_a_lesson_that_is_killed_goes_on_there(tmp_path: Path) -> None:
    """Killed after an answer the lesson has it, and goes on at its page."""
    one = Learner(tmp_path, EIGHTY, "lessons", "6")
    one.wait("> ").type("").wait("> ").type("").wait("page 2 of 6").wait("> ").type("3")
    one.wait("Yes.").terminal.kill()
    assert [("shut-down: what stops first", 4)] == [
        (answer.item, answer.quality) for answer in kept(tmp_path).answers()
    ]
    again = Learner(tmp_path, EIGHTY, "lessons", "6").wait("page 2 of 6").wait("> ")
    assert 0 == again.terminal.finish(END)


def test_what_was_missed_is_asked_when_it_is_due(tmp_path: Path) -> None:
    """With nothing named, questions from days ago are offered, asked, and due no more."""
    fill_drills(tmp_path)
    old = kept(tmp_path)
    old.answered("fuel: the dose", 2)
    old.answered("air: the smoke", 4)
    listed = run(tmp_path, "lessons").stdout
    assert "2 questions are due to be asked again." in listed
    assert "Due for a drill: supply. Begin with: diag drill" in listed
    one = Learner(tmp_path, EIGHTY, "lessons")
    one.wait("2 questions are due").wait("> ").type("")
    one.wait("How do you learn what each click").wait("> ").type("3")
    one.wait("What does that mean?").wait("> ").type("3").wait("all that is due")
    assert 0 == one.terminal.finish(END)
    assert ["fuel: the dose", "air: the smoke"] == [a.item for a in kept(tmp_path).answers()[2:]]
    assert "questions are due" not in run(tmp_path, "lessons").stdout


def fill(home: Path) -> None:
    """Keep drills and answers of years ago, and some of today."""
    fill_drills(home)
    Lessons(Store(home / "sessions.db", now=lambda: AGO)).answered("fuel: the dose", 2)
    Lessons(Store(home / "sessions.db")).answered("heat: the balance", 4)


def fill_drills(home: Path) -> None:
    """Keep two drills of years ago, one right and then one wrong."""
    for day, points in ((AGO, 10.0), (AGO.replace("10:00", "11:00"), 4.5)):
        store = Store(home / "sessions.db", now=lambda day=day: day)
        drills = Drills(store)
        drill = drills.create(1, "small 12 V", "bad earth", drawn=(1, 1), rules="r")
        drills.end(drill, "right", [("supply", "bad earth", points)])


def test_progress_as_json(tmp_path: Path) -> None:
    """Every family and lesson stands in the JSON, with what is due now and when it is next."""
    fill(tmp_path)
    done = run(tmp_path, "progress", "--json")
    told = json.loads(done.stdout)
    found = {each["family"]: each for each in told["families"]}
    names = {"combustion", "control", "fuel", "ignition", "sensors", "supply", "use", "warm-air"}
    assert names == set(found)
    supply = found["supply"]
    assert (2, 1, True, False) == (
        supply["drills"], supply["right"], supply["due_now"], supply["firm"],
    )  # fmt: skip
    assert "2020-01-02" == supply["next"]
    assert 7 == len(told["lessons"])
    assert ["fuel: the dose"] == [item for each in told["lessons"] for item in each["due"]]
    (heat,) = (each for each in told["lessons"] if each["lesson"] == "heat")
    assert 1 == heat["questions"]["heat: the balance"]["right_in_a_row"]


@pytest.mark.parametrize("width", [FORTY, 57, EIGHTY, 120])
@pytest.mark.parametrize("plain", [(), ("--plain",)])
def test_progress_fits(tmp_path: Path, width: int, plain: tuple[str, ...]) -> None:
    """Families and lessons are told within the terminal, the rule of being firm in words."""
    fill(tmp_path)
    one = Learner(tmp_path, width, "progress", *plain)
    one.wait("Firm means")
    one.terminal.finish(END)
    said = one.terminal.screen.replace("\r", "")
    assert widest(said) <= width
    told = " ".join(said.split())
    assert "1 of 2 drills right; last marks of 10: 10, 4.5; due since 2020-01-02" in told
    assert ("-- " in said) != bool(plain)


def test_plain_pictures_are_sentences(tmp_path: Path) -> None:
    """With `--plain` no bar is drawn at a keyboard; the same volts stand in sentences."""
    kept(tmp_path).turned("supply first", 4)
    one = Learner(tmp_path, EIGHTY, "lessons", "2", "--plain")
    one.wait("> ").type("2").wait("> ").type("").wait("Most is lost in one place").wait("> ")
    assert 0 == one.terminal.finish(END)
    assert "##" not in one.terminal.screen


def test_any_keys_end_in_no_traceback(tmp_path: Path) -> None:
    """Whatever is typed, in any order, a lesson goes on or is left, and answers stay in range."""
    rng = random.Random(3)
    words = ["", "1", "2", "3", "?", "back", "x", "9", "supply", "\x01"]
    one = Learner(tmp_path, EIGHTY, "lessons", "air")
    for _ in range(40):
        one.terminal.wait_for("> ")
        one.type(rng.choice(words))
    one.terminal.finish(INTERRUPT)
    assert "Traceback" not in one.terminal.screen
    assert all(isinstance(each, LessonAnswer) for each in kept(tmp_path).answers())
