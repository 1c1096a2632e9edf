"""What a rulebook can be told of, and the phrases for each: read once somebody says something."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from diag.model.rulebook import Finding, Rulebook
from diag.rulebook.kinds import KINDS
from diag.rulebook.language.phrases import BUT_NOT, phrases_of
from diag.session.hearing.counted.counts import Counts
from diag.session.hearing.dangers import told_of
from diag.session.hearing.guesses import Vocabulary
from diag.session.hearing.listening import PhraseClaim
from diag.session.hearing.numbers import BARE
from diag.session.hearing.phrases import NUMBERED
from diag.session.hearing.table import PhraseTable
from diag.session.hearing.votes import kinds_of
from diag.session.hearing.words import plain_words


@dataclass(frozen=True, slots=True, order=True)
class Meaning:
    """A complaint where `finding` is empty, a finding's state, or its number or code."""

    finding: str
    state: str
    """The state, or the complaint; empty for a number or a code."""


Claimed = PhraseClaim[Meaning]
"""One place of a line that tells of a meaning."""


@dataclass(frozen=True, slots=True)
class Meanings:
    """The phrases for all that can be told, and the findings whose slots amounts fill."""

    table: PhraseTable[Meaning]
    numbered: Mapping[str, Finding]
    """The key of a slot for an amount, to the finding that it is one of."""
    vocabulary: Vocabulary[Meaning]
    names: frozenset[str]
    """Words of phrases with digits in them, which are no amounts."""
    counted: frozenset[str]
    """Words of the phrases for codes and counts: what is counted."""
    counts: Counts[Meaning] | None
    """How often words were said of each; none where the rulebook counts none."""

    @classmethod
    def of(cls, rulebook: Rulebook) -> Meanings:
        """Read the phrases of a rulebook, and what its own words say where it has none."""
        keys = {
            finding.id: f"{NUMBERED}{number}"
            for number, finding in enumerate(rulebook.findings.values())
            if _takes_amounts(finding)
        }
        entries = [
            (meaning, _with_amounts(phrases, rulebook.findings[meaning.finding], keys))
            if meaning.finding in keys
            else (meaning, phrases)
            for meaning, phrases in _phrases(rulebook)
        ]
        texts = {meaning: _texts(rulebook, meaning, phrases) for meaning, phrases in entries}
        right = [text for all_ in texts.values() for text in all_]
        table = PhraseTable.of(entries, right, rulebook.word_groups, strict=True)
        numbered = {key: rulebook.findings[name] for name, key in keys.items()}
        said = {word for _, all_ in entries for text in all_ for word in text.split()}
        names = {one for word in said for one in word.split("/") if not one.isalpha()}
        digits = frozenset(
            one.lower() for one in names if one[-1:].isdecimal() and one[0].isalpha()
        )
        counted = {
            one
            for meaning, phrases in _phrases(rulebook)
            if meaning.finding and KINDS[rulebook.findings[meaning.finding].kind].is_coded
            for phrase in phrases
            for one in plain_words(phrase.partition(BUT_NOT)[0])
        }
        vocabulary = Vocabulary.of(texts, rulebook.word_groups)
        return cls(table, numbered, vocabulary, digits, frozenset(counted), _counts(rulebook))


def _counts(rulebook: Rulebook) -> Counts[Meaning] | None:
    """Read how often words were said of each meaning."""
    kinds = kinds_of(rulebook.word_groups)
    texts = {Meaning(*told): text for told, text in rulebook.word_counts.items()}
    return Counts.read(texts, kinds) if texts else None


def _with_amounts(phrases: list[str], finding: Finding, keys: Mapping[str, str]) -> list[str]:
    """Return phrases with a slot for the amount; where one begins with `#`, with its unit.

    A code has no unit, but may be counted in times, which only phrases with a `#` take: so many
    times may be a count of something else.
    """
    key, bare = keys[finding.id], f"{keys[finding.id]}{BARE}"
    usual = bare if KINDS[finding.kind].is_coded else f"{key}/{bare}"
    return [
        f"{key} {phrase[1:].strip()}" if phrase.startswith(NUMBERED) else f"{usual} {phrase}"
        for phrase in phrases
    ]


def _takes_amounts(finding: Finding) -> bool:
    return KINDS[finding.kind].is_number or KINDS[finding.kind].is_coded


def _phrases(rulebook: Rulebook) -> Iterator[tuple[Meaning, list[str]]]:
    """Give each meaning with its phrases, or with those that its names make."""
    told, risky = rulebook.told_as, {one.finding for one in told_of(rulebook)}
    for name, complaint in rulebook.complaints.items():
        own = told.get(("", name))
        yield Meaning("", name), phrases_of(own) if own else _plainly(name, *complaint.words)
    for name, finding in rulebook.findings.items():
        names = (name, *finding.words)
        for state in finding.states or ("",):
            own = told.get((name, state))
            if own:
                yield Meaning(name, state), phrases_of(own)
            elif name in risky:
                continue  # what tells of danger is heard as danger
            elif not finding.states:
                yield Meaning(name, state), _plainly(*names)
            elif KINDS[finding.kind].is_listed:
                yield Meaning(name, state), _plainly(*(f"{one} {state}" for one in names))
            elif state == finding.states[1]:
                yield Meaning(name, state), _plainly(*names)


def _plainly(*names: str) -> list[str]:
    """Return names as phrases: no capitals, which would be groups."""
    return [name.lower().replace("...", " ") for name in names]


def _texts(rulebook: Rulebook, meaning: Meaning, phrases: list[str]) -> tuple[str, ...]:
    """Return all that the rulebook says of a meaning."""
    if not meaning.finding:
        complaint = rulebook.complaints[meaning.state]
        return (meaning.state, complaint.title, *complaint.words, *phrases)
    finding = rulebook.findings[meaning.finding]
    look = finding.choices.get(meaning.state, "")
    state = meaning.state if KINDS[finding.kind].is_listed else ""
    return (finding.id, *finding.words, state, look, *phrases)
