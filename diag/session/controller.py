"""One person working through one session: lines in, events recorded, the next prompt out."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from diag.logic.evaluate import evaluate
from diag.logic.figure import Held
from diag.model.quantity import Quantity
from diag.model.rulebook import Figure, Finding, How, Value
from diag.rulebook import parse_answer
from diag.session.commands import Line
from diag.session.events import (
    Answered,
    DangerCleared,
    Declined,
    Event,
    Noted,
    Passed,
    Repaired,
    Withdrawn,
)
from diag.session.next_prompt import due_judgement, next_prompt
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    RunAgain,
    StopWork,
)
from diag.session.state import SessionState

NONE_WORDS = ("none", "no", "n", "0")
CLEARED_WORDS = ("cleared", "safe", "clear")
DONE_WORDS = ("done", "yes", "y")
DECLINE_WORDS = ("other", "no", "n")


class NotUnderstood(ValueError):
    """The line is no answer to what was asked; the sentence says what would be."""


class Doubtful(NotUnderstood):
    """The answer looks like a usual slip; the same answer again is taken as meant."""


class _OneAnswer:
    """A view of a single answer, for the slips of its finding."""

    def __init__(self, finding: str, answer: Value) -> None:
        self._finding = finding
        self._held: Held = answer if isinstance(answer, Quantity) else frozenset({answer})

    def value(self, name: str) -> Held | None:
        return self._held if name == self._finding else None

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset({name})

    def figure(self, name: str) -> Figure | None:
        return None


class SessionController:
    """Drive a state by typed lines; every accepted event goes to `record` before it counts."""

    def __init__(
        self,
        state: SessionState,
        record: Callable[[Event], None],
        now: Callable[[], str],
        deadline: Callable[[], Callable[[], bool]] | None = None,
    ) -> None:
        self.state = state
        self._record = record
        self._now = now
        self._deadline = deadline
        self._doubted: tuple[str, Value] | None = None
        self._prompt: Prompt | None = None

    @property
    def prompt(self) -> Prompt:
        """Return what is put to the user now."""
        if self._prompt is None:
            limit = self._deadline() if self._deadline else None
            self._prompt = next_prompt(self.state, limit)
        return self._prompt

    def take(self, event: Event) -> None:
        """Record an event, let it count, and judge a proof that it completes."""
        self._record(event)
        self.state.apply(event)
        self._prompt = None
        due = due_judgement(self.state)
        if due is not None:
            self.take(due)

    def answer(self, line: Line) -> None:
        """Take a line as the answer to the prompt.

        Raises `NotUnderstood`, `Doubtful`, or a `ValueError` of the reading itself, each with
        one sentence; nothing is recorded then.
        """
        prompt = self.prompt
        if isinstance(prompt, AskFinding):
            check = prompt.check.id if prompt.check else ""
            self._take_answer(prompt.finding, line, check, prompt.again is not None)
        elif isinstance(prompt, AskTogether):
            self._take_together(prompt, line)
        elif isinstance(prompt, StopWork):
            if line.text.lower() not in CLEARED_WORDS:
                raise NotUnderstood(
                    "type `cleared` once the danger is dealt with, or `leave` to save and stop"
                )
            self.take(DangerCleared(prompt.danger.id))
        elif isinstance(prompt, ProposeRepair | RunAgain):
            self._take_repair(prompt, line)

    def _take_answer(self, finding: Finding, line: Line, check: str, again: bool = False) -> None:
        value = parse_answer(line.text, finding)
        how = cast(How, line.how) if line.how else finding.how
        if self._doubted != (finding.id, value):
            for slip in finding.slips:
                if evaluate(slip.when, _OneAnswer(finding.id, value)).truth:
                    self._doubted = (finding.id, value)
                    link = " Type" if slip.say.endswith("?") else "; type"
                    raise Doubtful(f"{slip.say}{link} it again if it is so")
        self._doubted = None
        self.take(Answered(finding.id, value, how, self._now(), check, again))

    def _take_together(self, prompt: AskTogether, line: Line) -> None:
        present = self._named(prompt, line)
        for finding in sorted(prompt.findings, key=lambda one: one.id not in present):
            value = "yes" if finding.id in present else "no"
            how = cast(How, line.how) if line.how else finding.how
            self.take(Answered(finding.id, value, how, self._now(), prompt.check.id))

    def _named(self, prompt: AskTogether, line: Line) -> set[str]:
        text = line.text.lower()
        if text in NONE_WORDS:
            return set()
        ids = [finding.id for finding in prompt.findings]
        present = set()
        for part in (piece.strip() for piece in text.replace(";", ",").split(",")):
            if part.isdigit() and 1 <= int(part) <= len(ids):
                present.add(ids[int(part) - 1])
            elif part in ids:
                present.add(part)
            else:
                raise NotUnderstood(
                    f"`{part[:40]}` is not on the list; type `none`, or the numbers of those "
                    f"that are so, 1 to {len(ids)}, with commas between"
                )
        return present

    def _take_repair(self, prompt: ProposeRepair | RunAgain, line: Line) -> None:
        text = line.text.lower()
        if text in DONE_WORDS:
            self.take(Repaired(prompt.cause.id))
        elif text in DECLINE_WORDS:
            self.take(Declined(prompt.cause.id))
        else:
            raise NotUnderstood(
                "type `done` when the repair is made, `other` to look for something else, or "
                "`leave` to save and stop"
            )

    def change(self, text: str) -> str:
        """Correct or volunteer an answer, written `FINDING = ANSWER`; return the finding's id."""
        name, mark, answer = text.partition("=")
        findings = self.state.rulebook.findings
        wanted = " ".join(name.split()).lower()
        if not mark or not answer.strip():
            raise NotUnderstood("write it as: change FINDING = ANSWER")
        if wanted not in findings:
            from difflib import get_close_matches

            near = get_close_matches(wanted, findings, n=3)
            hint = f"; near it are {', '.join(f'`{one}`' for one in near)}" if near else ""
            raise NotUnderstood(f"there is no finding `{wanted[:40]}`{hint}")
        self._take_answer(findings[wanted], Line(answer.strip()), "")
        return wanted

    def volunteer(self, finding: Finding, value: Value) -> None:
        """Take an answer that nobody asked for and that the user has confirmed."""
        self.take(Answered(finding.id, value, finding.how, self._now()))

    def back(self) -> str:
        """Take the latest answer back; return its finding, empty when there is none."""
        if not self.state.readings:
            return ""
        finding = list(self.state.readings)[-1]
        self.take(Withdrawn(finding))
        return finding

    def pass_over(self, reason: str) -> None:
        """Pass over what is asked now; of a joint question all findings."""
        prompt = self.prompt
        if isinstance(prompt, AskFinding):
            self.take(Passed(prompt.finding.id, reason))
        elif isinstance(prompt, AskTogether):
            for finding in prompt.findings:
                self.take(Passed(finding.id, reason))
        else:
            raise NotUnderstood("there is no question to pass over here")

    def note(self, text: str) -> None:
        """Keep a remark."""
        if not text:
            raise NotUnderstood("write the remark behind it: note TEXT")
        self.take(Noted(text, self._now()))

    @property
    def ended(self) -> bool:
        """Return whether the session has come to its end."""
        return isinstance(self.prompt, Closing)
