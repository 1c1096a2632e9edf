"""Whether a line is an answer to what is asked, just as it was asked for."""

from __future__ import annotations

from collections.abc import Collection

from diag.rulebook import Unbelievable, parse_answer
from diag.session.commands import Line
from diag.session.controller import DECLINE_WORDS, DONE_WORDS, HEEDED_WORDS, NONE_WORDS
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork


def answers(prompt: Prompt, line: Line, codes: Collection[str] = ()) -> bool:
    """Return whether a line is a choice listed, a number, a yes/no, a quantity or code asked for.

    `codes` are those of the unit's own list.
    """
    text = line.text.strip().lower()
    if isinstance(prompt, AskFinding):
        return _can_be_read(prompt, line, codes)
    if isinstance(prompt, AskTogether):
        ids = {finding.id for finding in prompt.findings}
        parts = [part.strip() for part in text.replace(";", ",").split(",")]
        return text in NONE_WORDS or all(part in ids or part.isdecimal() for part in parts)
    if isinstance(prompt, StopWork):
        return text in HEEDED_WORDS
    return not isinstance(prompt, Closing) and text in (*DONE_WORDS, *DECLINE_WORDS)


def _can_be_read(prompt: AskFinding, line: Line, codes: Collection[str]) -> bool:
    try:
        parse_answer(line.text, prompt.finding, codes)
    except Unbelievable:
        return True
    except ValueError:
        return False
    return True
