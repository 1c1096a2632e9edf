"""What a new entry may be called, where its file goes, and which words there are to choose from."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from diag.model.rulebook import NOWHERE, Rulebook
from diag.rulebook.build.entries import FREE, IN_CONDITIONS
from diag.rulebook.language.tokens import why_no_id

SECTIONS = {
    "cause": "causes", "finding": "findings", "check": "checks", "sign": "signs", "case": "cases",
    "lesson": "lessons",
}  # fmt: skip
"""Kind of entry to the section that holds it."""
OWN_FOLDER = frozenset(("case", "lesson"))
"""Kinds of entry that stand in a folder of their own, whatever their area."""
KEPT_FOLDERS = {
    "cases": "worked cases",
    "units": "units",
    "lessons": "lessons",
    "workshop": "numbers of the workshop",
}
"""Folders of rules that are no area, and what they hold."""
LONGEST = 80
DRAFT = "status: draft    # read by `diag rules check` only; take this line out when it is ready"


def refuse_name(rulebook: Rulebook, kind: str, name: str) -> None:
    """Raise `ValueError` for an id that cannot be one of this kind, or is taken."""
    section = SECTIONS[kind]
    if section in FREE:
        fits = 0 < len(name) <= LONGEST and name.isprintable() and file_name(name)
        why = "" if fits else f"it is one line of at most {LONGEST} characters with a letter in it"
        # A colon or a quotation mark would need quoting, which no fitter should have to know.
        why = why or ("it may not hold `: `, ` #` or begin with a mark" if _odd(name) else "")
    else:
        why = why_no_id(name, section in IN_CONDITIONS)
    if why:
        raise ValueError(f"`{name[:40]}` cannot be an id: {why}")
    shared = ("findings", "signs", "figures")
    for each in shared if section in shared else (section,):
        known: Mapping[str, object] = getattr(rulebook, each, {})
        if name in known:
            what = each.removesuffix("s")
            place = getattr(known[name], "place", NOWHERE)
            raise ValueError(f"there is a {what} `{name}` already, in {place}")


def area_of(rulebook: Rulebook, kind: str, area: str) -> str:
    """Return the folder of a new entry; `ValueError` for one that cannot be its area."""
    if kind in OWN_FOLDER:
        folder = SECTIONS[kind]
        if area not in ("", folder):
            raise ValueError(f"a {kind} needs no area: all {folder} stand in the folder `{folder}`")
        return folder
    known = ", ".join(f"`{one}`" for one in rulebook.areas)
    if area in KEPT_FOLDERS:
        held = KEPT_FOLDERS[area]
        raise ValueError(f"`{area}` cannot be an area: that folder holds {held}; known are {known}")
    if not all(part.isascii() and part.isalnum() for part in area.split("-")):
        raise ValueError(f"`{area[:40]}` cannot be an area; known are {known}")
    return area


def file_name(name: str) -> str:
    """Return the name of an entry's file, without its ending.

    >>> file_name("LIB-03 smokes, twice")
    'lib-03-smokes-twice'
    """
    return re.sub(r"[^a-z0-9']+", "-", name.lower()).strip("-'")


def word(scale: Mapping[str, float], wanted: float) -> str:
    """Return the word of a scale whose number lies nearest."""
    return min(scale, key=lambda each: abs(scale[each] - wanted))


def listed(words: Iterable[str]) -> str:
    """Return words side by side, for a comment."""
    return ", ".join(words)


def _odd(name: str) -> bool:
    return ": " in name or " #" in name or name.endswith(":") or not name[0].isalnum()
