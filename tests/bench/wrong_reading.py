"""How often one wrong reading is found in whole sessions on the shipped rulebook.

Run by hand: `python -m tests.bench.wrong_reading [units]`. A unit is drawn with one cause, by its
share, and the whole session run: that is the clean one. Then the same unit comes again, and one of
the readings that told something in the clean session, drawn at random, is read wrong: it shows
another value that a worked case holds and that decides a sign otherwise. Sessions are run to their
end, past one failed repair: a reading that points straight at a cause shows to be wrong only when
that has been mended and the proof fails. Found is what the case command would call found: the wrong
reading is among those that the session asks to take again. A clean session is accused when it asks
that of any reading. `Could be told` are those where the wrong sign is at least twice as likely a
slip to someone who knows the cause; in the row below, to someone who knows the cause but not that
it is the only one, as a second fault may show what a slip seems to be. Units whose readings cannot
be true together are drawn anew: there are none such.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from dataclasses import dataclass, field

from diag.authoring.case_runner import CaseRun, run_case
from diag.model.rulebook import Value
from diag.session.state import SessionState
from tests.bench.drawn import DrawnUnit, Stock, draw_case, newly_decided

SEED = 20260303
DESPITE = 2.0


@dataclass
class Misread(DrawnUnit):
    """A unit one of whose readings is taken wrong; remembers what told something."""

    wrong: str = ""
    told: list[str] = field(default_factory=list)
    odds: float = 0.0
    """Odds of a slip for someone who knows the cause."""
    odds_beside: float = 0.0
    """The same for someone who knows the cause, but not that it is the only one."""
    broken: bool = False

    def answer(self, state: SessionState, finding: str, check: str) -> Value | None:
        """Return what the unit shows, or for the wrong reading something else."""
        value = super().answer(state, finding, check)
        odd = state.chain.impossible or state.chain.contradictions
        self.broken = self.broken or bool(odd)
        if value is None:
            return None
        if newly_decided(state, {finding: value}) and not _safety(state, finding):
            self.told.append(finding)
        return self._misread(state, finding, value) if finding == self.wrong else value

    def _misread(self, state: SessionState, finding: str, value: Value) -> Value:
        meant = newly_decided(state, {finding: value})
        others = [
            other
            for other in self.stock.values[finding]
            if newly_decided(state, {finding: other}) not in ({}, meant)
        ]
        if not others:
            return value
        other = self.chance.choice(others)
        for sign, shown in newly_decided(state, {finding: other}).items():
            if len(shown) == 1 and shown != meant.get(sign):
                odds, beside = self._told_odds(state, finding, sign, *shown)
                self.odds = max(self.odds, odds)
                self.odds_beside = max(self.odds_beside, beside)
        return other

    def _told_odds(
        self, state: SessionState, finding: str, sign: str, shown: str
    ) -> tuple[float, float]:
        links = self.stock.links
        table = links.table(sign)
        place = table.states.index(shown)
        trust = state.rulebook.scales.reliability[state.rulebook.findings[finding].how]
        slip = (1 - trust) / trust / len(table.states)
        causes = [links.cause_index[one] for one in self.case.truth]
        alone = table.chances(causes)[place]
        more = sum(
            links.odds[other] * (table.chances([*causes, other])[place] - alone)
            for other in table.given
            if other not in causes
        )
        return slip / max(alone, 1e-9), slip / max(alone + more, 1e-9)


def _safety(state: SessionState, finding: str) -> bool:
    return finding in state.rulebook.asked_first | state.raising


def session(stock: Stock, number: int, wrong: str = "") -> tuple[CaseRun, Misread]:
    """Run the session of one drawn unit; the same number draws the same unit."""
    chance = random.Random(SEED + number)
    causes = [cause for cause in stock.rulebook.causes.values() if cause.complaints]
    cause = chance.choices(causes, [one.odds for one in causes])[0]
    complaint = chance.choices(list(cause.complaints), list(cause.complaints.values()))[0]
    case = draw_case(stock, chance, (cause.id,), complaint)
    unit = Misread(stock, case, chance, wrong=wrong)
    return run_case(stock.rulebook, case, unit, in_vain=1), unit


def main(units: int, talk: bool = False) -> None:
    """Print how many wrong readings are found, and how many clean sessions are accused."""
    stock, counts = Stock.open(), Counter[str]()
    number = 0
    while counts["clean"] < units:
        number += 1
        clean, unit = session(stock, number)
        if unit.broken or not unit.told:
            continue
        counts["clean"] += 1
        counts["accused"] += bool(clean.suspects)
        if clean.suspects and talk:
            print(f"{number:4} accused: {clean.case.truth[0]}: {', '.join(clean.suspects)}")
        wrong = random.Random(number).choice(unit.told)
        run, misread = session(stock, number, wrong)
        if not misread.odds:
            continue
        found = wrong in run.suspects
        counts["wrong"] += 1
        counts["found"] += found
        counts["could be told"] += misread.odds >= DESPITE
        counts["told and found"] += found and misread.odds >= DESPITE
        counts["told beside"] += misread.odds_beside >= DESPITE
        counts["told beside and found"] += found and misread.odds_beside >= DESPITE
        counts["still first"] += run.proposed[:1] == run.case.truth
        if talk and not found:
            print(
                f"{number:4} missed: {run.case.truth[0]}: {wrong} (odds {misread.odds:.1f}); "
                f"proposed {', '.join(run.proposed) or '-'}; suspected {run.suspects}"
            )
    print(f"{units} units, seed {SEED}")
    _print("clean sessions accused", counts["accused"], counts["clean"])
    _print("wrong readings found", counts["found"], counts["wrong"])
    _print("found where it could be told", counts["told and found"], counts["could be told"])
    _print(
        "the same, a second fault allowed for",
        counts["told beside and found"],
        counts["told beside"],
    )
    _print("the cause still proposed first", counts["still first"], counts["wrong"])


def _print(name: str, part: int, whole: int) -> None:
    print(f"{name:38}{100 * part / max(1, whole):6.1f} of 100 ({whole})")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100, "-v" in sys.argv)
