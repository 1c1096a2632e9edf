"""What people say of where they are and which tools they have, read to the event that it is."""

from __future__ import annotations

import re

from diag.model.rulebook import Rulebook
from diag.session.journal.events import Equipped
from diag.session.offer.reach import AtHand
from diag.session.slips import NotUnderstood

_PARTS = re.compile(r"\s*[,;]\s*|\s+and\s+")
_DENIED = re.compile(
    r"(?:(?:cannot|skip)[,:;]? )?(?:(?:i|we) )?(?:(?:have|has|got|there is|there's) )?"
    r"(?:no|without|lacking|missing) (?:(?:a|an|the|any) )?(.{1,60})"
)
_TAILS = (" here", " now", " with me", " at hand")


def begin(rulebook: Rulebook, profile: str, without: str = "") -> Equipped:
    """Return who works where, by a profile's name, and its tools but those that are not there.

    Raises `NotUnderstood` for names that there are not; an empty profile has everything.
    """
    now = AtHand(rulebook)
    if profile:
        now = AtHand(rulebook, _here(rulebook, profile))
    if without:
        return change(rulebook, now, "without", without)
    return Equipped(now.here.id, now.here.tools)


def change(rulebook: Rulebook, reach: AtHand, word: str, said: str) -> Equipped:
    """Return what is at hand after `here PROFILE`, `with TOOLS` or `without TOOLS`.

    Raises `NotUnderstood` with the nearest names for one that there is not.
    """
    if word == "here":
        return _here(rulebook, said)
    named = [_tool(rulebook, one) for one in _PARTS.split(_plain(said)) if one]
    if not named:
        raise NotUnderstood(f"write the tool behind it: {word} TOOL")
    held = set(reach.here.tools)
    held = held | set(named) if word == "with" else held - set(named)
    return Equipped(reach.here.id, tuple(sorted(held)))


def told_at_hand(rulebook: Rulebook, reach: AtHand, line: str) -> Equipped | None:
    """Return what a line tells of tools and places in other words; None where it tells nothing."""
    text = _plain(line)
    for name, profile in rulebook.profiles.items():
        if text in map(_plain, profile.words):
            return _here(rulebook, name)
    found = _DENIED.fullmatch(text)
    tool = found[1] if found else ""
    for tail in _TAILS:
        tool = tool.removesuffix(tail)
    if tool not in rulebook.tools:
        return None
    return change(rulebook, reach, "without", tool)


def _plain(text: str) -> str:
    return " ".join(text.lower().split()).rstrip(".!")


def _here(rulebook: Rulebook, said: str) -> Equipped:
    name = _plain(said)
    if name not in rulebook.profiles:
        known = ", ".join(f"`{one}`" for one in rulebook.profiles)
        hint = f"known are {known}" if known else "these rules have none"
        raise NotUnderstood(f"there is no profile `{name[:40]}`; {hint}")
    return Equipped(name, tuple(sorted(rulebook.profiles[name].tools)))


def _tool(rulebook: Rulebook, said: str) -> str:
    """Return a tool by its name; `NotUnderstood` with the nearest names for what is none."""
    if said in rulebook.tools:
        return said
    from difflib import get_close_matches

    named = {word: tool for tool in rulebook.tools for word in (tool, *tool.split())}
    close = get_close_matches(said[:60], named, n=3)
    holding = [tool for tool in rulebook.tools if said in tool.split()]
    near = tuple(dict.fromkeys([*holding, *map(named.__getitem__, close)]))[:3]
    hint = f"; near it are {', '.join(f'`{one}`' for one in near)}" if near else ""
    raise NotUnderstood(f"no check knows the tool `{said[:40]}`{hint or '; `tools` lists them'}")
