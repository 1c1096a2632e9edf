"""What a line that was begun may become: words that work everywhere, choices, and names."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from diag.model.rulebook import Rulebook
from diag.session.commands import WORDS
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork

NAMED: Mapping[str, Callable[[Rulebook], Iterable[str]]] = {
    "why": lambda book: sorted({*book.causes, *book.findings, *book.signs}),
    "why-not": lambda book: sorted(book.causes),
    "change": lambda book: (f"{name} = " for name in sorted(book.findings)),
    "do": lambda book: sorted(book.checks),
    "here": lambda book: book.profiles,
    "with": lambda book: book.tools,
    "without": lambda book: book.tools,
}
"""Command to the names that may stand behind it."""


def completions(rulebook: Rulebook, prompt: Prompt, line: str) -> tuple[str, ...]:
    """Return the whole lines that a line may become, in order: answers first, then words.

    Behind a command stand the names that it takes; in `change` the choices of the finding.
    """
    begun = line.lstrip().lower()
    word, blank, _ = begun.partition(" ")
    known = rulebook.findings.get(begun.removeprefix("change ").partition("=")[0].strip())
    if blank and word == "change" and "=" in begun and known:
        options = [f"change {known.id} = {state}" for state in known.states]
    elif blank and word in NAMED:
        options = [f"{word} {name}" for name in NAMED[word](rulebook)]
    else:
        options = [*answers_of(prompt), *(each[0] for each, _ in WORDS.values())]
    return tuple(dict.fromkeys(one for one in options if one.lower().startswith(begun)))


def answers_of(prompt: Prompt) -> tuple[str, ...]:
    """Return the answers that a prompt takes by name."""
    if isinstance(prompt, AskFinding):
        return prompt.finding.states
    if isinstance(prompt, AskTogether):
        return ("none", *(one.id for one in prompt.findings))
    if isinstance(prompt, Closing):
        return ()
    return ("done",) if isinstance(prompt, StopWork) else ("done", "other")
