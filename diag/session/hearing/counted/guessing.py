"""A second guess beside the phrases: what a line's words, counted or shared, speak for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from math import exp

from diag.model.rulebook import Rulebook
from diag.session.hearing.counted.counts import TALK
from diag.session.hearing.counted.tokens import DENIED, tells, tokens
from diag.session.hearing.listening import PhraseClaim
from diag.session.hearing.meanings import Claimed, Meaning, Meanings
from diag.session.hearing.numbers import SaidNumber
from diag.session.hearing.words import Word

HEARD, AMONG, ASKED = exp(5.0), exp(2.5), exp(5.0)
"""By what the chance of a meaning is raised that phrases tell of, that they tell of among others,
and that answers the question asked."""
UNHEARD = 1e-4
"""The chance by counts of what phrases tell of, at the least."""
SURE, ALONE, SETTLED = 0.5, 0.7, 0.95
"""The chance from which a guess is one: with a phrase that says the same, without any, and with
phrases of which some say something else."""
MOST, LEAST, LIKELY = 3, 0.02, 0.25
"""Guesses that are asked about together, the least chance of each, and of the likeliest where no
phrase tells of anything."""
LOOKED_AT = 0.001
"""The least chance, beside that of the likeliest, of what is looked at further."""
KNOWN, FEWEST = 0.67, 2
"""Share of the telling words that must be known ones where no phrase tells of them; and how many
of them must be."""
SHOWN = 4
"""Words by which a guess is said to be told."""


class Guessing:
    """One line, and what it may tell of where phrases hear nothing, or are not borne out."""

    def __init__(
        self,
        rulebook: Rulebook,
        meanings: Meanings,
        said: tuple[Sequence[Word], Sequence[str], Mapping[str, SaidNumber]],
        asked: str = "",
        denied: Collection[Meaning] = (),
    ) -> None:
        """Begin; `said` are the line's words, their stems, and its numbers by their words.

        What is `denied`, by a phrase, is no guess.
        """
        self._book, self._meanings = rulebook, meanings
        self._words, self._stems, self._numbers = said
        self._asked, self._denied = asked, denied

    def beside(
        self, told: list[Claimed], open_: list[tuple[Claimed, ...]]
    ) -> tuple[list[Claimed], list[tuple[Claimed, ...]]]:
        """Return what is told and what is left open, once the words' own guess is heard too.

        Lines that phrases hear several things in stay as they are.
        """
        if len(told) + len(open_) > 1 or any(map(self._is_firm, told)):
            return told, open_
        if self._meanings.counts is None:
            shared = [] if told or open_ else self._by_shared_words()
            return told, ([*open_, tuple(shared)] if shared else open_)
        return self._by_counts(told, open_)

    def _is_firm(self, one: Claimed) -> bool:
        """Return whether a claim needs no second guess: the answer asked for, an amount, a denial
        taken for the other of two states."""
        if self._asked and one.meaning.finding == self._asked:
            return True
        spanned = range(one.places[0], one.places[-1])
        denies = one.meaning.finding and any(self._words[at].denies for at in spanned)
        return bool(denies) or any(self._words[at].text in self._numbers for at in one.places)

    def _by_counts(
        self, told: list[Claimed], open_: list[tuple[Claimed, ...]]
    ) -> tuple[list[Claimed], list[tuple[Claimed, ...]]]:
        counts = self._meanings.counts
        assert counts is not None
        said = tokens(self._words, self._stems, self._numbers)
        heard = {one.meaning: one for one in (*told, *(one for all_ in open_ for one in all_))}
        if not heard and not self._enough(said):
            return told, open_
        no_guess = set(self._denied) - heard.keys()
        chances = {one: odds for one, odds in counts.chances(said) if one not in no_guess}
        for one in heard:
            chances[one] = max(UNHEARD, chances.get(one, 0.0)) * (HEARD if told else AMONG)
        for one in chances:
            if self._asked and one.finding == self._asked:
                chances[one] *= ASKED
        ranked = sorted(chances.items(), key=lambda item: -item[1])
        claims = [
            (found, chance)
            for one, chance in ranked
            if chance >= LOOKED_AT * ranked[0][1]
            and (found := heard.get(one) or self._claim(one, said)) is not None
        ]
        least = ALONE if not heard else SURE if told else SETTLED
        return self._decided(claims, bool(heard), said, least)

    def _decided(
        self,
        claims: Sequence[tuple[Claimed, float]],
        by_phrases: bool,
        said: Sequence[str],
        least: float,
    ) -> tuple[list[Claimed], list[tuple[Claimed, ...]]]:
        """Return the one that is likely enough, or the few that it may be."""
        whole = sum(chance for _, chance in claims)
        likely = [(claim, chance / whole) for claim, chance in claims if chance >= LEAST * whole]
        if not likely:
            return [], []
        best, chance = likely[0]
        if not by_phrases and (best.meaning == Meaning("", TALK) or chance < LIKELY):
            return [], []
        among = [one for one, _ in likely if one.meaning != Meaning("", TALK)]
        firm = best.score > 0 or not any(one.startswith(DENIED) for one in said)
        if best is among[0] and firm and chance >= (least if best.score > 0 else max(least, ALONE)):
            return [best], []
        return [], [tuple(among[:MOST])]

    def _enough(self, said: Sequence[str]) -> bool:
        """Return whether enough of the telling words are known for a guess by them alone."""
        counts = self._meanings.counts
        assert counts is not None
        telling = [one for one in said if tells(one)]
        known = counts.known(telling)
        return len(known) >= KNOWN * len(telling) and len(known) >= FEWEST

    def _claim(self, meaning: Meaning, said: Sequence[str]) -> Claimed | None:
        """Return a guess with the words that speak for it; None where its number is not there."""
        counts = self._meanings.counts
        assert counts is not None
        if meaning == Meaning("", TALK):
            return PhraseClaim(meaning, (0,), 0.0)
        number = self._number_for(meaning, range(len(self._words)))
        if not meaning.state and len(number) != 1:
            return None
        spoken = [at for at in counts.tellers(said, meaning) if tells(said[at])]
        places = sorted({*number, *spoken[:SHOWN]}) or [0]
        return PhraseClaim(meaning, tuple(places), 0.0)

    def _by_shared_words(self) -> list[Claimed]:
        """Return what shares the most telling words with a line, in the rulebook's own texts."""
        places = range(len(self._words))
        said = [self._stems[at] for at in places if not self._words[at].idle]
        if all(self._words[at].denies or self._words[at].idle for at in places):
            return []
        vocabulary = self._meanings.vocabulary
        states = self._book.findings[self._asked].states if self._asked else ()
        asked = {Meaning(self._asked, state) for state in states}
        near = (asked and vocabulary.nearest(said, MOST, asked)) or vocabulary.nearest(
            said, 3 * MOST
        )
        numbers = {one: self._number_for(one, places) for one in near}
        return [
            PhraseClaim(one, (*numbers[one][:1], *places[: not numbers[one]]), 0.0)
            for one in near
            if one.state or numbers[one]
        ][:MOST]

    def _number_for(self, meaning: Meaning, places: Sequence[int]) -> list[int]:
        """Return where the numbers stand that a finding of numbers can take."""
        if meaning.state:
            return []
        finding = self._book.findings[meaning.finding]
        fits = [at for at in places if self._words[at].text in self._numbers]
        return [at for at in fits if self._numbers[self._words[at].text].value(finding) is not None]
