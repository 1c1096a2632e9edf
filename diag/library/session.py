"""A session for other programs: question, answer, standing, reasons, and events as JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from diag.library.explain import why
from diag.library.question import Question, question_of
from diag.library.standing import Standing, standing_of
from diag.model.rulebook import Rulebook, UnitData
from diag.session.account.judged import JudgedReading, judge_reading
from diag.session.account.reasons import Reasons, reasons
from diag.session.commands import Line, read_line
from diag.session.controller import SessionController
from diag.session.journal.effective import latest_act
from diag.session.journal.events import Event, as_record, from_record
from diag.session.slips import Doubtful, NotUnderstood, TakesDangerBack
from diag.session.state import SessionState

BEGUN = "begun"
"""The kind of the first entry, which holds what the session is about."""


class Session:
    """One session on one unit under test; its events are all that is needed to go on with it.

    A rulebook may be shared by many sessions; a session belongs to one thread at a time.
    """

    def __init__(self, rulebook: Rulebook, unit: str = "", complaint: str = "") -> None:
        """Begin a session on a unit of the rulebook, which may be left out where there is but one.

        `complaint` is its id, or what the owner says; empty where nobody complains. Raises
        `NotUnderstood`.
        """
        found = _unit(rulebook, unit)
        state = SessionState(rulebook, found, _complaint(rulebook, complaint))
        head = {"kind": BEGUN, "unit": found.id, "complaint": state.complaint}
        self._events: list[dict[str, Any]] = [{**head, "rulebook": rulebook.hash}]
        self._controller = SessionController(state, self._record, lambda: "")

    @classmethod
    def resume(cls, rulebook: Rulebook, events: Iterable[Mapping[str, Any]]) -> Session:
        """Go on with a session from its `events`, also on rules that have changed since.

        Entries that name what the rules no longer know stay among the events and are left out
        of account, as `left_out` tells. Raises `NotUnderstood` for what no session wrote.
        """
        entries = [dict(entry) for entry in events]
        if not entries or entries[0].get("kind") != BEGUN:
            raise NotUnderstood(f"the first entry of a session is `{BEGUN}`; pass all its events")
        head, *rest = entries
        session = cls(rulebook, str(head.get("unit", "")), str(head.get("complaint", "")))
        session._controller.state.replay(_event(entry) for entry in rest)
        session._events = entries
        return session

    @property
    def left_out(self) -> tuple[str, ...]:
        """Return a sentence for each entry that the rules, or this version, cannot take in."""
        return tuple(self._controller.state.left_out)

    def _record(self, event: Event) -> None:
        kind, payload = as_record(event)
        self._events.append({"kind": kind, **payload})

    @property
    def rulebook(self) -> Rulebook:
        """Return the rulebook that the session goes by."""
        return self._controller.state.rulebook

    @property
    def events(self) -> list[dict[str, Any]]:
        """Return all that happened so far, in order, as what `json.dumps` takes."""
        return [dict(entry) for entry in self._events]

    @property
    def question(self) -> Question:
        """Return what is asked now."""
        return question_of(self._controller.state, self._controller.prompt)

    @property
    def done(self) -> bool:
        """Return whether nothing more is asked."""
        return self._controller.ended

    @property
    def verdict(self) -> Standing:
        """Return what is believed now, or how it ended."""
        return standing_of(self._controller.state, self._controller.prompt)

    def answer(self, text: str, sure: bool = False) -> None:
        """Answer the question as at a keyboard: `no`, `12,7 V`, a choice or its number, `done`.

        `unsure` and `cannot` pass it over. An answer that looks like a usual slip is refused
        once; with `sure` it is taken as it is. Raises `NotUnderstood` with one sentence, and
        nothing has changed then.
        """
        line = read_line(text)
        with_reason = {"unsure": "not sure", "cannot": "cannot be done now"}
        if isinstance(line, Line):
            self._try(lambda: self._controller.answer(line), sure)
        elif line.word in with_reason:
            self._try(lambda: self._controller.pass_over(with_reason[line.word]))
        else:
            raise NotUnderstood(f"`{line.word}` is a command of the terminal, and no answer")

    def change(self, finding: str, text: str, sure: bool = False) -> None:
        """Correct an answer, or give one that was not asked for; raises as `answer` does."""
        self._try(lambda: self._controller.change(f"{finding} = {text}"), sure)

    def undo(self, sure: bool = False) -> bool:
        """Take the latest act back, whatever it was; return whether there was one.

        What would take a danger back is refused unless `sure`: only a slip does that.
        """
        if latest_act(self._controller.state.journal) is None:
            return False
        self._try(self._controller.undo, sure)
        return True

    def why(self, name: str = "") -> tuple[str, ...]:
        """Return the reasons, one line each, for a cause, finding or sign, or for the question.

        Raises `NotUnderstood` for a name that the rulebook does not know.
        """
        return why(self._controller.state, name) if name else (self.question.reason,)

    def reasons(self, cause: str) -> Reasons:
        """Return what speaks for and against a cause among all others, and what else it may be.

        Raises `NotUnderstood` for a cause that the rulebook does not know.
        """
        found = _same(cause, self.rulebook.causes)
        if found is None:
            raise NotUnderstood(
                f"there is no cause `{cause[:40]}`; {_near(cause, self.rulebook.causes)}"
            )
        return reasons(self._controller.state, found)

    def judgement(self, finding: str) -> JudgedReading | None:
        """Return a number that was read against what is good, and what it makes known.

        None for what was not read, or is no number.
        """
        return judge_reading(self._controller.state, finding)

    def _try(self, act: Callable[[], object], sure: bool = False) -> None:
        try:
            act()
        except TakesDangerBack as found:
            if not sure:
                raise
            self._controller.confirm_slip(found.event)
        except Doubtful:
            if not sure:
                raise
            act()
        except NotUnderstood:
            raise
        except ValueError as error:
            raise NotUnderstood(str(error)) from error


def _unit(rulebook: Rulebook, name: str) -> UnitData:
    units = rulebook.units
    if not name and len(units) <= 1:
        return next(iter(units.values()), UnitData("", "", {}))
    found = _same(name, units)
    if found is None:
        raise NotUnderstood(f"there is no unit `{name[:40]}`; {_near(name, units)}")
    return units[found]


def _complaint(rulebook: Rulebook, text: str) -> str:
    if not text.strip():
        return ""
    found = _same(text, rulebook.complaints) or _told(rulebook, text)
    if not found:
        raise NotUnderstood(
            f"there is no complaint `{text[:40]}`; {_near(text, rulebook.complaints)}"
        )
    return found


def _told(rulebook: Rulebook, text: str) -> str:
    """Return the one complaint that a text tells of; `verdict` says it back.

    Raises `NotUnderstood` where it may be one of several, or is guessed by the words alone.
    """
    from diag.session.hearing import hear  # a named complaint needs no phrases

    heard = hear(text, rulebook).of_complaints()
    names = [one.complaint for one in heard.facts]
    names += [one.complaint for among in heard.choices for one in among]
    if len(names) > 1 or heard.choices or any(one.guessed for one in heard.facts):
        listed = ", ".join(f"`{name}`" for name in names)
        what = "name one of them" if len(names) > 1 else "name it if so"
        raise NotUnderstood(f"`{text[:40]}` may be {listed}; {what}")
    return names[0] if names else ""


def _same(name: str, known: Iterable[str]) -> str | None:
    """Return the name that is the same but for capitals and blanks."""
    wanted = " ".join(name.lower().split())
    return next((one for one in known if one.lower() == wanted), None)


def _near(name: str, known: Iterable[str]) -> str:
    names = list(known)
    close = get_close_matches(name.lower(), names, n=3) or names[:3]
    return "known are " + ", ".join(f"`{one}`" for one in close) if close else "the rules name none"


def _event(entry: Mapping[str, Any]) -> Event:
    """Return one entry as the event it was made from, `LeftOut` where it is none."""
    payload = {key: value for key, value in entry.items() if key != "kind"}
    return from_record(str(entry.get("kind")), payload)
