"""What a lint is: a name, a code, and a function from what was read to problems."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from diag.model.case import Case
from diag.model.problem import Place, Problem
from diag.model.rulebook import Rulebook


@dataclass(frozen=True, slots=True)
class Material:
    """What is looked over: a rulebook and its worked cases."""

    rulebook: Rulebook
    cases: tuple[Case, ...] = ()


@dataclass(frozen=True, slots=True)
class Lint:
    """One demand on rule files. The docstring of its module is its manual."""

    code: str
    name: str
    check: Callable[[Material], Iterable[Problem]]

    @property
    def manual(self) -> str:
        """Return what the lint wants, with a failing and a passing example."""
        return (sys.modules[self.check.__module__].__doc__ or "").strip()

    @property
    def summary(self) -> str:
        """Return the first line of the manual."""
        return self.manual.partition("\n")[0]


@dataclass(frozen=True, slots=True)
class Sentence:
    """A text of a rule file: where its entry stands, whose it is, under which key."""

    place: Place
    owner: str
    key: str
    text: str


def sentences_of(rulebook: Rulebook) -> Iterator[Sentence]:
    """Yield every text that people are shown, entry by entry."""
    for finding in rulebook.findings.values():
        yield Sentence(finding.place, finding.id, "ask", finding.ask)
        if finding.help:
            yield Sentence(finding.place, finding.id, "help", finding.help)
        if finding.measure:
            for text in finding.measure.texts:
                yield Sentence(finding.place, finding.id, "measure", text)
    for datum in rulebook.unit_data.values():
        yield Sentence(datum.place, datum.id, "ask", datum.ask)
    for check in rulebook.checks.values():
        yield Sentence(check.place, check.id, "do", check.do)
        if check.together:
            yield Sentence(check.place, check.id, "asked together", check.together)
    for danger in rulebook.dangers.values():
        for step in danger.do_now:
            yield Sentence(danger.place, danger.id, "do now", step)
    for cause in rulebook.causes.values():
        for step in cause.repair.do:
            yield Sentence(cause.place, cause.id, "do", step)
        for key, text in (("explain", cause.explain), ("tell the owner", cause.tell_owner)):
            if text:
                yield Sentence(cause.place, cause.id, key, text)


def labels_of(rulebook: Rulebook) -> Iterator[Sentence]:
    """Yield what else people are shown: titles, choices, slips, reasons, cautions."""
    for finding in rulebook.findings.values():
        for look in finding.choices.values():
            yield Sentence(finding.place, finding.id, "choices", look)
        for slip in finding.slips:
            yield Sentence(finding.place, finding.id, "slips", slip.say)
    titled = (rulebook.signs, rulebook.figures, rulebook.causes, rulebook.complaints)
    for entry in (one for table in titled for one in table.values()):
        yield Sentence(entry.place, entry.id, "title", entry.title)
    for rule in rulebook.rules:
        yield Sentence(rule.place, rule.id, "why", rule.why)
    for danger in rulebook.dangers.values():
        for key, text in (("title", danger.title), ("work may go on when", danger.resume_when)):
            yield Sentence(danger.place, danger.id, key, text)
    for key, named in (("cautions", rulebook.cautions), ("acts", rulebook.acts)):
        for name, text in named.items():
            yield Sentence(Place(key), name, key, text)


def sentences(text: str) -> list[str]:
    """Split a text at full stops, question marks and exclamation marks.

    >>> sentences("Pull it out. Is it 0.5 mm thick?")
    ['Pull it out.', 'Is it 0.5 mm thick?']
    """
    return [part for part in re.split(r"(?<=[.!?])\s+", text.strip()) if part]
