"""Where the record is at odds with what the rules say a cause shows: for the author to look at.

Counted are sessions in which one repair proved a cause, by the signs that were read before it. A
sign was read where it seemed worth reading, so the counts lean towards what the rules say already;
what is told is where they lie outside it all the same. Nothing here changes a rule.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diag.jobs.learning.beta import Beta
from diag.model.frozen import frozen
from diag.model.rulebook import Rulebook
from diag.reason.belief.links import Links, compile_links

LEAST_SEEN = 5
"""Of fewer looks than this nothing is told."""
SURE = 0.95


@frozen
class LinkSuggestion:
    """How often a sign stood so where a cause was proved, and how often by the rules."""

    cause: str
    sign: str
    state: str
    times: int
    looks: int
    rules: float
    """The chance of the state with this cause alone, by the rules, from 0 to 1."""
    here: Beta
    """The chance by the record alone, from Jeffreys' prior."""
    word: str
    """The word of the likelihood scale that is nearest to what was seen; empty for the state that
    is as it should be, which follows from the others."""

    @property
    def interval(self) -> tuple[float, float]:
        """Return between what ends the chance is."""
        return self.here.interval(SURE)


def link_suggestions(
    book: Rulebook, seen: Mapping[tuple[str, str], Mapping[str, int]], links: Links | None = None
) -> Iterator[LinkSuggestion]:
    """Yield the links whose word in the rules lies outside what was seen, in order of cause."""
    links = links or compile_links(book.signs, book.causes)
    for (cause, sign), counts in sorted(seen.items()):
        if cause not in links.cause_index or sign not in links.sign_index:
            continue
        table, looks = links.table(sign), sum(counts.values())
        given = table.given.get(links.cause_index[cause], table.leak_chances)
        if looks < LEAST_SEEN or not set(counts) <= set(table.states):
            continue
        for state, rules in zip(table.states, given, strict=True):
            times = counts.get(state, 0)
            here = Beta(times + 0.5, looks - times + 0.5)
            if not here.holds(rules, SURE):
                bad = state != table.states[0]
                word = _nearest(book.scales.likelihood, here.mean) if bad else ""
                yield LinkSuggestion(cause, sign, state, times, looks, rules, here, word)


def _nearest(words: Mapping[str, float], chance: float) -> str:
    return min(words, key=lambda word: (abs(words[word] - chance), word), default="")
