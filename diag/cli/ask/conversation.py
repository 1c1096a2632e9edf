"""A session at the keyboard, or over a pipe: prompts out, lines in, until it ends or is left."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from diag.cli.account.news import News
from diag.cli.account.pictures import show_pictures
from diag.cli.account.where import show_inconsistency, show_page, show_rule_fault, show_suspects
from diag.cli.account.why_not import show_why_not
from diag.cli.ask.dangers import DangerEar, Leaves
from diag.cli.ask.here import show_change, show_tools
from diag.cli.ask.listener import Listener
from diag.cli.ask.table import take_table
from diag.cli.ask.views import show_help, show_why
from diag.cli.ask.words.ahead import show_coming
from diag.cli.ask.words.correcting import Corrector
from diag.cli.ask.words.job_words import JobWords
from diag.cli.guard import WrongUse
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.prompts import show_prompt
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.session.commands import Command, read_line
from diag.session.controller import SessionController
from diag.session.inconsistent import RuleFault, inconsistency_in, rule_faults
from diag.session.journal.events import CANNOT, Equipped
from diag.session.offer.words import change, told_at_hand
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork
from diag.session.proof.run import RepairResult
from diag.session.slips import Doubtful

if TYPE_CHECKING:  # imported once something is said, so that the first question comes at once
    from diag.cli.ask.opening import OpeningWords
    from diag.session.hearing import HeardFact

LEFT = "left"
WAYS_OUT = (
    "`help` shows how, Enter asks again; `unsure`, `cannot` or `skip check` goes on without it, "
    "`leave` saves and stops."
)
WAYS_ON = "`help` shows what can be typed here, Enter asks again; `leave` saves and stops."


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
        words: JobWords | None = None,
    ) -> None:
        """Begin with what was told before; `keep` takes what is said to be at hand, for later.

        `words` write down what is said of the job.
        """
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
        self._corrector = Corrector(controller, screen, source, self._dangers)
        self._listener = Listener(controller, screen, source, self._dangers)
        self._job_words = words or JobWords(screen)

    def take_down(self, facts: Sequence[HeardFact]) -> None:
        """Record what was heard and confirmed before the session began."""
        self._listener.record(facts)

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
        """Take one line that can be read; return whether the session goes on.

        Enter alone takes what is offered, though never that a stop was heeded.
        """
        by_enter = "" if isinstance(self._controller.prompt, StopWork) else offered
        return ask_until(
            lambda: self._source.read(offered),
            lambda line: self._take(line or by_enter),
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
        if not text:
            self._show_again()
            return True
        if self._dangers.take(text):
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
        elif read.word == "enter":
            word = take_table(self._controller, self._screen, self._source)
            return self._take(word) if word else True
        else:
            self._obey(read)
        return True

    def _refuse(self, error: ValueError | WrongUse) -> None:
        self._screen.say(sentence(str(error)))
        if not isinstance(error, Doubtful):
            self._help_on()

    def _help_on(self) -> None:
        """Name the ways out to whoever is refused a second time at the same question."""
        prompt = self._controller.prompt
        if prompt is self._refused:
            asks = isinstance(prompt, AskFinding | AskTogether)
            self._screen.say(WAYS_OUT if asks else WAYS_ON)
        self._refused = prompt

    def _obey(self, command: Command) -> None:
        controller, screen = self._controller, self._screen
        acts: dict[str, Callable[[], object]] = {
            "help": lambda: show_help(screen, controller.state, controller.prompt),
            "why": lambda: self._why(command.argument),
            "why-not": lambda: show_why_not(screen, controller.state, command.argument),
            "suspects": lambda: show_suspects(screen, controller.state),
            "where": lambda: show_page(screen, controller.state, command.argument),
            "picture": lambda: show_pictures(screen, controller.state, command.argument),
            "undo": self._corrector.undo,
            "change": lambda: self._corrector.change(command.argument),
            "again": self._show_again,
            "next": lambda: show_coming(screen, controller.state, int(command.argument or 1)),
            "do": lambda: self._do(command.argument),
            "use": lambda: self._use(command.argument),
            "skip check": self._skip_check,
            "say": lambda: self._listener.hear(command.argument),
            "danger": self._dangers.ask,
            "unsure": lambda: controller.pass_over("not sure"),
            "cannot": lambda: controller.pass_over(CANNOT),
            "tools": lambda: show_tools(screen, controller.state),
            **dict.fromkeys(("here", "with", "without"), lambda: self._at_hand(command)),
            **dict.fromkeys(("label", "part", "minutes"), lambda: self._job_words.obey(command)),
            "note": lambda: controller.note(command.argument),
        }
        acts[command.word]()
        if command.word == "note":
            screen.say("Noted.")

    def _show_again(self) -> None:
        self._shown = None

    def _do(self, said: str) -> None:
        try:
            check = self._controller.choose(said)
        except ValueError:
            if self._dangers.take(f"say {said}"):
                return
            raise
        if _check_of(self._controller.prompt) != check.id:
            self._screen.say(f"`{check.id}` comes as soon as what is asked here first is answered.")

    def _use(self, name: str) -> None:
        from diag.cli.ask.words.bench_sums import BenchSums

        BenchSums(self._controller, self._screen, self._source, self._dangers).use(name.lower())
        self._show_again()

    def _skip_check(self) -> None:
        name = _check_of(self._controller.prompt)
        self._controller.skip_check()
        self._screen.say(f"Passed over: `{name}`." if name else "Passed over.")

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


def _check_of(prompt: Prompt) -> str:
    """Return the check that a prompt belongs to; empty for none."""
    asked = isinstance(prompt, AskFinding | AskTogether) and prompt.check
    return asked.id if asked else ""


def _judged(result: RepairResult) -> str:
    """Say how a test run came out that did not prove the repair."""
    if result.holds and result.complaint == "failed":
        return "This repair holds, but the complaint goes on: something else is wrong as well."
    return "The test run failed. The repair is kept in the record."
