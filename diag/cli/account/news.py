"""What an answer has brought, told before the next question: the reading judged, the suspects."""

from __future__ import annotations

from diag.cli.account.line import suspects_line, suspects_sentence
from diag.cli.account.pictures import supply_drops
from diag.cli.terminal.screen import Screen
from diag.session.account.judged import JudgedReading, judged
from diag.session.account.snapshot import Snapshot, snapshot
from diag.session.account.suspects import suspects
from diag.session.prompt import Closing, Prompt, StopWork
from diag.session.state import SessionState


class News:
    """Tells what has changed since it last told; nothing comes before a STOP."""

    def __init__(self, screen: Screen) -> None:
        self._screen = screen
        self._before: Snapshot | None = None
        self._drawn: tuple[str, ...] = ()

    def tell(self, state: SessionState, prompt: Prompt) -> None:
        """Tell what has changed; `prompt` is what comes next."""
        if isinstance(prompt, StopWork):
            return
        before, now = self._before, snapshot(state)
        self._before = now
        if before is not None:
            for one in judged(state, before):
                if said := worked_out(one) if state.in_proof else judgement(one):
                    self._screen.say(said)
            self._draw(state, now, before)
            changed = now.readings != before.readings or now.shares != before.shares
        else:
            changed = bool(now.readings)
        if changed and not state.in_proof and not isinstance(prompt, Closing):
            self._show_suspects(state, before)

    def _draw(self, state: SessionState, now: Snapshot, before: Snapshot) -> None:
        """Draw where the volts go, on a terminal, once the readings for it are there, or other."""
        if self._screen.draws and now.readings != before.readings:
            rows = supply_drops(state, self._screen.width)
            if rows != self._drawn:
                self._screen.lines(rows)
            self._drawn = rows

    def _show_suspects(self, state: SessionState, before: Snapshot | None) -> None:
        found = suspects(state, before)
        if self._screen.draws:
            self._screen.lines([suspects_line(found, self._screen.width)])
        else:
            self._screen.say(suspects_sentence(found))


def judgement(one: JudgedReading) -> str:
    """Write a reading judged: against what is good, and what it makes known.

    Where the rules set no limit, with the signs that it shows. In a test run after a repair the
    proof judges it, by what it wants.
    """
    if one.is_good:
        said = f": good, {one.good}."
    elif one.good:
        said = f": {one.missed or 'not good'}; good is {one.good}."
    elif one.follows:
        said = f": {'; '.join(one.follows)}."
    else:
        said = ": the rules set no limit by itself."
    return " ".join(part for part in (f"{one.value}{said}", worked_out(one)) if part)


def worked_out(one: JudgedReading) -> str:
    """Write what a reading makes known; empty for nothing."""
    figures = [f"{each.title}: {each.value}" for each in one.worked_out]
    return f"Worked out: {'; '.join(figures)}." if figures else ""
