"""Whether a line is an answer to what is asked, just as it was asked for."""

from __future__ import annotations

from diag.model.amounts import CODE_IN_TEXT
from diag.rulebook import Unbelievable, parse_answer
from diag.rulebook.kinds import KINDS
from diag.session.commands import Line
from diag.session.controller import DECLINE_WORDS, DONE_WORDS, HEEDED_WORDS, NONE_WORDS
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork


def answers(prompt: Prompt, line: Line) -> bool:
    """Return whether a line is a choice listed, a number, a yes/no or a quantity asked for."""
    text = line.text.strip().lower()
    if isinstance(prompt, AskFinding):
        return _can_be_read(prompt, line)
    if isinstance(prompt, AskTogether):
        ids = {finding.id for finding in prompt.findings}
        parts = [part.strip() for part in text.replace(";", ",").split(",")]
        return text in NONE_WORDS or all(part in ids or part.isdecimal() for part in parts)
    if isinstance(prompt, StopWork):
        return text in HEEDED_WORDS
    return not isinstance(prompt, Closing) and text in (*DONE_WORDS, *DECLINE_WORDS)


def _can_be_read(prompt: AskFinding, line: Line) -> bool:
    kind = KINDS[prompt.finding.kind]
    if kind.is_coded and not kind.is_number and " " in line.text.strip():
        # Any short text may be a code: several words are one only where they look like it.
        return bool(CODE_IN_TEXT.fullmatch(line.text.strip()))
    try:
        parse_answer(line.text, prompt.finding)
    except Unbelievable:
        return True
    except ValueError:
        return False
    return True
