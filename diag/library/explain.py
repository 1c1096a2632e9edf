"""Why: reasons for a question, for and against a cause, and under a conclusion."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from diag.reason.belief.grades import in_words
from diag.reason.belief.weigh import weigh
from diag.session.result import facts, shown
from diag.session.slips import NotUnderstood
from diag.session.state import SessionState


def why(state: SessionState, name: str) -> tuple[str, ...]:
    """Return the reasons for what is believed of a cause, a finding, a sign or another conclusion.

    One line each. Raises `NotUnderstood` for a name that the rulebook does not know.
    """
    book, wanted = state.rulebook, " ".join(name.lower().split())
    lines: list[str] = []
    if wanted in book.causes:
        lines += _of_cause(state, wanted)
    if wanted in state.readings:
        reading = state.readings[wanted]
        lines.append(f"{wanted}: {shown(reading.value)}, {reading.how}")
    lines += _of_facts(state, wanted)
    known = (*book.causes, *book.findings, *book.signs, *book.dangers)
    if not lines and wanted not in known:
        near = ", ".join(f"`{one}`" for one in get_close_matches(wanted, known, n=3))
        hint = f"near it are {near}" if near else "name a cause, a finding or a sign"
        raise NotUnderstood(f"the rules know no `{name[:40]}`; {hint}")
    return tuple(lines) or (f"nothing is known of `{wanted}` yet",)


def _of_cause(state: SessionState, cause: str) -> Iterator[str]:
    title = state.rulebook.causes[cause].title
    if cause in state.belief.excluded:
        yield f"{title}: ruled out"
        return
    yield f"{title}: {state.posterior.causes.get(cause, 0.0):.1%}"
    for one in weigh(state.belief, cause):
        yield f"{one.decibans:+.1f} points, {in_words(one.decibans)}: {one.label}"


def _of_facts(state: SessionState, name: str) -> Iterator[str]:
    """Yield each conclusion of that name with the rules and the values under it."""
    for fact in facts(state):
        if fact["fact"].startswith(f"{name} is "):
            for support in fact["supports"]:
                values = ", ".join(f"{key} {value}" for key, value in support["from"].items())
                because = f": {support['why']}" if support["why"] else ""
                yield f"{fact['fact']}{because}" + (f" ({values})" if values else "")
