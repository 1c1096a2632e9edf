"""Which of the claims on a line stand: the best first, each word and each number once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from diag.session.hearing.listening import Claim
from diag.session.hearing.meanings import Meaning

CLOSE = 0.92
"""Share of a claim's score from which another on the same words may be meant as well."""
COVERED = 0.5
"""Share of its words from which a claim is no more than a part of better ones."""


@dataclass(slots=True)
class Picked:
    """The claims that stand, best first."""

    accepted: list[Claim[Meaning]] = field(default_factory=list)
    rivals: dict[Claim[Meaning], list[Claim[Meaning]]] = field(default_factory=dict)
    """To one that stands, others on the same words that come close."""
    torn: tuple[Claim[Meaning], Claim[Meaning]] | None = None
    """Two that say different things of one finding."""


def pick(claims: Iterable[Claim[Meaning]], is_number: Callable[[int], bool]) -> Picked:
    """Return which claims stand; `is_number` says of a place whether it is an amount.

    A claim is dropped where better ones have its number, or most of its words.
    """
    picked, held = Picked(), dict[int, Claim[Meaning]]()
    beside_numbers = set[int]()
    about: dict[tuple[str, str], Claim[Meaning]] = {}
    for claim in sorted(claims, key=lambda one: (-one.score, one.places, one.meaning)):
        shared = [at for at in claim.places if at in held]
        key = (claim.meaning.finding, "" if claim.meaning.finding else claim.meaning.state)
        taken = any(is_number(at) for at in shared)
        own = not taken and any(map(is_number, claim.places))
        firm = [at for at in shared if at not in beside_numbers]
        part = len(firm) >= COVERED * len(claim.places) or len(shared) == len(claim.places) <= 2
        if taken or (part and not own):
            _set_beside(picked, claim, [held[at] for at in shared])
        elif key not in about:
            picked.accepted.append(claim)
            about[key] = claim
            if own:
                beside_numbers.update(at for at in claim.places if at not in held)
            for at in claim.places:
                held.setdefault(at, claim)
        elif _contradicts(claim, about[key], is_number) and picked.torn is None:
            picked.torn = (about[key], claim)
    for one, beside in picked.rivals.items():
        own = set(one.places)
        beside[:] = [other for other in beside if own.issuperset(held.keys() & other.places)]
    return picked


def _set_beside(picked: Picked, claim: Claim[Meaning], better: Sequence[Claim[Meaning]]) -> None:
    """Keep a claim that comes close to one that stands, unless both are told by it."""
    for one in dict.fromkeys(better):
        beside = picked.rivals.setdefault(one, [])
        known = [one.meaning, *(other.meaning for other in beside)]
        if claim.score >= CLOSE * one.score and claim.meaning not in known:
            beside.append(claim)


def _contradicts(
    claim: Claim[Meaning], other: Claim[Meaning], is_number: Callable[[int], bool]
) -> bool:
    """Return whether two claims on one finding say different things, as clearly as each other."""
    if not set(claim.places).isdisjoint(other.places):
        return False
    if claim.score < CLOSE * other.score:
        return False
    return claim.meaning != other.meaning or any(map(is_number, claim.places))
