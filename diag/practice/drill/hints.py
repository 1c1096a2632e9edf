"""Hints by degrees: the family, the check that splits best, what a reading means, the answer.

What splits the field best is the check that is expected to tell the most bits for its minutes
(`diag/reason/belief/information.py`), beside what the plan would do, which may be to repair.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from diag.model.frozen import frozen
from diag.model.phrasing import capital, in_a_row, small
from diag.model.rulebook import Check
from diag.practice.drill.levels import families_of
from diag.practice.wording import titles
from diag.reason.belief.grades import in_words
from diag.reason.belief.information import Ranker, entropy
from diag.reason.belief.posterior import Posterior
from diag.reason.belief.weigh import weigh
from diag.reason.plan.costs import minutes_of
from diag.session.candidates import candidate_checks
from diag.session.journal.events import Answered, flat
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, AskTogether, ProposeRepair
from diag.session.result import told_fact
from diag.session.state import SessionState

if TYPE_CHECKING:  # a drill gives its hints by this
    from diag.practice.drill.drill import Drill

FAMILY, SPLIT, MEANING, ANSWER = 1, 2, 3, 4
LEAST_BITS = 0.02
LEAST_MINUTES = 5.0
"""What a check counts at least when bits are set against minutes: to begin one takes time; memory.
"""
MOST_NAMED = 3
BITS_IN_WORDS = "One bit is what a yes or no tells when both were as likely."


@frozen
class Split:
    """The check that would split what is still in question best for its minutes."""

    check: Check
    bits: float
    open_bits: float
    """How much there is to be told, in bits."""
    minutes: float
    leading: tuple[str, ...]
    """The titles of the leading causes, the first first."""
    parted: tuple[str, str] | None
    """The title of the likeliest cause that it tells of, and of the likeliest that it does not."""

    def __str__(self) -> str:
        said = (
            f"`{self.check.id}` ({self.minutes:.0f} min), expected to tell {self.bits:.1f} of the "
            f"{self.open_bits:.1f} bits still open"
        )
        if self.parted is None:
            return said
        return f"{said}: it tells {small(self.parted[0])} from {small(self.parted[1])}"


def best_split(state: SessionState, opened: frozenset[str]) -> Split | None:
    """Return the check of most expected bits for its minutes; None where none tells anything.

    A check counts with the sign that tells most: what its others add is left out.
    """
    offers = candidate_checks(state)
    signs = {sign for offer in offers for sign in offer.signs}
    ranker = Ranker(state.start.links, {s: r for o in offers for s, r in o.signs.items()})
    gains = ranker.gains(state.posterior, [s for s in ranker.rows if s in signs])
    ranked = []
    for offer in offers:
        bits, sign = max(((gains.get(sign, 0.0), sign) for sign in offer.signs), default=(0.0, ""))
        spent = minutes_of(state.rulebook, [offer.check.id], opened)
        if bits >= LEAST_BITS:
            ranked.append((bits / max(spent, LEAST_MINUTES), bits, spent, offer.check.id, sign))
    if not ranked:
        return None
    _, bits, spent, name, sign = max(ranked)
    causes = state.rulebook.causes
    leading = tuple(causes[cause].title for cause, _ in state.posterior.ranking[:MOST_NAMED])
    check = state.rulebook.checks[name]
    return Split(check, bits, open_bits(state.posterior), spent, leading, _parted(state, sign))


def _parted(state: SessionState, sign: str) -> tuple[str, str] | None:
    """Return the titles of the likeliest cause that shows a sign, and of the likeliest other."""
    causes = [state.rulebook.causes[name] for name, _ in state.posterior.ranking]
    showing = [one.title for one in causes if sign in one.shows]
    others = [one.title for one in causes if sign not in one.shows]
    return (showing[0], others[0]) if showing and others else None


def open_bits(posterior: Posterior) -> float:
    """Return how much is still in question, in bits."""
    pairs = posterior.pair.values()
    return entropy([*posterior.single, *pairs, posterior.nothing, posterior.unknown])


def hint(drill: Drill) -> tuple[int, tuple[str, ...]]:
    """Return the next hint with its degree: one further than the last, if nothing came between."""
    first = SPLIT if drill.hint_degree else FAMILY
    degree = min(ANSWER, drill.last_hint + 1) if drill.last_hint else first
    return degree, tuple(_TELL[degree](drill))


def _family(drill: Drill) -> Iterator[str]:
    families = dict.fromkeys(family for family, _ in families_of(drill.book, drill.unit.truths))
    if not drill.unit.truths:
        yield "Look at how it is used before you look for a fault in it."
    else:
        yield f"What is wrong lies with: {in_a_row(families)}."
    posterior = drill.state.posterior
    shares = {"nothing wrong": posterior.nothing}
    for cause, share in posterior.ranking:
        area = drill.book.causes[cause].area
        shares[area] = shares.get(area, 0.0) + share
    first, second = sorted(shares, key=lambda name: -shares[name])[:2]
    yield (
        f"By your readings so far `{first}` leads with {100 * shares[first]:.0f} in 100, before "
        f"`{second}` with {100 * shares[second]:.0f}."
    )


def _split(drill: Drill) -> Iterator[str]:
    found = best_split(drill.state, drill.work.opened)
    if found is None:
        yield "No check is left that would tell apart what is still in question."
    else:
        yield f"By your readings, now {found}. {BITS_IN_WORDS}"
        yield f"In the lead are {in_a_row(map(small, found.leading))}."
        yield found.check.do
    prompt = next_prompt(drill.state)
    if isinstance(prompt, AskFinding | AskTogether) and prompt.check is not None:
        yield f"The shortest way by the rules goes on with: {prompt.check.id}."
    elif isinstance(prompt, ProposeRepair):
        yield f"By the rules enough is known to repair: {prompt.cause.title}."


def _meaning(drill: Drill) -> Iterator[str]:
    events = [each for step in drill.steps for event in step.events for each in flat(event)]
    read = [each.finding for each in events if isinstance(each, Answered)]
    if not read:
        yield "Nothing is read yet. Begin with a look round for danger, then watch one start."
        return
    yield from meaning_of(drill.state, read[-1])


def meaning_of(state: SessionState, finding: str) -> Iterator[str]:
    """Yield what a reading means by the rules, and what it speaks for."""
    told = False
    for fact in state.chain.facts:
        supports = state.chain.supports(fact)
        if fact.kind != "sign" or not any(finding in state.under(s.used) for s in supports):
            continue
        told = True
        why = next((s.rule.why for s in supports if s.rule.why), "")
        yield f"{capital(told_fact(state, fact))}{': ' + why if why else ''}."
        yield from _speaks_for(state, fact.name)
    if not told and finding in state.rulebook.signs:
        yield from _speaks_for(state, finding)
        told = True
    if not told:
        yield f"By itself `{finding}` settles nothing yet."


def _speaks_for(state: SessionState, sign: str) -> Iterator[str]:
    """Yield which of the leading causes a sign speaks for most, and against, and how strongly."""
    weights = {
        name: weight.decibans
        for name, _ in state.posterior.ranking[:12]
        for weight in weigh(state.belief, name)
        if weight.kind == "sign" and weight.name == sign
    }
    if not weights:
        return
    best, worst = max(weights, key=weights.__getitem__), min(weights, key=weights.__getitem__)
    causes = state.rulebook.causes
    if weights[best] > 0.0:
        yield f"It speaks {in_words(weights[best])} {titles([causes[best]])}."
    if weights[worst] < 0.0:
        yield f"It speaks {in_words(weights[worst])} {titles([causes[worst]])}."


def _answer(drill: Drill) -> Iterator[str]:
    if not drill.unit.truths:
        yield "Nothing is wrong with it: `call nothing wrong`."
        return
    for _, cause in families_of(drill.book, drill.unit.truths):
        yield f"{drill.book.causes[cause].title}: `call {cause}`."


_TELL = {FAMILY: _family, SPLIT: _split, MEANING: _meaning, ANSWER: _answer}
