"""What acts cost in minutes: their own, and once what must be fetched, opened or made ready.

What was made ready stays so until an act undoes it; then it is paid again. So order counts.

Costs that are shared by acts that open the same thing, as the clusters of Langseth and Jensen,
"Heuristics for two extensions of basic troubleshooting" (2001).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from diag.model.rulebook import Check, Repair, Rulebook, UnitData
from diag.model.work import SharedRun

NO_RUNS: Mapping[str, float] = {}


def setup_costs(rulebook: Rulebook) -> Mapping[str, float]:
    """Return the minutes that each access, each need and each tool costs once."""
    scales = rulebook.scales
    return {**scales.access, **scales.needs, **scales.tools}


def keys_of(rulebook: Rulebook, act: Check | Repair) -> frozenset[str]:
    """Return what must be fetched, opened or made ready for a check or a repair."""
    costs = setup_costs(rulebook)
    tools = act.tools if isinstance(act, Check) else ()
    return frozenset(key for key in (act.access, *act.needs, *tools) if costs.get(key, 0.0) > 0)


def undone_by_proof(rulebook: Rulebook) -> frozenset[str]:
    """Return what the run after a repair undoes: whatever any check undoes."""
    return frozenset(key for check in rulebook.checks.values() for key in check.undoes)


def opened_after(rulebook: Rulebook, check: str, opened: frozenset[str]) -> frozenset[str]:
    """Return what is open or ready once a check has been done."""
    act = rulebook.checks[check]
    return (opened | keys_of(rulebook, act)) - frozenset(act.undoes)


def opened_by(rulebook: Rulebook, checks: Iterable[str]) -> frozenset[str]:
    """Return what these checks, in this order, leave open or ready."""
    opened: frozenset[str] = frozenset()
    for check in checks:
        opened = opened_after(rulebook, check, opened)
    return opened


def cost_of(rulebook: Rulebook, act: Check | Repair, extra: Mapping[str, float] = NO_RUNS) -> float:
    """Return the minutes of a check or a repair: of work, with parts, and of waiting at its price.

    `extra` holds, run by run, what the next one costs beyond.
    """
    work = act.minutes if isinstance(act, Check) else act.cost
    used = {act.run, *act.uses} if isinstance(act, Check) else set()
    waiting = rulebook.scales.settings.price_of_waiting * act.waits
    return work + waiting + sum(extra.get(name, 0.0) for name in sorted(used))


def extra_minutes(rulebook: Rulebook, unit: UnitData, checks: Iterable[str]) -> Mapping[str, float]:
    """Return, run by run, what the next one costs beyond its minutes, after these checks."""
    made = runs_made(rulebook, checks)
    return {name: _extra(run, unit, made[name]) for name, run in rulebook.runs.items()}


def runs_made(rulebook: Rulebook, checks: Iterable[str]) -> Counter[str]:
    """Count the runs that checks made in this order: those that follow each other share theirs."""
    made, before = Counter[str](), ""
    for name in checks:
        check = rulebook.checks[name]
        made.update(check.uses)
        made.update([check.run] if check.run and check.run != before else [])
        before = check.run
    return made


def _extra(run: SharedRun, unit: UnitData, made: int) -> float:
    stock = unit.data.get(run.at_most)
    runs_out = stock is not None and made >= stock.si
    return run.each_more * made * (2 if runs_out else 1)


def as_one(rulebook: Rulebook, checks: Sequence[Check]) -> Check:
    """Return checks that share a run as one act, called by the first: the run is paid once."""
    first, *others = checks
    shared = rulebook.runs[first.run].minutes
    access = max((one.access for one in checks), key=lambda word: rulebook.scales.access[word])
    return replace(
        first,
        minutes=first.minutes + sum(one.minutes - shared for one in others),
        waits=max(one.waits for one in checks),
        uses=_all(one.uses for one in checks),
        access=access,
        tools=_all(one.tools for one in checks),
        needs=_all(one.needs for one in checks),
        undoes=_all(one.undoes for one in checks),
        acts=_all(one.acts for one in checks),
        cautions=_all(one.cautions for one in checks),
    )


def _all(lists: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for names in lists for name in names))


def minutes_of(
    rulebook: Rulebook, checks: Iterable[str], opened: frozenset[str] = frozenset()
) -> float:
    """Return the minutes of checks in this order, with what they need beyond `opened`.

    Checks that share a run and follow each other pay it once.
    """
    costs, spent, run = setup_costs(rulebook), 0.0, ""
    for name in checks:
        check = rulebook.checks[name]
        new = keys_of(rulebook, check) - opened
        spent += cost_of(rulebook, check) + sum(costs[key] for key in sorted(new))
        if check.run and check.run == run:
            spent -= rulebook.runs[run].minutes
        run = check.run
        opened = opened_after(rulebook, name, opened)
    return spent
