"""Which of the claims on a line stand: the best first, each word and each number once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from diag.session.hearing.listening import PhraseClaim
from diag.session.hearing.meanings import Meaning
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
_SUBJECTS = word_set("it he she they i we")


def crossed(words: Sequence[Word], places: Sequence[int]) -> float:
    """Return what a claim told by the words at some places counts, for where it goes on into."""
    within = words[places[0] : places[-1] + 1]
    ended = within[-1].clause - within[0].clause
    pairs = pairwise(one.text for one in within)
    turns = sum(one == "and" and after in _SUBJECTS for one, after in pairs)
    return float(CROSSING**ended * TURNING**turns)


@dataclass(slots=True)
class Picked:
    """The claims that stand, best first."""

    accepted: list[PhraseClaim[Meaning]] = field(default_factory=list)
    rivals: dict[PhraseClaim[Meaning], list[PhraseClaim[Meaning]]] = field(default_factory=dict)
    """To one that stands, others on the same words that come close."""
    torn: list[tuple[PhraseClaim[Meaning], PhraseClaim[Meaning]]] = field(default_factory=list)
    """Pairs that say different things of one finding, or two numbers, which may be the same."""


def stand_out(
    claims: Iterable[PhraseClaim[Meaning]],
    is_number: Callable[[int], bool],
    clauses: Sequence[int],
    joined: Callable[[int, int], bool],
) -> Picked:
    """Return which claims stand; `is_number` says of a place whether it is an amount, `clauses` in
    which clause each is, and `joined` whether an `and` joins two.

    A claim is dropped where better ones have its number, or most of its words, unless both say
    the same of two things: `fuse and isolator are fine`.
    """
    picked, held = Picked(), dict[int, PhraseClaim[Meaning]]()
    beside_numbers = set[int]()
    about: dict[tuple[str, str], PhraseClaim[Meaning]] = {}
    for claim in sorted(claims, key=lambda one: (-one.score, one.places, one.meaning)):
        shared = [at for at in claim.places if at in held]
        key = (claim.meaning.finding, "" if claim.meaning.finding else claim.meaning.state)
        taken = any(is_number(at) for at in shared)
        own = not taken and any(map(is_number, claim.places))
        part = _is_part(
            claim, shared, [at for at in shared if at in beside_numbers], held, is_number
        )
        if part and claim.meaning.finding and beside_numbers.issuperset(shared):
            part = not _goes_on(claim, shared, clauses)
        if part and len(shared) == 1:
            part = not _says_alike(claim, held[shared[0]], joined)
        if not claim.meaning.finding:
            part = part or any(_outweighs(one, claim, clauses, joined) for one in picked.accepted)
        if taken or (part and not own):
            _set_beside(picked, claim, [held[at] for at in shared])
        elif key not in about:
            picked.accepted.append(claim)
            about[key] = claim
            if own:
                beside_numbers.update(at for at in claim.places if at not in held)
            for at in claim.places:
                held.setdefault(at, claim)
        elif claim.meaning == about[key].meaning and not own:
            for at in claim.places:  # said once more, so that nothing else is heard in these words
                held.setdefault(at, about[key])
        elif _contradicts(claim, about[key], is_number):
            picked.torn.append((about[key], claim))
    for one, beside in picked.rivals.items():
        mine = set(one.places)
        beside[:] = [other for other in beside if mine.issuperset(held.keys() & other.places)]
    return picked


def _goes_on(claim: PhraseClaim[Meaning], shared: Sequence[int], clauses: Sequence[int]) -> bool:
    """Return whether a claim says in a later clause more of what was named beside an amount, as in
    `fuse 15 A, blown`."""
    own = [at for at in claim.places if at not in shared]
    return bool(own) and max(clauses[at] for at in shared) < min(clauses[at] for at in own)


def _says_alike(
    claim: PhraseClaim[Meaning],
    other: PhraseClaim[Meaning],
    joined: Callable[[int, int], bool],
) -> bool:
    """Return whether two claims on findings share one word, which is said of both their things."""
    if not (claim.meaning.state and other.meaning.state and claim.meaning.finding):
        return False
    own = sorted(set(claim.places) - set(other.places))
    beside = sorted(set(other.places) - set(claim.places))
    if not own or not beside or claim.meaning.finding == other.meaning.finding:
        return False
    return joined(own[-1], beside[0]) or joined(beside[-1], own[0])


def _outweighs(
    better: PhraseClaim[Meaning],
    claim: PhraseClaim[Meaning],
    clauses: Sequence[int],
    joined: Callable[[int, int], bool],
) -> bool:
    """Return whether a better claim on a finding leaves no complaint in what it is told by.

    Where a clause tells of a finding's state, one word more is no complaint, unless an `and` adds
    it; nor are words among those of a finding, not all of them its own.
    """
    first, last = claim.places[0], claim.places[-1]
    if not better.meaning.finding or clauses[first] not in {clauses[at] for at in better.places}:
        return False
    if len(claim.places) == 1:
        added = joined(last, better.places[0])
        return bool(better.meaning.state) and not added
    among = better.places[0] < last and first < better.places[-1]
    return among and not set(claim.places) <= set(better.places)


def _is_part(
    claim: PhraseClaim[Meaning],
    shared: Sequence[int],
    beside_numbers: Sequence[int],
    held: Mapping[int, PhraseClaim[Meaning]],
    is_number: Callable[[int], bool],
) -> bool:
    """Return whether better claims say what a claim says.

    Words beside an amount may tell of something else as well; a complaint is said by words of its
    own where a state is told of.
    """
    firm = [at for at in shared if at not in beside_numbers]
    if len(firm) >= COVERED * len(claim.places):
        return True
    if claim.meaning.finding:
        spanned = range(claim.places[0], claim.places[-1])
        around = len(claim.places) <= FEW + 1 and any(map(is_number, spanned))
        return bool(shared) and (len(claim.places) <= FEW or around)
    return any(held[at].meaning.state and held[at].meaning.finding for at in firm)


def _set_beside(
    picked: Picked, claim: PhraseClaim[Meaning], better: Sequence[PhraseClaim[Meaning]]
) -> None:
    """Keep a claim that comes close to one that stands, unless both are told by it."""
    for one in dict.fromkeys(better):
        beside = picked.rivals.setdefault(one, [])
        known = [one.meaning, *(other.meaning for other in beside)]
        if claim.score >= CLOSE * one.score and claim.meaning not in known:
            beside.append(claim)


def _contradicts(
    claim: PhraseClaim[Meaning], other: PhraseClaim[Meaning], is_number: Callable[[int], bool]
) -> bool:
    """Return whether two claims on one finding say different things, as clearly as each other."""
    if not set(claim.places).isdisjoint(other.places):
        return False
    if claim.score < CLOSE * other.score:
        return False
    return claim.meaning != other.meaning or any(map(is_number, claim.places))
