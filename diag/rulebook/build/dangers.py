"""Dangers: from what was read to the model, and whether each can be released at all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from diag.logic.evaluate import evaluate
from diag.logic.figure import Held
from diag.logic.rests_on import directly_below, findings_under
from diag.model.expression import Compare, Literal, names_in, walk
from diag.model.quantity import Quantity
from diag.model.rulebook import Danger, Fact, Figure, Finding, Rule, Rulebook
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.hearing import heard_in
from diag.rulebook.build.lookup import Lookup

MOST_TRIED = 2000


def danger(look: Lookup, entry: Entry) -> tuple[Danger, Rule]:
    """Build a danger and the rule that raises it."""
    values = entry.values
    raised, released = (
        look.condition(entry, entry.at(key), values[key])
        for key in ("raised when", "released when")
    )
    assert raised is not None
    assert released is not None
    look.needs_origin(entry, raised)
    look.needs_origin(entry, released)
    made = Danger(
        id=entry.id,
        title=values["title"],
        raised_when=raised,
        released_when=released,
        do_now=values["do now"],
        resume_when=values["work may go on when"],
        forbids=look.refer_all(entry, "acts", "forbids"),
        ask_first=look.refer_all(entry, "findings", "ask first"),
        heard_as=heard_in(look, entry),
        licensed=values.get("licensed", ""),
        place=entry.place,
    )
    fact = Fact("danger", entry.id, "present")
    name = f"{entry.id}: raised"
    return made, Rule(name, raised, fact, values.get("why", ""), entry.origin, entry.place)


def check_releases(look: Lookup, book: Rulebook) -> None:
    """Note dangers that forbid what nothing does, cannot be released, or release themselves.

    What is missing for another mistake is told once that is mended.
    """
    if look.gathered.problems or not book.dangers:
        return
    done = {act for check in book.checks.values() for act in check.acts}
    done |= {act for cause in book.causes.values() for act in cause.repair.acts}
    below = directly_below(book.rules, book.figures)
    for name, one in book.dangers.items():
        entry = look.gathered.of("dangers")[name]
        for number, act in enumerate(one.forbids):
            if act not in done and act in book.acts:
                message = f"no check and no repair does `{act}`"
                advice = "give the checks that do it `acts`, or leave it out here"
                entry.source.refuse(entry.item_at("forbids", number), message, advice)
        at = entry.at("released when")
        under = findings_under(one.released_when, book.findings, below)
        for finding in sorted(set(under) - _readable(book, one)):
            message = f"`{finding}` cannot be read while the danger `{name}` holds"
            advice = "name a check that yields it and does none of what the danger forbids"
            entry.source.refuse(at, message, advice)
        both = _both_true(book, one)
        if both:
            message = f"the same reading would raise and release the danger `{name}`: {both}"
            entry.source.refuse(at, message, "let one of the two conditions exclude it")


def _readable(book: Rulebook, one: Danger) -> set[str]:
    """Return the findings of all checks that do none of what a danger forbids."""
    checks = (check for check in book.checks.values() if not set(check.acts) & set(one.forbids))
    return {finding for check in checks for finding in check.yields}


class _Readings:
    """A few readings, to try a condition on."""

    def __init__(self, held: Mapping[str, Held]) -> None:
        self._held = held

    def value(self, name: str) -> Held | None:
        return self._held.get(name)

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset({name})

    def figure(self, name: str) -> Figure | None:
        return None


def _both_true(book: Rulebook, one: Danger) -> str:
    """Return readings of what both conditions name by which both are true; empty if none."""
    raising, releasing = names_in(one.raised_when), names_in(one.released_when)
    shared = [name for name in raising if name in releasing and name in book.findings]
    tried = [list(_values(book.findings[name], one)) for name in shared]
    for number, values in enumerate(product(*tried)):
        if number >= MOST_TRIED:
            break
        view = _Readings(dict(zip(shared, values, strict=True)))
        if evaluate(one.raised_when, view).truth and evaluate(one.released_when, view).truth:
            told = zip(shared, values, strict=True)
            return ", ".join(f"`{name}` {_said(value)}" for name, value in told)
    return ""


def _values(finding: Finding, one: Danger) -> Iterator[Held]:
    """Yield each state of a choice, or each number that either condition holds it against."""
    for state in finding.states:
        yield frozenset({state})
    if finding.unit is None:
        return
    for condition in (one.raised_when, one.released_when):
        for part in walk(condition):
            if isinstance(part, Compare) and finding.id in names_in(part):
                for side in (part.left, part.right):
                    if isinstance(side, Literal):
                        number = side.quantity
                        for shift in (-1e-6, 0.0, 1e-6):
                            yield Quantity(number.si + shift, number.unit)


def _said(value: Held) -> str:
    return str(value) if isinstance(value, Quantity) else ", ".join(sorted(value))
