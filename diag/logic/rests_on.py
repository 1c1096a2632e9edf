"""What rests on what: the one walk from a name down to what it rests on, and up again.

A step down is given as a function, so that the same walk serves rules as they are written, what
holds of them now, and figures alone.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping

from diag.model.expression import Condition, Is, names_in, walk
from diag.model.rulebook import Danger, Figure, Rule, Sign

Below = Callable[[str], Iterable[str] | None]
"""A name to the names it rests on directly; None for what rests on nothing, as a reading."""
Direct = Mapping[str, tuple[str, ...]]
"""Each figure and each sign that rules conclude, to the names it rests on directly."""


def resting_on(names: Iterable[str], below: Below) -> tuple[str, ...]:
    """Return what names rest on in the end, nearest first, each once; circles have an end.

    >>> under = {"power": ("volts", "amps"), "amps": ("volts", "ohms")}
    >>> resting_on(["power"], under.get)
    ('volts', 'ohms')
    """
    waiting = list(dict.fromkeys(names))
    seen, found = set(waiting), list[str]()
    for name in waiting:
        direct = below(name)
        if direct is None:
            found.append(name)
            continue
        for one in direct:
            if one not in seen:
                seen.add(one)
                waiting.append(one)
    return tuple(found)


def directly_below(
    rules: Iterable[Rule], figures: Mapping[str, Figure], signs: Mapping[str, Sign] | None = None
) -> Direct:
    """Return what figures and signs rest on as written, whatever was answered so far.

    A sign of `signs` that a unit's own code list tells rests on its count as well.
    """
    found = {name: list(names_in(*figure.terms)) for name, figure in figures.items()}
    for sign in (signs or {}).values():
        if sign.looked_up:
            found[sign.id] = [sign.looked_up]
    for rule in rules:
        if rule.then.kind == "sign":
            found.setdefault(rule.then.name, []).extend(names_in(rule.when))
    return {name: tuple(dict.fromkeys(names)) for name, names in found.items()}


def findings_under(
    condition: Condition, findings: Container[str], below: Direct
) -> tuple[str, ...]:
    """Return the findings that a condition rests on as written, nearest first."""
    return tuple(name for name in resting_on(names_in(condition), below.get) if name in findings)


def depending_on(name: str, below: Direct) -> frozenset[str]:
    """Return the name and all that can hang on it.

    >>> sorted(depending_on("ohms", {"power": ("volts", "amps"), "amps": ("volts", "ohms")}))
    ['amps', 'ohms', 'power']
    """
    reached = {name}
    while more := {one for one, names in below.items() if not reached.isdisjoint(names)} - reached:
        reached |= more
    return frozenset(reached)


def raised_by(dangers: Mapping[str, Danger], finding: str, state: str) -> tuple[str, ...]:
    """Return the dangers whose condition names this state of a finding, in their order."""
    return tuple(
        name
        for name, danger in dangers.items()
        for part in walk(danger.raised_when)
        if isinstance(part, Is) and part.name == finding and state in part.states
    )
