"""Who the judge's player is: the rules' own profiles, said to the session as a user says them.

What is not to be had there is not offered, so the session itself is judged, and not only what is
passed over. At the bench, without vehicle or owner, stand units whose fault can be mended there.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from diag.model.rulebook import Rulebook
from diag.session.journal.events import Equipped
from diag.session.offer.reach import AtHand

PROFILES = ("workshop", "vehicle", "bench", "phone")


def at_hand(name: str, book: Rulebook) -> Equipped:
    """Return what a player of a profile says first: where he is, and all the tools of the place.

    A workshop with all its tools is what a session has of which nothing is said.
    """
    place = book.profiles[name]
    return Equipped(name, tuple(sorted(place.tools)))


def comes_there(name: str, book: Rulebook, truths: Iterable[Collection[str]]) -> bool:
    """Say whether a unit with these faults comes to a place: to the bench only what it mends."""
    if name != "bench":
        return True
    reach = AtHand(book, at_hand(name, book))
    return all(any(reach.makes(book.causes[one].repair) for one in truth) for truth in truths)
