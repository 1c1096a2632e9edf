"""Sessions on drawn units with a danger in them: is a forbidden act offered, and how do they end?

Run by hand: `python -m tests.bench.dangers [sessions [seed]]`, with `-v` to see those handed over.
A cause is drawn among those that bring a danger, by their shares, and a unit with that cause which
shows what raises it. Every repair that is proposed is made; once the cause is mended, the unit
reads as a sound one does, and so does what only a look after the repair shows. Told
are the forbidden acts offered (there are to be none) and, of the dangers whose cause can be read
without an act that they forbid, how many ended repaired and released (80 of 100 are wanted).
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache

from diag.logic.rests_on import resting_on
from diag.model.case import Case
from diag.model.expression import names_in
from diag.model.rulebook import Cause, Danger, Value
from diag.session.journal.events import (
    Answered,
    Declined,
    Event,
    Heeded,
    Passed,
    Repaired,
    Together,
)
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork, acts_of
from diag.session.state import SessionState
from tests.bench.drawn import DrawnUnit, Stock, draw_case
from tests.dangers.shipped import begin, book, compiled, sound

SEED = 20260303
MOST_STEPS, MOST_IN_VAIN, MOST_DRAWN = 250, 3, 400
LIKELY = 0.5
"""A cause that shows a state at least so often can be read by it."""

SECOND_LOOKS: dict[str, tuple[str, str]] = {
    "everybody safe outside": ("yes", "yes"),
    "wiped joints": ("wet", "dry"),
    "charred part": ("there", "replaced"),
    "joint in a watched start": ("hot", "cool"),
    "damaged battery": ("there", "gone"),
    "battery warmed": ("warm", "warm"),
    "tank refilled clean": ("no", "yes"),
    "fuse against the cable": ("fits", "fits"),
    "stays off": ("no", "yes"),
    "pooled fuel": ("pooled", "none"),
}
"""Finding to its reading before and after the cause is mended."""


@dataclass(frozen=True)
class Brings:
    """A cause that shows the state of a finding by which a danger comes up."""

    cause: Cause
    danger: Danger
    finding: str
    state: str


@cache
def brought() -> tuple[Brings, ...]:
    """Return every way in which a cause brings a danger."""
    return tuple(
        Brings(cause, danger, finding, state)
        for danger in book().dangers.values()
        for finding in names_in(danger.raised_when)
        for cause in book().causes.values()
        if cause.complaints
        for state in cause.shows.get(finding, {})
        if _raises(danger, finding, state)
    )


def _raises(danger: Danger, finding: str, state: str) -> bool:
    """Tell whether one state of a finding raises a danger by itself."""
    trial = begin("small 12 V", "")
    trial.apply(Answered(finding, state, "seen"))
    return danger.id in trial.dangers.held


def readable(one: Brings) -> bool:
    """Tell whether a check that the danger allows shows something that the cause likely brings."""
    free = {
        finding
        for check in book().checks.values()
        if not check.held_back and not set(one.danger.forbids) & set(check.acts)
        for finding in check.yields
    }
    return any(
        max(states.values()) >= LIKELY and _under(sign) <= free
        for sign, states in one.cause.shows.items()
    )


def _under(sign: str) -> set[str]:
    below = compiled("small 12 V").below
    return set(resting_on([sign], below.get)) & set(book().findings)


@dataclass
class Session:
    """One session on a drawn unit, followed to its end."""

    unit: DrawnUnit
    state: SessionState
    offered: list[str] = field(default_factory=list)
    """Forbidden acts that were offered."""
    vain: int = 0
    seen: dict[tuple[str, frozenset[str]], Value | None] = field(default_factory=dict)

    def run(self) -> Closing | None:
        """Follow every prompt; None where it comes to no end."""
        for _ in range(MOST_STEPS):
            prompt = next_prompt(self.state)
            if isinstance(prompt, Closing):
                return prompt
            if not isinstance(prompt, StopWork):
                self.offered += sorted(acts_of(prompt) & self.state.dangers.forbidden)
            self.state.apply(self._does(prompt))
        return None

    def _does(self, prompt: Prompt) -> Event:
        if isinstance(prompt, StopWork):
            return Heeded(prompt.danger.id)
        if isinstance(prompt, AskTogether):
            check = prompt.check.id
            return Together(tuple(self._said(one.id, check) for one in prompt.findings))
        if isinstance(prompt, AskFinding):
            check = prompt.check.id if prompt.check else ""
            return self._said(prompt.finding.id, check, bool(prompt.again) or prompt.fails)
        assert not isinstance(prompt, Closing)
        self.vain += prompt.cause.id not in self.unit.case.truth
        if self.vain > MOST_IN_VAIN:
            return Declined(prompt.cause.id)
        return Repaired(prompt.cause.id)

    def _said(self, finding: str, check: str, again: bool = False) -> Event:
        before = self.state.readings.get(finding)
        if again and before is not None and before.stage == self.state.stage:
            return Answered(finding, before.value, before.how, check=check, again=True)
        value = self._shows(finding, check)
        if value is None:
            return Passed(finding, "cannot")
        return Answered(finding, value, book().findings[finding].how, check=check, again=again)

    def _shows(self, finding: str, check: str) -> Value | None:
        made = {*(repair.cause for repair in self.state.repairs), self.state.in_proof}
        mended = set(self.unit.case.truth) <= made
        if finding in SECOND_LOOKS:
            return SECOND_LOOKS[finding][mended]
        if mended and not book().findings[finding].fixed:
            return sound(self.unit.case.unit).get(finding)
        # A unit does not change by itself: what was read once reads the same until a repair.
        key = (finding, frozenset(made))
        if key not in self.seen:
            self.seen[key] = self.unit.answer(self.state, finding, check)
        return self.seen[key]


def drawn(stock: Stock, chance: random.Random) -> tuple[Brings, Session]:
    """Draw a unit with a danger in it; many are drawn until one shows what raises it."""
    ways = brought()
    for _ in range(MOST_DRAWN):
        one = chance.choices(ways, [way.cause.odds for way in ways])[0]
        complaints = one.cause.complaints
        complaint = chance.choices(list(complaints), list(complaints.values()))[0]
        case: Case = draw_case(stock, chance, (one.cause.id,), complaint)
        unit = DrawnUnit(stock, case, chance)
        if unit.sign(one.finding, ()) == one.state:
            return one, Session(unit, begin(case.unit, complaint))
    raise AssertionError("no unit shows a danger")


def main(sessions: int, seed: int, talk: bool) -> None:
    """Print what was offered, and how the sessions ended."""
    stock, chance, total = Stock.open(), random.Random(seed), Counter[str]()
    for _ in range(sessions):
        one, session = drawn(stock, chance)
        closing = session.run()
        state = session.state
        raised = {passage.danger for passage in state.dangers.passages if passage.what == "raised"}
        total["with a danger"] += bool(raised)
        total["forbidden acts offered"] += len(session.offered)
        if session.offered:
            print(f"{session.unit.case.unit}, {one.cause.id}: {session.offered}", flush=True)
        if one.danger.id not in raised or not readable(one):
            total["never came up" if one.danger.id not in raised else "not readable"] += 1
            continue
        kind = closing.ending.kind if closing else "no end"
        made = {result.cause for result in closing.ending.results} if closing else set[str]()
        good = one.cause.id in made and one.danger.id not in state.dangers.held
        total["readable"] += 1
        total["repaired and released"] += good
        total[f"readable: {kind}"] += 1
        if talk and not good:
            print("\n".join(_told(one, session, kind, made)))
    share = total["repaired and released"] / max(1, total["readable"])
    print(f"{sessions} sessions, {share:.1%} of the readable repaired and released; {dict(total)}")


def _told(one: Brings, session: Session, kind: str, made: set[str]) -> Iterator[str]:
    case, held = session.unit.case, sorted(session.state.dangers.held)
    yield f"{case.unit}, {case.complaint}: {one.cause.id} by {one.finding} is {one.state}: {kind}"
    yield f"  made {sorted(made)}, held {held}"


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "-v"]
    numbers = [int(word) for word in words]
    main(numbers[0] if numbers else 100, numbers[1] if numbers[1:] else SEED, "-v" in sys.argv)
