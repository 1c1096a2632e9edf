"""`undo` and `change`: what was said is taken back or corrected, a danger only as a slip."""

from __future__ import annotations

from diag.cli.ask.dangers import DangerEar
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Source
from diag.session.controller import SessionController
from diag.session.journal.events import Answered, Chosen, Corrected, Equipped, Event, flat
from diag.session.journal.recalled import Recalled
from diag.session.result import shown
from diag.session.slips import TakesDangerBack


class Corrector:
    """Takes back and corrects, and says what became of it."""

    def __init__(
        self, controller: SessionController, screen: Screen, source: Source, dangers: DangerEar
    ) -> None:
        self._controller, self._screen, self._source = controller, screen, source
        self._dangers = dangers

    def undo(self) -> None:
        """Take the latest act back, whatever it was."""
        try:
            act = self._controller.undo()
        except TakesDangerBack as found:
            if self._is_slip(found):
                self._controller.confirm_slip(found.event)
                self._screen.say("It is taken back as a slip; that is told at the end.")
            else:
                self._screen.say("Nothing is taken back.")
        else:
            self._screen.say(f"Taken back: {_told(act)}.")

    def change(self, text: str) -> None:
        """Correct an answer or the complaint, or give one that was not asked for."""
        name, mark, said = text.partition("=")
        what = name.strip().lower()
        findings = self._controller.state.rulebook.findings
        if mark and what in ("complaint", "complaints") and what not in findings:
            self._change_complaints(said)
            return
        before = dict(self._controller.state.readings)
        try:
            finding = self._controller.change(text)
        except TakesDangerBack as found:
            event = found.event
            if self._is_slip(found):
                self._controller.confirm_slip(event)
                self._screen.say("It is corrected as a slip; that is told at the end.")
            elif isinstance(event, Corrected):
                self._controller.read_anew(event)
                self._screen.say("Then it is a new reading, taken now. The danger is not undone.")
            return
        now = shown(self._controller.state.readings[finding].value)
        was = before.get(finding)
        self._screen.say(
            f"`{finding}` was {shown(was.value)}, now {now}." if was else f"`{finding}`: {now}."
        )

    def _is_slip(self, found: TakesDangerBack) -> bool:
        """Read a danger back that would be gone, and return whether it never was there."""
        state = self._controller.state
        titles = ", ".join(state.rulebook.dangers[name].title for name in found.dangers)
        self._screen.say(f"That would take a danger back: {titles}.")
        self._screen.say("Was the answer a slip, so that it never was true? [yes/no]", bold=True)
        answer = self._source.read("")
        return answer is not None and answer.strip().lower() in ("yes", "y", "slip")

    def _change_complaints(self, text: str) -> None:
        """Put the complaints that are named, or told and confirmed, in the place of all others."""
        from diag.cli.ask.heard import confirmed_facts

        book = self._controller.state.rulebook
        names = [" ".join(one.lower().split()) for one in text.split(",")]
        if not set(names) <= book.complaints.keys():
            heard = self._dangers.ear.hear(text).of_complaints()
            told = confirmed_facts(text, heard, book, self._screen, self._source)
            names = [one.complaint for one in told]
        self._controller.complain(names)
        titles = [book.complaints[name].title for name in self._controller.state.complaints]
        self._screen.say(f"The complaint is now: {'; '.join(titles)}.")


def _told(act: Event) -> str:
    """Name what an act was."""
    names = []
    for event in flat(act):
        if isinstance(event, Answered | Corrected):
            names.append(f"`{event.finding}`, {shown(event.value)}")
        elif isinstance(event, Equipped):
            names.append("what is at hand")
        elif isinstance(event, Recalled):
            names.append("what the record says")
        else:
            kind = "a remark" if not hasattr(event, "finding") else f"`{event.finding}`"
            about = next(
                (getattr(event, key) for key in ("cause", "danger") if hasattr(event, key)),
                event.check if isinstance(event, Chosen) else "",
            )
            names.append(f"{type(event).__name__.lower()} `{about}`" if about else kind)
    return "; ".join(names)
