"""One line heard whole: dangers first, then facts with their scores, and what is left to ask."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from diag.model.rulebook import Finding, Rulebook, Value
from diag.rulebook.kinds import KINDS
from diag.session.hearing.asked import begun_with, left_for
from diag.session.hearing.counted.guessing import Guessing
from diag.session.hearing.dangers import HeardDanger, Told, danger_phrases, hear_dangers
from diag.session.hearing.denial import denies_what_follows
from diag.session.hearing.listening import Listening, PhraseClaim
from diag.session.hearing.meanings import Claimed, Meaning, Meanings
from diag.session.hearing.numbers import put_as_words, slots_filled
from diag.session.hearing.picking import at_home, crossed, stand_out
from diag.session.hearing.table import MOST_LETTERS, PhraseTable
from diag.session.hearing.words import TURNS, Word, plain_words, words_of
from diag.session.prompt import AskFinding, Prompt
from diag.session.slips import NotUnderstood

MOST_WORDS = 400
"""Words of a line in which facts are looked for; for danger all are listened to."""
MOST_CHOICES = 3
OTHER = 0.9
"""What a claim counts that is told by the denial of another state, or by a bare number."""
AT_PROMPT = 1.3
"""What a claim that answers the question asked counts, beside 1 for any other."""


@dataclass(frozen=True, slots=True)
class HeardFact:
    """A complaint or a finding's value that some words tell of; to be read back."""

    complaint: str
    """Empty where it is a finding."""
    finding: str
    value: Value | None
    words: str
    score: float
    """How well the words of a phrase fit; 0 for a guess by the words alone."""

    @property
    def guessed(self) -> bool:
        """Return whether no phrase tells of it, so that it never counts without a yes."""
        return not self.score


@dataclass(frozen=True, slots=True)
class Hearing:
    """What a line tells of."""

    dangers: tuple[HeardDanger, ...]
    facts: tuple[HeardFact, ...]
    """Best guess for each thing told, in the order in which they were said."""
    choices: tuple[tuple[HeardFact, ...], ...] = ()
    """For each thing that may be one of several: at most three."""

    def of_complaints(self) -> Hearing:
        """Return what it tells of complaints alone."""
        facts = tuple(one for one in self.facts if one.complaint)
        kept = [tuple(one for one in among if one.complaint) for among in self.choices]
        return Hearing((), facts, tuple(among for among in kept if among))

    @property
    def sure(self) -> bool:
        """Return whether nothing is left to ask but whether it is so."""
        return bool(self.facts) and not self.choices


class Ear:
    """Listens for all that a rulebook can be told; its phrases are read at the first line."""

    def __init__(self, rulebook: Rulebook) -> None:
        self.rulebook = rulebook
        self._meanings: Meanings | None = None
        self._dangers: PhraseTable[Told] | None = None

    def hear_dangers(self, text: str) -> tuple[HeardDanger, ...]:
        """Return what a text tells of danger alone, best first."""
        self._dangers = self._dangers or danger_phrases(self.rulebook)
        return hear_dangers(text, self.rulebook, self._dangers)

    def hear(self, text: str, prompt: Prompt | None = None) -> Hearing:
        """Return what a line tells of, beside the question that is asked.

        Raises `NotUnderstood` for one that contradicts itself, or goes on and on.
        """
        dangers = self.hear_dangers(text)
        self._meanings = self._meanings or Meanings.of(self.rulebook)
        asked = prompt.finding if isinstance(prompt, AskFinding) else None
        begun = begun_with(text, asked) if asked else None
        rest = begun[1] if begun else text
        heard = _Line(self.rulebook, self._meanings, rest, asked).heard(dangers)
        if asked is None or begun is None:
            return heard
        words = text[: len(text) - len(rest)].strip(" ,.;:!")
        return _led_by(HeardFact("", asked.id, begun[0], words, AT_PROMPT), heard)


def hear(text: str, rulebook: Rulebook, prompt: Prompt | None = None) -> Hearing:
    """Return what a line tells of; an `Ear` is quicker where there are several lines."""
    return Ear(rulebook).hear(text, prompt)


def _led_by(own: HeardFact, heard: Hearing) -> Hearing:
    """Return what a line tells of that begins with the answer asked for."""
    for one in heard.facts:
        if one.finding == own.finding and one.value != own.value:
            raise NotUnderstood(_both(own, one))
    facts = [one for one in heard.facts if one.finding != own.finding]
    choices = [
        among for among in heard.choices if not any(one.finding == own.finding for one in among)
    ]
    return replace(heard, facts=(own, *facts), choices=tuple(choices))


def _both(one: HeardFact, other: HeardFact) -> str:
    said = " and ".join(f"`{fact.value}`" for fact in (one, other))
    return f"that says both {said} of `{one.finding}`; say which of the two it is"


class _Line:
    """One line on its way to what it tells of."""

    def __init__(
        self, rulebook: Rulebook, meanings: Meanings, text: str, asked: Finding | None
    ) -> None:
        self._book = rulebook
        self._meanings = meanings
        self._asked = asked.id if asked else ""
        many = len(plain_words(text[:MOST_LETTERS]))
        if many > MOST_WORDS or len(text) > MOST_LETTERS:
            raise NotUnderstood(
                f"that is {many} words in one line; tell it in pieces of at most {MOST_WORDS}"
            )
        plain, self._numbers = put_as_words(text, meanings.names, meanings.counted)
        self._words = but_as_clause(words_of(plain))
        self._amounts = {
            at: bool(self._numbers[one.text].unit)
            for at, one in enumerate(self._words)
            if one.text in self._numbers
        }

    def heard(self, dangers: tuple[HeardDanger, ...]) -> Hearing:
        also = slots_filled(self._numbers, self._meanings.numbered)
        listening = Listening(self._meanings.table, self._words, also)
        spoken = listening.claims()
        claims = [found for one in spoken if (found := self._meant(one))]
        claims = at_home(claims, self._words, self._amounts)
        picked = stand_out(claims, self._words, self._amounts)
        for one, other in picked.torn:
            if self._fact(one).value != self._fact(other).value:
                raise NotUnderstood(_both(self._fact(one), self._fact(other)))
        told, open_ = list[Claimed](), list[tuple[Claimed, ...]]()
        for claim in sorted(picked.accepted, key=lambda one: one.places):
            if rivals := picked.rivals.get(claim, ()):
                open_.append((claim, *rivals)[:MOST_CHOICES])
            else:
                told.append(claim)
        left = [*self._left_for_asked([one for one in picked.accepted if one.meaning.finding])]
        if not left:
            said = (self._words, listening.stems, self._numbers)
            denied = {one.meaning for one in spoken if one.denied}
            guessing = Guessing(self._book, self._meanings, said, self._asked, denied)
            heard = bool(told or open_)
            told, open_ = guessing.beside(told, open_)
            if dangers and not heard:
                open_ = []  # what may be meant beside a danger can wait
        facts = [*map(self._fact, told), *left]
        return Hearing(dangers, tuple(facts), tuple(tuple(map(self._fact, all_)) for all_ in open_))

    def _left_for_asked(self, accepted: Collection[Claimed]) -> Iterator[HeardFact]:
        """Give what the claims on findings leave over as the answer asked for.

        What tells of a complaint may answer as well; beside other findings a number does so only
        with its unit.
        """
        if not self._asked or any(one.meaning.finding == self._asked for one in accepted):
            return
        told = {at for claim in accepted for at in claim.places}
        asked = self._book.findings[self._asked]
        found = left_for(asked, self._words, told, self._numbers)
        if found is None:
            return
        value, at = found
        number = self._numbers.get(self._words[at].text)
        if number is None or not accepted or (number.unit and number.is_like(asked)):
            yield HeardFact("", asked.id, value, self._typed(self._words[at]), AT_PROMPT)

    def _meant(self, claim: Claimed) -> Claimed | None:
        """Return a claim with a denial taken in: of two states the other; None for no claim."""
        meaning, score = claim.meaning, claim.score
        if claim.denied:
            states = self._book.findings[meaning.finding].states if meaning.finding else ()
            if len(states) != 2:
                return None
            meaning = Meaning(meaning.finding, states[states[0] == meaning.state])
            score *= OTHER
        elif meaning.finding and not meaning.state:
            score *= self._likely(claim.places, self._book.findings[meaning.finding])
            if not score:
                return None
        if not claim.denied and not denies_what_follows(self._words, claim.places):
            return None
        score *= crossed(self._words, claim.places, self._amounts)
        if self._asked and meaning.finding == self._asked:
            score *= AT_PROMPT
        return PhraseClaim(meaning, claim.places, score)

    def _likely(self, places: Sequence[int], finding: Finding) -> float:
        """Return what a claim counts for its number: less where that has no unit that fits, or
        where the `minus` before it is taken for a word."""
        for at in places:
            number = self._numbers.get(self._words[at].text)
            if number is None or number.value(finding) is None:
                continue
            coded = KINDS[finding.kind].is_coded and not {*".,"} & {*number.digits}
            counts = not number.unit and not KINDS[finding.kind].is_coded
            if counts and self._counts_others(at, places):
                return 0.0
            plain = number.is_like(finding) or coded
            return (1.0 if plain else OTHER) * (OTHER if number.below and at - 1 in places else 1.0)
        return 1.0

    def _counts_others(self, at: int, places: Sequence[int]) -> bool:
        """Return whether a bare number counts what stands right behind it: `three bends`."""
        number, behind = self._words[at], self._words[at + 1 : at + 2]
        return any(
            one.text.endswith("s")
            and one.text[:-1].startswith(one.stem)
            and len(one.text) > 3
            and one.clause == number.clause
            and at + 1 not in places
            and not one.idle
            for one in behind
        )

    def _fact(self, claim: Claimed) -> HeardFact:
        words = " ".join(self._typed(self._words[at]) for at in claim.places)
        meaning = claim.meaning
        value: Value | None = meaning.state
        if not meaning.finding:
            return HeardFact(meaning.state, "", None, words, claim.score)
        if not meaning.state:
            finding = self._book.findings[meaning.finding]
            tokens = [self._words[at].text for at in claim.places]
            read = [self._numbers[one].value(finding) for one in tokens if one in self._numbers]
            value = next((one for one in read if one is not None), None)
        return HeardFact("", meaning.finding, value, words, claim.score)

    def _typed(self, word: Word) -> str:
        number = self._numbers.get(word.text)
        return f"{number.digits} {number.unit}".strip() if number else word.text


def but_as_clause(words: Sequence[Word]) -> tuple[Word, ...]:
    """Return words with `but` ending a clause alone, as it parts two halves of one complaint."""
    joined, back = list[Word](), 0
    for at, word in enumerate(words):
        if at and word.text in TURNS and word.sentence != words[at - 1].sentence:
            back += 1
        joined.append(replace(word, sentence=word.sentence - back))
    return tuple(joined)
