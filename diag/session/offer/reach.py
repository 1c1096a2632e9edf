"""What is within reach of whoever works on the unit, and what waits for a tool or a place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from diag.model.rulebook import Check, Finding, How, Repair, Rulebook
from diag.model.work import Workplace
from diag.session.journal.events import CANNOT, Equipped


class AtHand:
    """Who works where and with what, as was said last; while nothing was, all is at hand."""

    def __init__(self, rulebook: Rulebook, event: Equipped | None = None) -> None:
        self._rulebook = rulebook
        self.is_known = event is not None
        self.here = _everything(rulebook)
        if event is not None:
            place = rulebook.profiles.get(event.profile, self.here)
            self.here = replace(place, tools=event.tools)
        self.out = self._out() if self.is_known else frozenset[str]()
        """Findings that no check can bring here."""

    def reads(self, check: Check, finding: str) -> bool:
        """Tell whether a reading of a check can be had here; questions of danger always can."""
        if not self.is_known or self.here.reads(check, finding):
            return True
        return finding in self._rulebook.asked_first

    def makes(self, repair: Repair) -> bool:
        """Tell whether a repair can be made here."""
        return not self.lacked(repair)

    def lacked(self, repair: Repair) -> tuple[str, ...]:
        """Return the place, and who or what must be there, that a repair wants and is not here."""
        if not self.is_known:
            return ()
        here = (*self.here.reaches, *self.here.there)
        return tuple(name for name in (repair.access, *repair.there) if name not in here)

    def how(self, finding: Finding) -> How:
        """Return how a finding is known here: from afar all is told."""
        return "told" if self.here.by_word else finding.how

    def regains(self, before: AtHand, passed: Mapping[str, str]) -> tuple[str, ...]:
        """Return what could not be read before and may be now: all, where somebody else is there.

        What was passed over as not sure stays so.
        """
        fresh = set(self.here.tools) - set(before.here.tools)
        elsewhere = self.here.id != before.here.id
        checks = self._rulebook.checks.values()
        again = {name for one in checks if fresh & set(one.tools) for name in one.yields}
        return tuple(
            name for name, why in passed.items() if why == CANNOT and (elsewhere or name in again)
        )

    def _out(self) -> frozenset[str]:
        held = [(one, name) for one in self._rulebook.checks.values() for name in one.yields]
        near = {name for check, name in held if self.reads(check, name)}
        return frozenset({name for _, name in held} - near)


def _everything(rulebook: Rulebook) -> Workplace:
    checks = rulebook.checks.values()
    there = sorted({name for check in checks for name in check.there})
    return Workplace(
        "", "everything at hand", tuple(rulebook.scales.access), tuple(there), rulebook.tools
    )


def waiting_for(rulebook: Rulebook, checks: Iterable[str], reach: AtHand) -> tuple[str, ...]:
    """Return what checks want that is not here, each once, in order."""
    lacked = (
        name
        for one in map(rulebook.checks.__getitem__, checks)
        for name in (*one.tools, *one.there, *(() if reach.here.by_word else (one.access,)))
        if name not in (*reach.here.tools, *reach.here.reaches, *reach.here.there)
    )
    return tuple(dict.fromkeys(lacked))
