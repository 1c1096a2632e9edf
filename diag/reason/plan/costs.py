"""What acts cost in minutes: their own, and once what must be fetched, opened or made ready.

What was made ready stays so until an act undoes it; then it is paid again. So order counts.

Costs that are shared by acts that open the same thing, as the clusters of Langseth and Jensen,
"Heuristics for two extensions of basic troubleshooting" (2001).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from diag.model.rulebook import Check, Repair, Rulebook


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


def as_one(rulebook: Rulebook, checks: Sequence[Check]) -> Check:
    """Return checks that share a run as one act, called by the first: the run is paid once."""
    first, *others = checks
    shared = rulebook.runs[first.run].minutes
    access = max((one.access for one in checks), key=lambda word: rulebook.scales.access[word])
    return replace(
        first,
        minutes=first.minutes + sum(one.minutes - shared for one in others),
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
        spent += check.minutes + sum(costs[key] for key in sorted(new))
        if check.run and check.run == run:
            spent -= rulebook.runs[run].minutes
        run = check.run
        opened = opened_after(rulebook, name, opened)
    return spent
