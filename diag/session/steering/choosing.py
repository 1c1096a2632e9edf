"""Another check than the plan's, as the user names it, and why it cannot be made now."""

from __future__ import annotations

from collections.abc import Iterable

from diag.model.expression import written
from diag.model.rulebook import Check, Finding
from diag.session.candidates import can_be_done, check_of, due
from diag.session.slips import NotUnderstood
from diag.session.state import SessionState

IDLE = frozenset({"a", "an", "the", "at", "of", "in", "on", "to", "with", "for", "check", "now"})
LEAST = 3
"""Letters from which on the beginning of a word stands for it."""
MOST = 3


def check_named(state: SessionState, said: str) -> Check:
    """Return the check that is meant, by its name, by a reading that it takes, or by some words.

    Raises `NotUnderstood` with the nearest names where it is none, or one of several.
    """
    book, name = state.rulebook, " ".join(said.lower().split())
    if not name:
        raise NotUnderstood("write the check behind it: do CHECK; `next 3` shows what is coming")
    if name in book.checks:
        return book.checks[name]
    finding = _finding(book.findings.values(), name)
    check = check_of(state, finding.id) if finding else None
    found = (check,) if check else _by_words(book.checks.values(), name)
    able = [one for one in found if not why_not_now(state, one)]
    if len(found) > 1 and len(able) == 1:
        return able[0]
    if len(found) == 1:
        return found[0]
    raise NotUnderstood(_which(name, able or list(found), book.checks))


def _finding(findings: Iterable[Finding], name: str) -> Finding | None:
    return next((one for one in findings if name in (one.id, *one.words)), None)


def _by_words(checks: Iterable[Check], name: str) -> tuple[Check, ...]:
    wanted = [word for word in name.split() if word not in IDLE]
    if not wanted:
        return ()
    return tuple(one for one in checks if all(_begins(word, one.id.split()) for word in wanted))


def _begins(word: str, words: Iterable[str]) -> bool:
    return any(one == word or (len(word) >= LEAST and one.startswith(word)) for one in words)


def _which(name: str, found: list[Check], known: Iterable[str]) -> str:
    if found:
        names = [one.id for one in found]
        more = f" and {len(names) - MOST} more" if len(names) > MOST else ""
        listed = ", ".join(f"`{one}`" for one in names[:MOST])
        return f"`{name[:40]}` may be {listed}{more}; write more of its name"
    from difflib import get_close_matches

    near = ", ".join(f"`{one}`" for one in get_close_matches(name[:60], known, n=MOST))
    hint = f"near it are {near}" if near else "`next 3` shows what is coming"
    return f"there is no check `{name[:40]}`; {hint}"


def why_not_now(state: SessionState, check: Check) -> str:
    """Return in a sentence why a check cannot be made now; empty where it can."""
    for name in state.dangers.held:
        danger = state.rulebook.dangers[name]
        acts = [act for act in check.acts if act in danger.forbids]
        if acts:
            return (
                f"`{check.id}` is forbidden while this danger holds: {danger.title} "
                f"({', '.join(acts)}); work may go on when: {danger.resume_when}"
            )
    if missing := _missing(state, check):
        names = ", ".join(f"`{one}`" for one in missing)
        return f"`{check.id}` is not within reach: it wants {names}; `tools` shows what is here"
    if check.possible_when is not None and not can_be_done(state, check):
        wants = written(check.possible_when)
        return f"`{check.id}` tells nothing as things stand: it wants `{wants}`"
    if check.held_back:
        return f"`{check.id}` waits for a danger, and there for all other looks"
    unread = [name for name in check.yields if _unread(state, name)]
    if not unread:
        return f"`{check.id}` is read already; `change FINDING = ANSWER` corrects a reading"
    if not due(state, [state.rulebook.findings[name] for name in unread]):
        return f"what `{check.id}` asks makes no sense yet; it waits for other readings"
    return ""


def _unread(state: SessionState, finding: str) -> bool:
    return finding not in state.readings or finding in state.renewable


def _missing(state: SessionState, check: Check) -> list[str]:
    """Return what is not here and is wanted for every reading of a check."""
    reach = state.reach
    if any(reach.reads(check, name) for name in check.yields):
        return []
    return sorted(reach.here.lacks(check) or check.needed_for.keys() - set(reach.here.tools))
