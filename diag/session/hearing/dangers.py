"""Dangers heard in what people type, before anything else is made of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.logic.rests_on import raised_by
from diag.model.rulebook import Danger, Finding, Rulebook
from diag.session.hearing.table import PhraseTable
from diag.session.hearing.votes import ANY, Votes, kinds_of, read_votes


@dataclass(frozen=True, slots=True)
class Told:
    """What raises a danger: a state of a finding."""

    danger: str
    finding: str
    state: str


@dataclass(frozen=True, slots=True)
class HeardDanger:
    """A danger that some words tell of; it counts once the user has confirmed it."""

    danger: Danger
    finding: Finding
    state: str
    words: tuple[str, ...]
    """The words that tell of it, as they were typed, in order."""
    score: float


def danger_phrases(rulebook: Rulebook) -> PhraseTable[Told]:
    """Return all phrases that tell of a danger, to be listened for line after line."""
    table = PhraseTable.of(_entries(rulebook), _texts(rulebook), rulebook.word_groups)
    table.votes = _votes(rulebook, table.meanings)
    return table


def hear_dangers(
    text: str, rulebook: Rulebook, table: PhraseTable[Told] | None = None
) -> tuple[HeardDanger, ...]:
    """Return the dangers that a text tells of, best first; each finding's state once.

    `table` is what `danger_phrases` gives for the rulebook, made anew if it is left out.
    """
    heard: dict[tuple[str, str], HeardDanger] = {}
    for match in (table or danger_phrases(rulebook)).matches(text):
        told = match.meaning
        one = HeardDanger(
            rulebook.dangers[told.danger],
            rulebook.findings[told.finding],
            told.state,
            match.words,
            match.score,
        )
        heard.setdefault((told.finding, told.state), one)
    return tuple(heard.values())


def told_of(rulebook: Rulebook) -> tuple[Told, ...]:
    """Return every state of a finding by which people tell of a danger, in order of danger."""
    return tuple(dict.fromkeys(told for told, _ in _entries(rulebook)))


def _entries(rulebook: Rulebook) -> Iterator[tuple[Told, tuple[str, ...]]]:
    """Give each danger's own phrases; a finding asked first without any is told by its words."""
    beside = dict(rulebook.heard_as)
    for danger in rulebook.dangers.values():
        for told, phrases in danger.heard_as.items():
            yield Told(danger.id, *told), (*phrases, *beside.pop(told, ()))
        for name in danger.ask_first:
            finding = rulebook.findings[name]
            told = (name, finding.states[1])
            if finding.kind == "yes/no" and told not in {*danger.heard_as, *rulebook.heard_as}:
                yield Told(danger.id, *told), finding.words
    for told, phrases in beside.items():
        yield Told(raised_by(rulebook.dangers, *told)[0], *told), phrases


def _votes(rulebook: Rulebook, meanings: tuple[Told, ...]) -> Votes[Told] | None:
    """Read what words weigh; none without the votes for any danger."""
    kept = rulebook.word_weights
    if ANY not in kept:
        return None
    each = {told: f"{told.finding} is {told.state}" for told in meanings}
    return Votes(
        read_votes(kept[ANY]),
        {told: read_votes(kept[key]) for told, key in each.items() if key in kept},
        kinds_of(rulebook.word_groups),
    )


def _texts(rulebook: Rulebook) -> Iterator[str]:
    """Give the rulebook's own sentences: what stands in them is spelt as it should be."""
    for finding in rulebook.findings.values():
        yield from (finding.ask, finding.help, *finding.words, *finding.choices.values())
        yield from finding.measure.texts if finding.measure else ()
    for check in rulebook.checks.values():
        yield check.do
    for cause in rulebook.causes.values():
        yield from (cause.title, cause.explain)
    for complaint in rulebook.complaints.values():
        yield from (complaint.title, *complaint.words)
