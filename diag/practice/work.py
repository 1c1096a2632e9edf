"""What work on a unit takes, as the rules count it: minutes, waits, and what is open or ready."""

from __future__ import annotations

from dataclasses import dataclass

from diag.model.rulebook import Check, Repair, Rulebook
from diag.reason.plan.costs import keys_of, minutes_of, opened_after, setup_costs, undone_by_proof

COOLS = "heater cold"
"""The need of the rules that is a wait."""


@dataclass(slots=True)
class Work:
    """Count what acts cost, one after the other."""

    book: Rulebook
    opened: frozenset[str] = frozenset()
    checks: tuple[str, ...] = ()
    """The checks under way: several where they share a run."""
    minutes: float = 0.0
    """Hands-on, without the wait for the heater to cool."""
    waited: float = 0.0
    """Minutes of waits that the rules name, in which nobody need be there."""

    def begin(self, *checks: Check) -> None:
        """Begin a check, or several that share a run."""
        self.checks = tuple(dict.fromkeys(each.id for each in checks))
        self.minutes += minutes_of(self.book, self.checks, self.opened)
        for name in self.checks:
            self._open(self.book.checks[name])

    def joins(self, check: Check) -> bool:
        """Say whether a check shares the run that is under way."""
        return bool(check.run) and check.run in {self.book.checks[n].run for n in self.checks}

    def join(self, check: Check) -> None:
        """Take another check's readings in the run under way, which `joins` it."""
        self.checks = (*self.checks, check.id)
        self.minutes += minutes_of(self.book, [check.id], self.opened)
        self.minutes -= self.book.runs[check.run].minutes
        self._open(check)

    def repair(self, repair: Repair) -> None:
        """Do a repair, with what has to be opened or made ready for it."""
        self.minutes += repair.minutes - self._cooling(repair)
        self.minutes += sum(setup_costs(self.book)[key] for key in self._new(repair))
        self.waited += repair.waits

    def ran(self) -> None:
        """Take in that the heater ran: it is hot, and whatever checks were under way are over."""
        self.opened -= undone_by_proof(self.book)
        self.checks = ()

    def ready(self, key: str) -> None:
        """Bring about what acts need: it is paid here, and no more by them."""
        spent = setup_costs(self.book)[key]
        if key == COOLS:
            self.waited += spent
        else:
            self.minutes += spent
        self.opened |= {key}

    def _open(self, check: Check) -> None:
        cooling = self._cooling(check)
        self.minutes -= cooling + self._left_alone(check)
        self.waited += cooling + check.waits
        self.opened = opened_after(self.book, check.id, self.opened)

    def _cooling(self, act: Check | Repair) -> float:
        """Return the minutes that an act is billed for letting the heater cool: they are waits."""
        return sum(setup_costs(self.book)[key] for key in self._new(act) & {COOLS})

    def _left_alone(self, check: Check) -> float:
        """Return what a check is billed for minutes in which nobody need be there."""
        return self.book.scales.settings.price_of_waiting * check.waits

    def _new(self, act: Check | Repair) -> frozenset[str]:
        return keys_of(self.book, act) - self.opened
