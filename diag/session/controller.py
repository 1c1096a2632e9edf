"""One person working through one session: lines in, events recorded, the next prompt out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import cast

from diag.model.rulebook import Check, Finding, How, Value
from diag.rulebook import parse_answer
from diag.session.commands import Line
from diag.session.journal.effective import latest_act
from diag.session.journal.events import (
    Answered,
    Chosen,
    Complained,
    Corrected,
    Declined,
    Event,
    Heeded,
    Noted,
    Repaired,
    Together,
    Undone,
)
from diag.session.next_prompt import next_prompt
from diag.session.offer.reach import AtHand
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    RunAgain,
    StopWork,
)
from diag.session.slips import (
    Doubtful,
    NotUnderstood,
    TakesDangerBack,
    raises_danger,
    unlisted,
    usual_slip,
)
from diag.session.state import SessionState
from diag.session.steering.choosing import check_named, why_not_now
from diag.session.steering.lists import places_of
from diag.session.steering.passing import check_passed, question_passed

HEEDED_WORDS = ("done",)
"""What says that all that a stop asks for is done: `y` or `ok` may be typed by habit."""
DONE_WORDS = ("done", "yes", "y")
DECLINE_WORDS = ("other", "no", "n")


class SessionController:
    """Drive a state by typed lines; every accepted event goes to `record` before it counts."""

    def __init__(
        self,
        state: SessionState,
        record: Callable[[Event], None],
        now: Callable[[], str],
    ) -> None:
        self.state = state
        self._record = record
        self._now = now
        self._doubted: tuple[str, Value] | None = None
        self._prompt: Prompt | None = None

    @property
    def prompt(self) -> Prompt:
        """Return what is put to the user now."""
        if self._prompt is None:
            self._prompt = next_prompt(self.state)
        return self._prompt

    @property
    def ended(self) -> bool:
        """Return whether the session has come to its end."""
        return isinstance(self.prompt, Closing)

    def record(self, event: Event) -> None:
        """Record an act, and let it count."""
        self._record(event)
        self.state.apply(event)
        self._prompt = None

    def answer(self, line: Line) -> None:
        """Take a line as the answer to the prompt.

        Raises `NotUnderstood`, `Doubtful`, or a `ValueError` of the reading itself, each with
        one sentence; nothing is recorded then.
        """
        prompt = self.prompt
        if isinstance(prompt, AskFinding | AskTogether):
            self.fill_in(prompt, line)
        elif isinstance(prompt, StopWork):
            self._accept_stop(prompt, line)
        elif isinstance(prompt, ProposeRepair | RunAgain):
            self._accept_repair(prompt, line)
        else:
            raise NotUnderstood(
                "this session has come to its end; `change FINDING = ANSWER` adds a reading, "
                "`undo` takes the last act back, `leave` stops here"
            )

    def fill_in(self, asked: AskFinding | AskTogether, line: Line) -> None:
        """Take the answer to a question whether or not it is the prompt's; raises as `answer`."""
        if isinstance(asked, AskFinding):
            self._accept_reading(asked, line)
        else:
            self._accept_together(asked, line)

    def _accept_reading(self, prompt: AskFinding, line: Line) -> None:
        finding, check = prompt.finding, prompt.check.id if prompt.check else ""
        value, again = self._read(finding, line), prompt.again is not None or prompt.fails
        how, when = _how(self.state.reach, finding, line), self._now()
        self.record(Answered(finding.id, value, how, when, check, again))

    def _read(self, finding: Finding, line: Line) -> Value:
        """Read an answer, and doubt it once where it looks like a usual slip.

        What raises a danger is never doubted.
        """
        value = parse_answer(line.text, finding, self.state.unit.codes)
        doubtful = not raises_danger(finding, value, self.state)
        if doubtful and self._doubted != (finding.id, value):
            slip = usual_slip(finding, value, self.state)
            say = slip.say if slip else unlisted(finding, value, self.state)
            if say:
                self._doubted = (finding.id, value)
                link = " Type" if say.endswith("?") else "; type"
                raise Doubtful(f"{say}{link} it again if it is so")
        self._doubted = None
        return value

    def _accept_together(self, prompt: AskTogether, line: Line) -> None:
        present, when, check = self._named(prompt, line), self._now(), prompt.check.id
        answers = [
            Answered(
                finding.id,
                "yes" if finding.id in present else "no",
                _how(self.state.reach, finding, line),
                when,
                check,
            )
            for finding in sorted(prompt.findings, key=lambda one: one.id not in present)
        ]
        self.record(Together(tuple(answers)))

    def _named(self, prompt: AskTogether, line: Line) -> set[str]:
        names = [(finding.id, *finding.words) for finding in prompt.findings]
        return {prompt.findings[at].id for at in places_of(line.text, names)}

    def _accept_stop(self, prompt: StopWork, line: Line) -> None:
        if line.text.lower() not in HEEDED_WORDS:
            raise NotUnderstood(
                "type `done` once that is done, or `leave` to save and stop; only readings "
                f"release it: {prompt.danger.resume_when}"
            )
        self.record(Heeded(prompt.danger.id))

    def _accept_repair(self, prompt: ProposeRepair | RunAgain, line: Line) -> None:
        text = line.text.lower()
        if text in DONE_WORDS:
            self.record(Repaired(prompt.cause.id))
        elif text in DECLINE_WORDS:
            self.record(Declined(prompt.cause.id))
        else:
            raise NotUnderstood(
                "type `done` when the repair is made, `other` to look for something else, or "
                "`leave` to save and stop"
            )

    def change(self, text: str) -> str:
        """Correct an answer, or give one that was not asked, written `FINDING = ANSWER`.

        Returns the finding's id. What was read before the last repair is not corrected by a
        reading after it: that is a new reading. Raises `TakesDangerBack` where it needs a word.
        """
        name, mark, answer = text.partition("=")
        findings = self.state.rulebook.findings
        wanted = " ".join(name.split()).lower()
        if not mark or not answer.strip():
            raise NotUnderstood("write it as: change FINDING = ANSWER")
        if wanted not in findings:
            from difflib import get_close_matches

            near = get_close_matches(wanted[:60], findings, n=3)
            hint = f"; near it are {', '.join(f'`{one}`' for one in near)}" if near else ""
            raise NotUnderstood(f"there is no finding `{wanted[:40]}`{hint}")
        finding, line = findings[wanted], Line(answer.strip())
        value, how = self._read(finding, line), _how(self.state.reach, finding, line)
        before = self.state.readings.get(wanted)
        if before is None or before.stage < self.state.stage:
            self.record(Answered(wanted, value, how, self._now()))
        else:
            self._look_back(Corrected(wanted, value, how, self._now()))
        return wanted

    def complain(self, complaints: Sequence[str]) -> None:
        """Put other complaints in the place of those before; raises `NotUnderstood` for none."""
        if not complaints:
            raise NotUnderstood("name at least one complaint")
        for name in complaints:
            if name not in self.state.rulebook.complaints:
                raise NotUnderstood(f"there is no complaint `{name[:40]}`")
        self.record(Complained(tuple(dict.fromkeys(complaints)), self._now()))

    def undo(self) -> Event:
        """Take the latest act back, whatever it was; return it.

        Raises `NotUnderstood` where there is none, `TakesDangerBack` where it needs a word.
        """
        number = latest_act(self.state.journal)
        if number is None:
            raise NotUnderstood("there is nothing to take back")
        act = self.state.journal[number]
        self._look_back(Undone(number))
        return act

    def _look_back(self, event: Corrected | Undone) -> None:
        """Record an event that looks back, unless a danger would be gone by it."""
        now = self.state
        tried = SessionState(now.rulebook, now.unit, now.opened_with, now.compiled)
        tried.replay([*now.journal, event])
        lost = Counter(_raised(now)) - Counter(_raised(tried))
        if lost:
            raise TakesDangerBack(tuple(sorted(lost)), event)
        self.record(event)

    def confirm_slip(self, event: Corrected | Undone) -> None:
        """Record what takes a danger back: the user says that it was never so."""
        self.record(replace(event, slip=True))

    def read_anew(self, event: Corrected) -> None:
        """Record a correction as a reading of its own: what was read before was so then."""
        self.record(Answered(event.finding, event.value, event.how, event.when))

    def volunteer(self, finding: Finding, value: Value) -> None:
        """Take an answer told in other words, asked for or not, that the user has confirmed."""
        self.volunteer_together([(finding, value)])

    def volunteer_together(self, told: Sequence[tuple[Finding, Value]]) -> None:
        """Take such answers that were told in one line: they are one act, and go by one `undo`."""
        answers = tuple(self._told(finding, value) for finding, value in told)
        self.record(answers[0] if len(answers) == 1 else Together(answers))

    def _told(self, finding: Finding, value: Value) -> Answered:
        prompt, check, again = self.prompt, "", False
        if isinstance(prompt, AskFinding) and prompt.finding.id == finding.id:
            check = prompt.check.id if prompt.check else ""
            again = prompt.again is not None or prompt.fails
        return Answered(finding.id, value, self.state.reach.how(finding), self._now(), check, again)

    def pass_over(self, reason: str) -> None:
        """Pass over what is asked now; of a joint question all findings."""
        self.record(question_passed(self.prompt, reason))

    def skip_check(self) -> None:
        """Pass over all that is left of the check under way, as one act."""
        self.record(check_passed(self.state, self.prompt))

    def choose(self, said: str) -> Check:
        """Make a check the next one; raises `NotUnderstood` with the reason where it cannot be."""
        check = check_named(self.state, said)
        if why := why_not_now(self.state, check):
            raise NotUnderstood(why)
        self.record(Chosen(check.id))
        return check

    def take_down(self, readings: Sequence[tuple[Finding, Value]], remark: str) -> None:
        """Take readings made elsewhere, which the user has confirmed, and a remark, as one act."""
        told = (self._told(finding, value) for finding, value in readings)
        self.record(Together((*told, Noted(remark, self._now()))))

    def note(self, text: str) -> None:
        """Keep a remark."""
        if not text:
            raise NotUnderstood("write the remark behind it: note TEXT")
        self.record(Noted(text, self._now()))


def _how(reach: AtHand, finding: Finding, line: Line) -> How:
    return cast(How, line.how) if line.how else reach.how(finding)


def _raised(state: SessionState) -> list[str]:
    return [one.danger for one in state.dangers.passages if one.what == "raised"]
