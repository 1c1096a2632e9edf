"""Readings taken at the bench: checks done for them, runs shared, and what is read told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from diag.model.expression import written
from diag.model.phrasing import in_a_row
from diag.model.rulebook import Check, Finding, Value
from diag.practice.drill.hindrances import Hindrance, Undertaking
from diag.practice.drill.outcome import DeedOutcome
from diag.practice.phases import how_it_ends, what_is_seen
from diag.practice.readings import taken_value
from diag.practice.wording import read_back
from diag.session.candidates import can_be_done, check_of
from diag.session.journal.events import Answered, Event, Passed, Together
from diag.workshop.seen import lit_at_the_end

if TYPE_CHECKING:  # a drill reads by this
    from diag.practice.drill.deeds import Deed
    from diag.practice.drill.drill import Drill

STARTS = ("a start", "a full run")
WATCHED = "lights up"
"""What is read by whoever watches a start from beginning to end."""
TOLD_BY_PHASES = frozenset(
    ("panel", "fan at start", "pump clicks", "lights up", "smoke at first", "flash count")
)
"""What such a start tells by its phases already."""


class BenchReader:
    """Reads what a deed asks for, run by run."""

    def __init__(self, drill: Drill) -> None:
        self._drill = drill

    def read(self, deed: Deed) -> DeedOutcome:
        """Do the checks that a deed names, or that bring the readings it names."""
        wanted = self._wanted(deed)
        is_check = set(deed.names) <= self._drill.book.checks.keys()
        outcome = DeedOutcome(("" if is_check else "read ") + in_a_row(deed.names))
        for _, group in groupby(wanted, key=lambda one: one[0].run or one[0].id):
            round_ = list(group)
            checks = [check for check, _ in round_]
            outcome.stopped = self._in_the_way(checks)
            if outcome.stopped is not None:
                return outcome
            self._begin(round_)
            for check, names in round_:
                outcome.said += self._told(check, names, whole=check.id in deed.names)
                outcome.cautions += tuple(c for c in check.cautions if c not in outcome.cautions)
            outcome.said += self._end_of_run(checks)
        if not outcome.said:
            outcome.said.append("Nothing can be read there now.")
        return outcome

    def _wanted(self, deed: Deed) -> list[tuple[Check, tuple[str, ...]]]:
        """Return each check to be done with what is to be read of it; runs that are shared meet."""
        book, found = self._drill.book, dict[str, list[str]]()
        for name in deed.names:
            if name in book.checks:
                found.setdefault(name, []).extend(book.checks[name].yields)
            elif (check := self._check_for(name, found)) is not None:
                found.setdefault(check.id, []).append(name)
        order = {name: at for at, name in enumerate(found)}
        runs = {book.checks[name].run or name: at for name, at in reversed(order.items())}
        names = sorted(found, key=lambda name: (runs[book.checks[name].run or name], order[name]))
        return [(book.checks[name], tuple(dict.fromkeys(found[name]))) for name in names]

    def _check_for(self, finding: str, chosen: dict[str, list[str]]) -> Check | None:
        """Return the check that brings a reading: one of this deed, then of its runs, then the
        one that a session would take."""
        checks = self._drill.book.checks
        able = [each for each in checks.values() if finding in each.yields and not each.held_back]
        runs = {checks[name].run for name in chosen} - {""}
        for each in (*(c for c in able if c.id in chosen), *(c for c in able if c.run in runs)):
            return each
        return check_of(self._drill.state, finding)

    def _in_the_way(self, checks: Sequence[Check]) -> Hindrance | None:
        for check in checks:
            found = self._drill.in_the_way(Undertaking.of(check))
            if found is None and not can_be_done(self._drill.state, check):
                found = Hindrance("need", check.id, _wanted_first(check), {})
            if found is not None:
                return found
        return None

    def _begin(self, round_: Sequence[tuple[Check, tuple[str, ...]]]) -> None:
        self._drill.begin(*(check for check, _ in round_))
        self._drill.unit.visit.begin([name for _, names in round_ for name in names])

    def _told(self, check: Check, names: Sequence[str], *, whole: bool) -> Iterator[str]:
        """Read findings of a check and tell each; those of one joint question in one sentence."""
        if whole and WATCHED in names:
            yield from what_is_seen(self._drill.unit.visit.seen(STARTS[0]))
        together = bool(check.together) and whole and len(names) > 1
        answers, sound = list[Event](), list[str]()
        for name in names:
            finding = self._drill.book.findings[name]
            if whole and finding.asked_when is not None and self._makes_no_sense(finding):
                continue
            value = taken_value(self._drill.book, self._drill.unit, name)
            answers.append(self._event(finding, check, value))
            if not together:
                self._drill.apply(answers[-1])
            if whole and name in TOLD_BY_PHASES and WATCHED in names:
                continue
            if value is None:
                yield from () if whole else (self._why_nothing(finding),)
            elif together and value == finding.states[0]:
                sound.append(name)
            else:
                yield read_back(finding, value)
        if sound:
            none = "None of them" if len(sound) == len(names) else "None of the others"
            yield f"{check.together} {none}: {in_a_row(sound, 'or')}."
        if together:
            self._drill.apply(Together(tuple(answers)))

    def _makes_no_sense(self, finding: Finding) -> bool:
        assert finding.asked_when is not None
        return self._drill.state.chain.truth(finding.asked_when) is False

    def _event(self, finding: Finding, check: Check, value: Value | None) -> Event:
        if value is None:
            return Passed(finding.id, "it cannot be read", check.id)
        readings = self._drill.state.readings
        stage = self._drill.state.stage
        again = finding.id in readings and readings[finding.id].stage == stage
        return Answered(finding.id, value, finding.how, check=check.id, again=again)

    def _why_nothing(self, finding: Finding) -> str:
        told = self._drill.unit.files.findings.get(finding.id)
        during = told.during if told is not None else ""
        if "start" in during or "run" in during or "switch" in during:
            seen = self._drill.unit.visit.seen(during)
            if lit_at_the_end(seen) < 0.5:
                return f"{finding.id}: the run is over before it can be read."
        return f"{finding.id}: the meter shows nothing that can be believed. Take it once more."

    def _end_of_run(self, checks: Sequence[Check]) -> Iterator[str]:
        """Tell how it stands after a run that was not watched from its start."""
        visit, findings = self._drill.unit.visit, self._drill.unit.files.findings
        names = [name for check in checks for name in check.yields if name in findings]
        ran = {findings[name].during for name in names} & set(STARTS)
        if ran and not any(WATCHED in check.yields for check in checks):
            yield how_it_ends(visit.seen("a full run" if "a full run" in ran else STARTS[0]))


def _wanted_first(check: Check) -> str:
    if check.possible_when is None:
        return "That cannot be done as things stand."
    return f"That can be done only where `{written(check.possible_when)}`, and here it is not so."
