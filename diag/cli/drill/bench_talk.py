"""A drill at the keyboard or from a pipe: a line in, what comes of it out."""

from __future__ import annotations

from collections.abc import Callable

from diag.cli.ask.views import show_how_to_take
from diag.cli.drill.setting import Setting
from diag.cli.terminal.progress import patience
from diag.cli.terminal.prompts import show_cautions, show_danger
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.model.phrasing import capital
from diag.practice.drill.deeds import Deed
from diag.practice.drill.drill import Drill
from diag.practice.drill.outcome import DeedOutcome
from diag.practice.drill.spoken import BenchEar, NotHeard
from diag.practice.drill.trade_words import READY, VERBS
from diag.session.result import shown

LEFT, CALLED, GIVEN_UP = "left", "called", "given up"
LEAVES = ("quit", "leave", "exit")
BACK = ("undo", "back")
OF_A_SESSION = ("why", "why not", "suspects", "belief", "skip", "unsure", "cannot", "done")
"""What `diag ask` is told at its prompts: here it would take the practice away."""
GETS_READY = {
    "cover off": "take the heater's cover off, for what lies under it",
    "on the bench": "take the heater out and lay it on the bench",
    "heater cold": "wait until nothing is hot; it takes a while, and no work",
    "power off": "pull the fuse: no current, and nothing starts by itself",
}
DOES = {
    "read": ("measure volts at rest", "read, look, ask: any reading or check by its name"),
    "shake": ("shake pump cable", "move it while the heater burns; `shake everything`"),
    "swap": ("swap glow plug", "put a new part in"),
    "repair": ("repair bad earth", "do the whole repair of a cause"),
    "call": ("call bad earth", "say what is wrong: that ends the drill"),
}


class BenchTalk:
    """Takes lines until the drill is left or over."""

    def __init__(
        self,
        of: Setting,
        drill: Drill,
        record: Callable[[Deed], None],
        screen: Screen,
        source: Source,
    ) -> None:
        self._drill, self._record = drill, record
        self._screen, self._source = screen, source
        self._ear = BenchEar(of.book, of.files)
        self._shown: set[str] = set()
        """Cautions that were shown already."""

    def run(self) -> str:
        """Talk until the end; return how it ended."""
        while True:
            line = self._source.read("")
            text = "" if line is None else " ".join(line.lower().split())
            if line is None or text in LEAVES:
                return LEFT
            if text == "new":
                return GIVEN_UP
            if not self._looked(text):
                self._do(line)
            if self._drill.ended:
                return CALLED

    def _looked(self, text: str) -> bool:
        """Answer a word that does nothing to the unit; return whether it was one."""
        word, _, rest = text.partition(" ")
        if word in ("help", "?", "how"):
            self._help(rest)
        elif text in BACK:
            self._screen.say("Time does not run back at the bench: what is done is done.")
        elif text in ("notes", "note"):
            self._notes()
        elif text in ("status", "where"):
            self._screen.say(self._drill.status())
        elif word in OF_A_SESSION:
            self._screen.say(
                f"`{word}` is for `diag ask`: here finding out is up to you. `hint` helps, and "
                "`notes` lists the readings."
            )
        else:
            return not text
        return True

    def _do(self, line: str) -> None:
        try:
            deed = self._ear.hear(line.strip()[:400])
        except NotHeard as error:
            self._screen.say(sentence(str(error)))
            return
        with patience("Doing it"):
            outcome = self._drill.do(deed)
        self._record(deed)
        show_outcome(self._screen, self._drill, outcome, self._shown)

    def _help(self, wanted: str) -> None:
        if wanted:
            self._help_on(wanted)
            return
        screen = self._screen
        screen.say("Type what you do. It is read back as it was heard.")
        screen.table([("start", "switch it on and watch one start"), *DOES.values()])
        screen.table([(words[0], GETS_READY[key]) for key, words in READY.items()])
        screen.table(
            [
                ("hint", "family, then check, meaning, answer: a mark each, the last all"),
                ("notes", "what was read so far"),
                ("help NAME", "how that reading or check is done"),
                ("new", "give this one up and begin another"),
                ("quit", "leave; `diag drill` goes on"),
            ]
        )
        verbs = ", ".join(VERBS["read"][1:6])
        screen.say(f"Several readings in one run: join them by `and`. For measure also: {verbs}.")

    def _help_on(self, wanted: str) -> None:
        try:
            deed = self._ear.hear(f"read {wanted}")
        except NotHeard as error:
            self._screen.say(sentence(str(error)))
            return
        book = self._drill.book
        for name in deed.names:
            bringing = [each for each in book.checks.values() if name in (each.id, *each.yields)]
            self._screen.say(capital(name) + ":", bold=True)
            for check in bringing[:2]:
                self._screen.say(check.do, indent=2)
                show_cautions(self._screen, book.cautions, check.cautions, self._shown)
            if name in book.findings:
                show_how_to_take(self._screen, self._drill.state, book.findings[name])

    def _notes(self) -> None:
        readings = self._drill.state.readings
        if not readings:
            self._screen.say("Nothing is read yet.")
            return
        self._screen.table((name, shown(each.value)) for name, each in readings.items())
        self._screen.say(self._drill.status())


def show_arrival(screen: Screen, name: str, drill: Drill) -> None:
    """Say what came in: the unit, what its owner says, and how to begin."""
    came = drill.arrival
    screen.heading(f"Drill {name}, level {drill.level.number}: {drill.level.title}")
    screen.say(f"{came.tag}, a {came.what} of an invented fleet, comes in with its {came.heater}.")
    screen.say(f"The owner says: {came.complaint}.", bold=True)
    for fact in came.facts:
        screen.say(fact, indent=2)
    screen.say(
        "Type what you do, as `look round for danger`, `start`, `measure volts at rest`, and in "
        "the end `call` and what is wrong. `help` shows more, `hint` helps, `quit` keeps it."
    )


def show_outcome(
    screen: Screen, drill: Drill, outcome: DeedOutcome, shown_before: set[str] | None = None
) -> None:
    """Say what was heard and what came of it, and where the bench stands."""
    cautions = drill.book.cautions
    shown_before = set() if shown_before is None else shown_before
    screen.say(f"{capital(outcome.heard)}:", bold=True)
    for said in outcome.said:
        screen.say(said, indent=2)
    stopped = outcome.stopped
    if stopped is not None and stopped.kind == "need":
        screen.say(f"Not done. {stopped.say}", indent=2)
    elif stopped is not None:
        screen.heading("STOP: not done, and it counts", alarm=True)
        screen.say(stopped.say, indent=2)
    elif outcome.cautions:
        show_cautions(screen, cautions, outcome.cautions, shown_before)
    for name in outcome.dangers:
        if name in shown_before:
            screen.say(f"DANGER, as before: {drill.book.dangers[name].title}.", bold=True)
        else:
            show_danger(screen, drill.book.dangers[name], "DANGER")
            shown_before.add(name)
    if not drill.ended:
        screen.say(drill.status())
