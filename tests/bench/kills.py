"""The keyboard killed at random moments: is an answer lost, or a wrong question asked afterwards?

`python -m tests.bench.kills [kills [seed]]` types sessions on worked cases through a terminal of
its own and kills the program (SIGKILL) while it starts, right after a line, or while it thinks.
Then the session is resumed. An answer is acknowledged once the next prompt stands on the screen:
all of these must be in the store, at most the one in flight beside them, and the prompt after
resuming must be that of a session which was never killed, after the same answers. Among the
answers are parts, minutes and labels, which go into the session's job. Told are the answers lost
and the prompts that are wrong; there are to be none of either.
"""

from __future__ import annotations

import os
import random
import select
import signal
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from diag.cli.stored import jobs_of
from diag.model.case import Case
from diag.session.commands import Command, read_line
from diag.session.journal.events import Equipped, Event, from_record
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork
from diag.session.slips import NotUnderstood
from diag.session.state import SessionState
from diag.store import Store
from tests.cli.test_keyboard import HERE, PATIENCE, Terminal
from tests.dangers.shipped import begin, cases, controlled

SEED, KILLS = 20260404, 500
MOST_LINES, LONGEST_WAIT = 14, 0.3
"""Lines typed in one session, and seconds from a line to the kill."""
STARTING, LONGEST_START = 0.2, 1.5
"""How often the kill falls while the program starts, and seconds from the start to it."""


OF_A_JOB = ("part hose {} 4.50", "minutes {}", "label about visit {}")
JOB_WORDS = tuple(line.partition(" ")[0] for line in OF_A_JOB)
HOW_OFTEN = 0.4
"""Lines for the job of a session, and how often one stands before an answer."""


@dataclass(frozen=True)
class Step:
    """A line, and what is on the screen before it: words of the prompt."""

    prompt: str
    line: str


def script(case: Case) -> list[Step]:
    """Return the lines that a person at a case's bench types, one journal entry each."""
    state = begin(case.unit, case.complaint)
    controller, steps = controlled(state), []
    while len(steps) < MOST_LINES and not isinstance(controller.prompt, Closing):
        words = wording(controller.prompt)
        line = _line(controller.prompt, case, state)
        read = read_line(line)
        try:
            assert not isinstance(read, Command) or line == "cannot"
            if line == "cannot":
                controller.pass_over("cannot be done now")
            else:
                assert not isinstance(read, Command)
                controller.answer(read)
        except NotUnderstood:  # it looks like a slip
            line = "cannot"
            controller.pass_over("cannot be done now")
        steps.append(Step(words, line))
    return [*steps, Step(wording(controller.prompt), "")]


def with_job_lines(steps: list[Step], chance: random.Random) -> list[Step]:
    """Return the lines with some among them that are written down in the session's job."""
    found: list[Step] = []
    for step in steps:
        if step.line and chance.random() < HOW_OFTEN:
            line = chance.choice(OF_A_JOB).format(len(found) + 1)
            found.append(Step(step.prompt, line))
        found.append(step)
    return found


def wording(prompt: Prompt) -> str:
    """Return what the screen of a prompt shows of it; empty at an end."""
    if isinstance(prompt, AskFinding):
        return prompt.finding.ask
    if isinstance(prompt, AskTogether):
        return prompt.check.together
    if isinstance(prompt, StopWork):
        return prompt.danger.title
    return "" if isinstance(prompt, Closing) else prompt.cause.title


def _line(prompt: Prompt, case: Case, state: SessionState) -> str:
    if isinstance(prompt, AskTogether):
        so = [one.id for one in prompt.findings if case.readings.get(one.id) == "yes"]
        return ", ".join(so) or "none"
    if isinstance(prompt, AskFinding):
        made = case.after.get(state.in_proof, {})
        value = made.get(prompt.finding.id, case.readings.get(prompt.finding.id))
        return "cannot" if value is None else str(value)
    return "done"


class Killable(Terminal):
    """A session at a terminal, which can be killed."""

    def waits(self, since: int = 0) -> bool:
        """Tell whether a prompt waits for a line, later on the screen than `since`."""
        behind = self.screen[since:]
        return "\n" in behind and behind.endswith("> ")

    def until_it_waits(self, since: int = 0) -> bool:
        """Read until it waits; return whether it does."""
        end = time.monotonic() + PATIENCE
        while not self.waits(since) and time.monotonic() < end:
            if not self._read():
                break
        return self.waits(since)

    def wait(self, seconds: float) -> None:
        """Let it go on for so long, and read what it writes."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            if select.select([self._master], [], [], left)[0] and not self._read():
                time.sleep(max(0.0, end - time.monotonic()))

    def kill(self) -> None:
        """End the program at once, and read what it had written."""
        os.kill(self._process.pid, signal.SIGKILL)
        self._process.wait()
        while self._read():
            pass
        os.close(self._master)


@dataclass
class Session:
    """One scripted session in a data folder of its own, killed again and again."""

    case: Case
    home: Path
    chance: random.Random
    steps: list[Step]
    lost: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    kills: int = 0
    done: int = 0
    """Lines that are in the store."""

    def run(self, most: int) -> None:
        """Kill and resume it until its script is typed, or so often."""
        while self.kills < most and self.done < len(self.steps) - 1:
            self._once()

    def _once(self) -> None:
        """Start or resume it, type some lines, kill it, and look at the store."""
        resumed = self._stored() is not None
        begun = ("--unit", self.case.unit, "--complaint", self.case.complaint)
        terminal = Killable(self.home, "ask", *(("--resume",) if resumed else (*HERE, *begun)))
        acknowledged = self.done
        if self.chance.random() < STARTING:
            terminal.wait(self.chance.uniform(0, LONGEST_START))
            terminal.kill()
        else:
            if not terminal.until_it_waits():
                self.wrong.append(f"no prompt: {terminal.screen[-200:]!r}")
            self._compare(terminal.screen)
            acknowledged = self._type(terminal)
        self.kills += 1
        self._look(acknowledged)

    def _type(self, terminal: Killable) -> int:
        """Type up to the line that the kill follows; return how many were acknowledged."""
        last = self.chance.randint(self.done, min(self.done + 3, len(self.steps) - 2))
        for number in range(self.done, last + 1):
            since = len(terminal.screen)
            terminal.send(self.steps[number].line.encode() + b"\r")
            if number < last and not terminal.until_it_waits(since):
                self.wrong.append(f"no prompt after {self.steps[number]}")
                terminal.kill()
                return number
        terminal.wait(self.chance.uniform(0, LONGEST_WAIT))
        terminal.kill()
        return last + terminal.waits(since)

    def _look(self, acknowledged: int) -> None:
        """Hold the store against what was acknowledged."""
        events, entries = self._stored() or ([], [])
        self.done = len(events) + len(entries)
        typed = [one.line for one in self.steps[: self.done] if one.line.startswith(JOB_WORDS)]
        if len(typed) != len(entries):
            self.lost.append(f"{self.case.id}: {typed} typed, {entries} kept in the job")
        if not acknowledged <= self.done <= acknowledged + 1:
            self.lost.append(f"{self.case.id}: {acknowledged} acknowledged, {self.done} stored")
        state = begin(self.case.unit, self.case.complaint)
        if wording(controlled(state.replay(events)).prompt) != self.steps[self.done].prompt:
            self.wrong.append(f"{self.case.id}: after {self.done} entries")

    def _compare(self, screen: str) -> None:
        """Hold a screen against the prompt of the session that was never killed."""
        wanted = self.steps[self.done].prompt
        if " ".join(wanted.split()) not in " ".join(screen.split()):
            self.wrong.append(f"{self.case.id}: `{wanted}` is not asked after {self.done} entries")

    def _stored(self) -> tuple[list[Event], list[str]] | None:
        """Return the events of the session and what its job holds; None where none was begun."""
        path = self.home / "sessions.db"
        if not path.exists():
            return None
        store = Store(path)
        try:
            rows = store.sessions()
            if not rows:
                return None
            (row,) = rows
            found = [from_record(one.kind, one.payload) for one in store.events(row.id)]
            written = jobs_of(store).entries(row.job or "")
        finally:
            store.close()
        typed = [one for one in found if not isinstance(one, Equipped)]
        return typed, [one.kind for one in written if one.kind != "opened"]


def killed(kills: int, seed: int, folder: Path) -> tuple[list[str], list[str], int]:
    """Kill sessions so often; return what was lost, what was wrong, and how many sessions."""
    chance, lost, wrong, sessions, left = random.Random(seed), [], [], 0, kills
    told = [case for case in cases() if case.after]
    while left > 0:
        case = chance.choice(told)
        home = folder / str(sessions)
        home.mkdir()
        session = Session(case, home, chance, with_job_lines(script(case), chance))
        session.run(left)
        lost, wrong = lost + session.lost, wrong + session.wrong
        left, sessions = left - session.kills, sessions + 1
    return lost, wrong, sessions


def main(kills: int, seed: int) -> None:
    """Print what was lost and what was wrong."""
    with tempfile.TemporaryDirectory() as folder:
        lost, wrong, sessions = killed(kills, seed, Path(folder))
    print("\n".join((*lost, *wrong)))
    print(f"{kills} kills in {sessions} sessions: {len(lost)} lost, {len(wrong)} wrong prompts")


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(numbers[0] if numbers else KILLS, numbers[1] if numbers[1:] else SEED)
