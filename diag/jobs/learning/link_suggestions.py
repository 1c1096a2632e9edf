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
    """The word of the likelihood scale that is nearest to what was seen."""

    @property
    def is_outside(self) -> bool:
        """Tell whether the rules' word lies outside what was seen."""
        return not self.here.holds(self.rules, SURE)


def links_seen(
    book: Rulebook, seen: Mapping[tuple[str, str], Mapping[str, int]], links: Links | None = None
) -> Iterator[LinkSuggestion]:
    """Yield each state that the rules say a cause shows, with what was seen, in order of cause.

    Only where it was looked at often enough; of so many, one in twenty lies outside by chance.
    """
    links = links or compile_links(book.signs, book.causes)
    for (name, sign), counts in sorted(seen.items()):
        cause, looks = book.causes.get(name), sum(counts.values())
        if cause is None or sign not in links.sign_index or looks < LEAST_SEEN:
            continue
        table = links.table(sign)
        given = dict(zip(table.states, table.given.get(links.cause_index[name], ()), strict=False))
        for state in cause.shows.get(sign, {}):
            if state in given:
                times = counts.get(state, 0)
                here = Beta(times + 0.5, looks - times + 0.5)
                word = _nearest(book.scales.likelihood, here.mean)
                yield LinkSuggestion(name, sign, state, times, looks, given[state], here, word)


def _nearest(words: Mapping[str, float], chance: float) -> str:
    return min(words, key=lambda word: (abs(words[word] - chance), word), default="")
