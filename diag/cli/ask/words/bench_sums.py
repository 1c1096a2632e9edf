"""`use battery`: a bench sum within a session, fed from it and taken back into it."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from diag.cli.ask.dangers import DangerEar, Leaves, is_so
from diag.cli.bench.asking import LeavesBench, Questions
from diag.cli.bench.kept.known import FINDINGS, FITTED, UNIT_DATA
from diag.cli.bench.kept.outcome import BenchOutcome
from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.model.amounts import NotAnAmount, amount
from diag.model.quantity import Quantity
from diag.model.rulebook import Finding, Value
from diag.rulebook import parse_answer
from diag.session.controller import SessionController
from diag.session.result import shown
from diag.session.state import SessionState


class BenchSums:
    """Opens bench sums in a session."""

    def __init__(
        self, controller: SessionController, screen: Screen, source: Source, dangers: DangerEar
    ) -> None:
        self._controller, self._screen, self._source = controller, screen, source
        self._dangers = dangers

    def use(self, name: str) -> None:
        """Work a bench sum with what is known; read back what is new and keep what it says.

        Raises `WrongUse` for a sum that there is not, and what the sum raises.
        """
        if name not in FINDINGS:
            said = f"there is no bench sum `{name[:40]}`" if name else "name the bench sum"
            raise WrongUse(f"{said}; known are {', '.join(FINDINGS)}")
        state = self._controller.state
        for one in state.dangers.held:
            danger = state.rulebook.dangers[one]
            self._screen.say(f"{danger.title} holds. Forbidden: {'; '.join(danger.forbids)}.")
        known = filled(name, state)
        for option, text in known.items():
            self._screen.item(option, f"{text}, as known here", width=16)
        run: Callable[..., int] = getattr(import_module(f"diag.cli.bench.{name}"), f"run_{name}")
        done: list[BenchOutcome] = []
        try:
            run(known, ask=Questions(self._ask, self._screen), take=done.append)
        except LeavesBench as left:
            self._screen.say("Back in the session; nothing was taken down.")
            if left.danger:
                self._dangers.ask()
        for outcome in done:
            self._take_back(outcome, known)

    def _ask(self, question: str) -> str:
        self._screen.say(question.rstrip(), bold=True)
        line = self._source.read("")
        if line is None:
            raise Leaves
        if not _is_amount(line) and self._dangers.take(line.strip()):
            raise LeavesBench
        return line

    def _refuse(self, message: str) -> None:
        self._screen.say(sentence(message))

    def _take_back(self, outcome: BenchOutcome, known: dict[str, str]) -> None:
        """Read back what was typed at the bench, and take it down with what the sum says."""
        readings = self._readings(outcome, known)
        if readings:
            self._screen.say("I take from the bench:", bold=True)
            for finding, value in readings:
                self._screen.say(f"{finding.ask} {shown(value)}", indent=2)
            readings = readings if is_so(self._screen, self._source) else self._one_by_one(readings)
        self._controller.take_down(readings, outcome.remark)
        taken = f" with {len(readings)} reading{'s' * (len(readings) > 1)}" if readings else ""
        self._screen.say(f"The sum is kept as a remark{taken}.")

    def _one_by_one(self, readings: list[tuple[Finding, Value]]) -> list[tuple[Finding, Value]]:
        found = []
        for finding, value in readings if len(readings) > 1 else ():
            self._screen.say(f"{finding.ask} {shown(value)}", indent=2)
            found += [(finding, value)] if is_so(self._screen, self._source) else []
        return found

    def _readings(
        self, outcome: BenchOutcome, known: dict[str, str]
    ) -> list[tuple[Finding, Value]]:
        found = list[tuple[Finding, Value]]()
        findings = self._controller.state.rulebook.findings
        for option, text in outcome.answers.items():
            name = FINDINGS[outcome.command].get(option, "")
            if option in known or name not in findings:
                continue
            try:
                plain = text.replace("±", "+-").partition("+-")[0]
                found.append((findings[name], parse_answer(plain.strip(), findings[name])))
            except ValueError as error:
                self._refuse(f"{error}; the session leaves it out")
        return found


def _is_amount(line: str) -> bool:
    """Return whether a line is a bare amount, as `12 ppm`: what a sum asks for tells no danger."""
    try:
        amount(line.strip())
    except NotAnAmount:
        return False
    return True


def filled(name: str, state: SessionState) -> dict[str, str]:
    """Return what a session knows of a bench sum's inputs, by option: readings, else unit data."""
    found: dict[str, Any] = {}
    for option, datum in UNIT_DATA[name].items():
        if datum not in FITTED & state.unit.assumed:
            found[option] = state.unit.data.get(datum)
    for option, finding in FINDINGS[name].items():
        reading = state.readings.get(finding)
        found[option] = reading.value if reading else found.get(option)
    return {
        option: shown(value)
        for option, value in found.items()
        if isinstance(value, Quantity) and not value.over_range
    }
