"""A session at the keyboard, or over a pipe: prompts out, lines in, until it ends or is left."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from diag.cli.account.news import News
from diag.cli.account.where import show_inconsistency, show_page, show_rule_fault, show_suspects
from diag.cli.account.why_not import show_why_not
from diag.cli.ask.dangers import DangerEar, Leaves
from diag.cli.ask.here import show_change, show_tools
from diag.cli.ask.listener import Listener
from diag.cli.ask.table import take_table
from diag.cli.ask.views import show_help, show_why
from diag.cli.guard import WrongUse
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.prompts import show_prompt
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.model.rulebook import Finding
from diag.session.commands import Command, read_line
from diag.session.controller import SessionController
from diag.session.inconsistent import RuleFault, inconsistency_in, rule_faults
from diag.session.journal.events import CANNOT, Answered, Corrected, Equipped, Event, flat
from diag.session.offer.words import change, told_at_hand
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork
from diag.session.proof.run import RepairResult
from diag.session.result import shown
from diag.session.slips import Doubtful, TakesDangerBack

if TYPE_CHECKING:  # imported once something is said, so that the first question comes at once
    from diag.cli.ask.opening import OpeningWords
    from diag.session.hearing import HeardFact

LEFT = "left"


class AnswerRefused(ValueError):
    """An answer that cannot be taken at all, unlike one that is only doubted."""


class Conversation:
    """Drive a session from a source of lines onto a screen."""

    def __init__(
        self,
        controller: SessionController,
        screen: Screen,
        source: Source,
        keep: Callable[[Equipped], None] = lambda there: None,
        *,
        told: OpeningWords | None = None,
    ) -> None:
        """Begin with what was told before; `keep` takes what is said to be at hand, for later."""
        self._controller = controller
        self._keep = keep
        self._screen = screen
        self._source = source
        self._shown: Prompt | None = None
        self._warned: tuple[str, tuple[str, ...]] | None = None
        self._faults: tuple[RuleFault, ...] = ()
        self._results = len(controller.state.results)
        self._seen: set[str] = set()
        """The cautions that were shown in full."""
        self._refused: Prompt | None = None
        self._news = News(screen)
        self._dangers = DangerEar(controller, screen, source, told.ear if told else None)
        self._listener = Listener(controller, screen, source, self._dangers)

    def take_down(self, facts: Sequence[HeardFact]) -> None:
        """Record what was heard and confirmed before the session began."""
        self._listener.record(facts)

    @property
    def _findings(self) -> Mapping[str, Finding]:
        return self._controller.state.rulebook.findings

    def run(self) -> str:
        """Go on until the end; return the outcome, or `left` when the user leaves."""
        try:
            return self._run()
        except Leaves:
            return LEFT

    def _run(self) -> str:
        while True:
            self._dangers.go_on()
            prompt = self._controller.prompt
            if prompt is not self._shown:
                self._news.tell(self._controller.state, prompt)
                if not isinstance(prompt, StopWork):
                    self._warn()
                show_prompt(self._screen, self._controller.state, prompt, self._seen)
                self._shown = prompt
            if isinstance(prompt, Closing) and not prompt.ending.is_open:
                return prompt.ending.kind
            offered = self._source.offer(self._controller)
            if offered:
                self._screen.say(f"[the bench shows: {offered}]")
            if not self._take_line(offered):
                return LEFT

    def _take_line(self, offered: str) -> bool | None:
        """Take one line that can be read; return whether the session goes on."""
        return ask_until(
            lambda: self._source.read(offered),
            lambda line: self._take(line or offered),
            self._refuse,
        )

    def _warn(self) -> None:
        """Say once, when it comes up, that a reading does not fit, or that a proof failed."""
        state, prompt = self._controller.state, self._controller.prompt
        faults = rule_faults(state)
        for fault in faults:
            if fault not in self._faults:
                show_rule_fault(self._screen, fault)
        self._faults = faults
        found = inconsistency_in(state)
        asked = state.in_proof or (isinstance(prompt, AskFinding) and prompt.again is not None)
        if found and not asked and (found.say, found.readings) != self._warned:
            show_inconsistency(self._screen, found)
        self._warned = (found.say, found.readings) if found else None
        for result in state.results[self._results :]:
            if not result.proved:
                self._screen.say(_judged(result), bold=True)
        self._results = len(state.results)

    def _take(self, text: str) -> bool:
        """Take one line; return whether the session goes on. `ValueError` for one not taken."""
        if not text or self._dangers.take(text):
            return True
        read = read_line(text)
        if not isinstance(read, Command):
            state = self._controller.state
            there = told_at_hand(state.rulebook, state.reach, text)
            if there is not None:
                self._equip(there)
                return True
            if self._listener.take(text, read):
                return True
            try:
                self._controller.answer(read)
            except Doubtful:
                raise
            except ValueError as error:
                from diag.cli.ask.heard import say_of_what

                raise AnswerRefused(f"{error}{say_of_what(read.text)}") from None
        elif read.word == "leave":
            return False
        else:
            self._obey(read)
        return True

    def _refuse(self, error: ValueError | WrongUse) -> None:
        self._screen.say(sentence(str(error)))
        if isinstance(error, AnswerRefused):
            self._help_on()

    def _help_on(self) -> None:
        """Name the ways out to whoever is refused a second time at the same question."""
        prompt = self._controller.prompt
        if prompt is self._refused and isinstance(prompt, AskFinding | AskTogether):
            self._screen.say("`help` shows how; `unsure` or `cannot` goes on without it.")
        self._refused = prompt

    def _obey(self, command: Command) -> None:
        controller, screen = self._controller, self._screen
        acts: dict[str, Callable[[], object]] = {
            "help": lambda: show_help(screen, controller.state, controller.prompt),
            "why": lambda: self._why(command.argument),
            "why-not": lambda: show_why_not(screen, controller.state, command.argument),
            "suspects": lambda: show_suspects(screen, controller.state),
            "where": lambda: show_page(screen, controller.state, command.argument),
            "undo": self._undo,
            "change": lambda: self._change(command.argument),
            "say": lambda: self._listener.hear(command.argument),
            "danger": self._dangers.ask,
            "unsure": lambda: controller.pass_over("not sure"),
            "cannot": lambda: controller.pass_over(CANNOT),
            "enter": lambda: take_table(controller, screen, self._source),
            "tools": lambda: show_tools(screen, controller.state),
            **dict.fromkeys(("here", "with", "without"), lambda: self._at_hand(command)),
            "note": lambda: controller.note(command.argument),
        }
        acts[command.word]()
        if command.word == "note":
            screen.say("Noted.")

    def _at_hand(self, command: Command) -> None:
        state = self._controller.state
        if command.word == "here" and not command.argument:
            show_tools(self._screen, state)
        else:
            self._equip(change(state.rulebook, state.reach, command.word, command.argument))

    def _equip(self, there: Equipped) -> None:
        """Record what is at hand, keep it for the next session, and say it."""
        self._controller.record(there)
        self._keep(there)
        show_change(self._screen, self._controller.state)

    def _why(self, name: str) -> None:
        controller = self._controller
        if name:
            from diag.cli.ask.why import show_derivation

            show_derivation(self._screen, controller.state, name)
        else:
            show_why(self._screen, controller.state, controller.prompt)

    def _undo(self) -> None:
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

    def _change(self, text: str) -> None:
        name, mark, said = text.partition("=")
        what = name.strip().lower()
        if mark and what in ("complaint", "complaints") and what not in self._findings:
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


def _judged(result: RepairResult) -> str:
    """Say how a test run came out that did not prove the repair."""
    if result.holds and result.complaint == "failed":
        return "This repair holds, but the complaint goes on: something else is wrong as well."
    return "The test run failed. The repair is kept in the record."


def _told(act: Event) -> str:
    """Name what an act was."""
    names = []
    for event in flat(act):
        if isinstance(event, Answered | Corrected):
            names.append(f"`{event.finding}`, {shown(event.value)}")
        elif isinstance(event, Equipped):
            names.append("what is at hand")
        else:
            kind = "a remark" if not hasattr(event, "finding") else f"`{event.finding}`"
            about = getattr(event, "cause", "") or getattr(event, "danger", "")
            names.append(f"{type(event).__name__.lower()} `{about}`" if about else kind)
    return "; ".join(names)
