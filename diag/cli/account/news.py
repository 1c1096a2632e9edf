"""What an answer has brought, told before the next question: the reading judged, the suspects."""

from __future__ import annotations

from operator import eq

from diag.cli.account.line import shares_in, suspects_line, suspects_sentence
from diag.cli.account.pictures import Album
from diag.cli.terminal.screen import Screen
from diag.session.account.judged import JudgedReading, judged
from diag.session.account.snapshot import Snapshot, snapshot
from diag.session.account.suspects import suspects
from diag.session.offer.choosing import time_from_here
from diag.session.prompt import AskFinding, Closing, Prompt, ProposeRepair, StopWork
from diag.session.state import SessionState


class News:
    """Tells what has changed since it last told; nothing comes before a STOP."""

    def __init__(self, screen: Screen) -> None:
        self._screen = screen
        self._before: Snapshot | None = None
        self._shown: tuple[str, ...] = ()
        self._album = Album(screen)

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
            self._album.draw(state, prompt.finding.id if isinstance(prompt, AskFinding) else "")
            changed = now.readings != before.readings or now.shares != before.shares
        else:
            changed = bool(now.readings)
        if changed and isinstance(prompt, ProposeRepair):
            self._album.draw_belief(state)
        if changed and not state.in_proof and not isinstance(prompt, Closing):
            self._show_suspects(state, before)

    def _show_suspects(self, state: SessionState, before: Snapshot | None) -> None:
        found = suspects(state, before)
        ahead = None if state.dangers.held else time_from_here(state)
        line = suspects_line(found, self._screen.width, ahead)
        same = self._shown_before(shares_in(line)) and not found.fell_out
        if self._screen.draws:
            short = suspects_line(found, self._screen.width, ahead, same=True)
            self._screen.lines([short if same else line])
        else:
            self._screen.say(suspects_sentence(found, ahead, same=same))

    def _shown_before(self, shares: tuple[str, ...]) -> bool:
        """Tell whether these shares were told last, as far as the width held them both times."""
        before = self._shown
        same = bool(before) and all(map(eq, shares, before))
        self._shown = before if same else shares
        return same


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
