"""Which of the claims on a line stand: the best first, each word and each number once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from diag.session.hearing.meanings import Claimed
from diag.session.hearing.words import Word, word_set

CLOSE = 0.92
"""Share of a claim's score from which another on the same words may be meant as well."""
COVERED = 0.5
"""Share of its words from which a claim is no more than a part of better ones."""
FEW = 2
"""Words of a claim that must all be its own."""

CROSSING = 0.8
"""What a claim counts for each clause that it goes on into."""
TURNING = 0.6
"""What it counts for each `and it` in it, behind which something else may be told of."""
STRAYING = 0.5
"""What a claim on an amount counts that goes on to the words of a later one."""
_SUBJECTS = word_set("it he she they i we")


def crossed(words: Sequence[Word], places: Sequence[int], amounts: Collection[int]) -> float:
    """Return what a claim told by the words at some places counts, for where it goes on into.

    `amounts` are the places of amounts: what is said beside a later one belongs to that.
    """
    within = words[places[0] : places[-1] + 1]
    ended = within[-1].clause - within[0].clause
    pairs = pairwise(one.text for one in within)
    turns = sum(one == "and" and after in _SUBJECTS for one, after in pairs)
    own = [words[at].clause for at in places if at in amounts]
    later = {words[at].clause for at in amounts} - set(own)
    strays = bool(own) and any(words[at].clause in later for at in places if at > places[0])
    strays = strays and within[-1].clause > max(own)
    return float(CROSSING**ended * TURNING**turns * (STRAYING if strays else 1.0))


def at_home(
    claims: Sequence[Claimed], words: Sequence[Word], amounts: Mapping[int, bool]
) -> list[Claimed]:
    """Return claims without those that take an amount from what stands beside it.

    `amounts` are the places of amounts, and whether each has a unit. An amount stays on its side of
    an `and`, where something is named there or it has no unit; and of a comma, where a claim tells
    of it there. In `12.6 at this end and that one is cold` nothing is said of that one.
    """
    homes = _Homes(words, amounts, _sides(words))
    shares = [homes.share(one) for one in claims]
    for one, share in zip(claims, shares, strict=True):
        at = homes.amount(one)
        homes.best[at] = max(homes.best.get(at, 0.0), share)
    return [one for one, share in zip(claims, shares, strict=True) if homes.holds(one, share)]


def _sides(words: Sequence[Word]) -> list[tuple[int, int]]:
    """Return the clause of each word, and how many `and` stand before it; the one of a `between`
    parts nothing."""
    found, side, joins = list[tuple[int, int]](), 0, False
    for word in words:
        joins = (joins or word.text == "between") and bool(found and found[-1][0] == word.clause)
        if word.text == "and":
            side, joins = side + (not joins), False
        found.append((word.clause, side))
    return found


@dataclass(slots=True)
class _Homes:
    """A line's amounts, each on its side of every `and` and of every end of a clause."""

    words: Sequence[Word]
    amounts: Mapping[int, bool]
    sides: Sequence[tuple[int, int]]
    best: dict[int, float] = field(default_factory=dict)
    """To an amount the largest share of a claim's words that stand on its side."""

    def amount(self, claim: Claimed) -> int:
        """Return where the amount of a claim stands; -1 for none."""
        return next((at for at in claim.places if at in self.amounts), -1)

    def share(self, claim: Claimed) -> float:
        """Return the share of a claim's words that stand on the side of its amount."""
        others = [at for at in claim.places if at not in self.amounts]
        own = self.sides[self.amount(claim)]
        return sum(self.sides[at] == own for at in others) / len(others) if others else 1.0

    def holds(self, claim: Claimed, share: float) -> bool:
        """Return whether a claim may have its amount, with such a share of its words at home."""
        at = self.amount(claim)
        if at < 0 or share == 1.0:
            return True
        beyond = any(self.sides[one][1] != self.sides[at][1] for one in claim.places)
        if share:
            return self.amounts[at] or not beyond or self.best[at] < 1.0
        if self.best[at]:
            return False
        return not beyond or (self.amounts[at] and not self._names_something(at))

    def _names_something(self, at: int) -> bool:
        """Return whether a word that tells something stands on the side of an amount."""
        return any(
            self.sides[one] == self.sides[at]
            and one not in self.amounts
            and not (word.idle or word.denies)
            for one, word in enumerate(self.words)
        )


@dataclass(slots=True)
class Picked:
    """The claims that stand, best first."""

    accepted: list[Claimed] = field(default_factory=list)
    rivals: dict[Claimed, list[Claimed]] = field(default_factory=dict)
    """To one that stands, others on the same words that come close."""
    torn: list[tuple[Claimed, Claimed]] = field(default_factory=list)
    """Pairs that say different things of one finding, or two numbers, which may be the same."""


def stand_out(
    claims: Iterable[Claimed],
    words: Sequence[Word],
    amounts: Collection[int],
) -> Picked:
    """Return which claims on a line's words stand; `amounts` are the places of amounts.

    A claim is dropped where better ones have its number, or say what it says.
    """
    picking = _Picking(words, amounts)
    for claim in sorted(claims, key=lambda one: (-one.score, one.places, one.meaning)):
        picking.take(claim)
    for one, beside in picking.picked.rivals.items():
        mine = set(one.places)
        held = picking.held.keys()
        beside[:] = [other for other in beside if mine.issuperset(held & other.places)]
    return picking.picked


@dataclass(slots=True)
class _Picking:
    """Claims taken in one by one, best first."""

    words: Sequence[Word]
    amounts: Collection[int]
    picked: Picked = field(default_factory=Picked)
    held: dict[int, Claimed] = field(default_factory=dict)
    """Where a word stands, to the claim that it tells of."""
    about: dict[tuple[str, str], Claimed] = field(default_factory=dict)
    """A finding, or a complaint, to the claim on it that stands."""
    beside_numbers: set[int] = field(default_factory=set)
    """Where words stand that tell of an amount, which may tell of something else as well."""

    def take(self, claim: Claimed) -> None:
        shared = [at for at in claim.places if at in self.held]
        key = (claim.meaning.finding, "" if claim.meaning.finding else claim.meaning.state)
        taken = any(at in self.amounts for at in shared)
        own = not taken and any(at in self.amounts for at in claim.places)
        if taken or (self._is_said(claim, shared) and not own):
            _set_beside(self.picked, claim, [self.held[at] for at in shared])
        elif key not in self.about:
            self.picked.accepted.append(claim)
            self.about[key] = claim
            if own:
                self.beside_numbers.update(at for at in claim.places if at not in self.held)
            self._hold(claim.places, claim)
        elif claim.meaning == self.about[key].meaning and not own:
            self._hold(claim.places, self.about[key])  # said again: nothing else is heard in it
        elif _contradicts(claim, self.about[key], self.amounts):
            self.picked.torn.append((self.about[key], claim))

    def _hold(self, places: Iterable[int], claim: Claimed) -> None:
        for at in places:
            self.held.setdefault(at, claim)

    def _is_said(self, claim: Claimed, shared: Sequence[int]) -> bool:
        """Return whether better claims say what a claim says."""
        if not claim.meaning.finding:
            return self._is_part(claim, shared) or any(
                self._outweighs(one, claim) for one in self.picked.accepted
            )
        if not self._is_part(claim, shared) or self._goes_on(claim, shared):
            return False
        return len(shared) != 1 or not self._says_alike(claim, self.held[shared[0]])

    def _is_part(self, claim: Claimed, shared: Sequence[int]) -> bool:
        """Return whether better claims have most of a claim's words, or all that tells in them.

        Words beside an amount may tell of something else as well; a complaint is said by words of
        its own where a state is told of.
        """
        firm = [at for at in shared if at not in self.beside_numbers]
        whole = claim.meaning.finding and len(shared) == len(claim.places)
        if whole or len(firm) >= COVERED * len(claim.places):
            return True
        if claim.meaning.finding:
            spanned = range(claim.places[0], claim.places[-1])
            around = len(claim.places) <= FEW + 1 and any(at in self.amounts for at in spanned)
            return bool(shared) and (len(claim.places) <= FEW or around)
        told = [self.held[at].meaning for at in firm]
        return any(one.state and one.finding for one in told)

    def _goes_on(self, claim: Claimed, shared: Sequence[int]) -> bool:
        """Return whether a claim says in a later clause more of what was named beside an amount,
        as in `fuse 15 A, blown`."""
        own = [self.words[at].clause for at in claim.places if at not in shared]
        named = [self.words[at].clause for at in shared]
        beside = self.beside_numbers.issuperset(shared)
        return beside and bool(own and named) and max(named) < min(own)

    def _says_alike(self, claim: Claimed, other: Claimed) -> bool:
        """Return whether two claims share one word that is said of both their things, as in `fuse
        and isolator are fine`."""
        if not (claim.meaning.state and other.meaning.state and other.meaning.finding):
            return False
        own = sorted(set(claim.places) - set(other.places))
        beside = sorted(set(other.places) - set(claim.places))
        if not own or not beside or claim.meaning.finding == other.meaning.finding:
            return False
        return self._joined(own[-1], beside[0]) or self._joined(beside[-1], own[0])

    def _outweighs(self, better: Claimed, claim: Claimed) -> bool:
        """Return whether a better claim on a finding leaves no complaint in what it is told by.

        Where a clause tells of a finding's state, one word more is no complaint, unless an `and`
        adds it; nor are words among those of a finding, not all of them its own.
        """
        first, last = claim.places[0], claim.places[-1]
        clauses = {self.words[at].clause for at in better.places}
        if not better.meaning.finding or self.words[first].clause not in clauses:
            return False
        if len(claim.places) == 1:
            return bool(better.meaning.state) and not self._joined(last, better.places[0])
        among = better.places[0] < last and first < better.places[-1]
        return among and not set(claim.places) <= set(better.places)

    def _joined(self, first: int, second: int) -> bool:
        """Return whether nothing but an `and` stands between two words."""
        between = self.words[first + 1 : second]
        return any(one.text == "and" for one in between) and all(one.idle for one in between)


def _set_beside(picked: Picked, claim: Claimed, better: Sequence[Claimed]) -> None:
    """Keep a claim that comes close to one that stands, unless both are told by it."""
    for one in dict.fromkeys(better):
        beside = picked.rivals.setdefault(one, [])
        known = [one.meaning, *(other.meaning for other in beside)]
        if claim.score >= CLOSE * one.score and claim.meaning not in known:
            beside.append(claim)


def _contradicts(claim: Claimed, other: Claimed, amounts: Collection[int]) -> bool:
    """Return whether two claims on one finding say different things, as clearly as each other."""
    if not set(claim.places).isdisjoint(other.places):
        return False
    if claim.score < CLOSE * other.score:
        return False
    return claim.meaning != other.meaning or any(at in amounts for at in claim.places)
