"""Whether a line, or what of it, is simply the answer to what is asked."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence

from diag.model.rulebook import Finding, Value
from diag.rulebook import Unbelievable, parse_answer
from diag.rulebook.kinds import KINDS
from diag.session.commands import Line
from diag.session.controller import DECLINE_WORDS, DONE_WORDS, HEEDED_WORDS
from diag.session.hearing.numbers import SaidNumber
from diag.session.hearing.words import Word, plain_words, stem
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, StopWork
from diag.session.steering.lists import is_list

_PIECE_END = re.compile(r"[,;:.!]\s+|\s+-+\s+|\s+(?:and|but|though|although)\s", re.IGNORECASE)
_YES_OR_NO = (
    re.compile(r"(?:yes|yeah|yep)\b[ ,.;:!-]*", re.IGNORECASE),
    re.compile(
        r"(?:no|nope|not really|not at all)\b(?:[ ,.;:!-]*$|[ ,.;:!-]*"
        r"(?=(?:it|they|there|that|this|i|we|only|but|and|not)\b))",
        re.IGNORECASE,
    ),
)
"""A yes or a no before a sentence; before anything else a `no` may belong to what follows."""


def answers(prompt: Prompt, line: Line, codes: Collection[str] = ()) -> bool:
    """Return whether a line is a choice listed, a number, a yes/no, a quantity or code asked for.

    `codes` are those of the unit's own list.
    """
    text = line.text.strip().lower()
    if isinstance(prompt, AskFinding):
        return _can_be_read(prompt, line, codes)
    if isinstance(prompt, AskTogether):
        return is_list(text, [(finding.id, *finding.words) for finding in prompt.findings])
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


def begun_with(text: str, finding: Finding) -> tuple[Value, str] | None:
    """Return the answer that a line begins with, and what comes behind it; None for none.

    A letter or a number that stands there alone belongs to the question that is asked.
    """
    said = text.strip()
    if "no" in finding.states:
        for state, pattern in zip(("yes", "no"), _YES_OR_NO, strict=True):
            if found := pattern.match(said):
                return state, said[found.end() :]
    end = _PIECE_END.search(said)
    if end is None:
        return None
    try:
        return parse_answer(said[: end.start()], finding), said[end.end() :]
    except ValueError:
        return None


def left_for(
    finding: Finding,
    words: Sequence[Word],
    told: Collection[int],
    numbers: Mapping[str, SaidNumber],
) -> tuple[Value, int] | None:
    """Return what words that tell of nothing else say of the finding asked, and where.

    That is the one number that can be its answer, or the one state that is named and not denied.
    """
    left = [at for at in range(len(words)) if at not in told]
    kind = KINDS[finding.kind]
    if kind.is_number or kind.is_coded:
        read = [
            (numbers[words[at].text].value(finding), at) for at in left if words[at].text in numbers
        ]
        values = [(value, at) for value, at in read if value is not None]
        return values[0] if len(values) == 1 else None
    return _state_named(finding, words, left) if kind.is_listed else None


def _state_named(
    finding: Finding, words: Sequence[Word], left: Sequence[int]
) -> tuple[Value, int] | None:
    """Return the one state whose name is among the words left, or of whose look most is said."""
    denying = {word.clause for word in words if word.denies}
    clear = [at for at in range(len(words)) if words[at].clause not in denying]
    where = {words[at].stem: at for at in left if at in clear}
    said = {words[at].stem for at in clear if not words[at].idle} - {"but"}
    looks = {
        state: {stem(one) for one in plain_words(f"{state} {look}")} & said
        for state, look in finding.choices.items()
    }
    most = max((len(shared) for shared in looks.values()), default=0)
    for state, shared in looks.items():
        name = {stem(one) for one in plain_words(state)}
        rivals = [one for one in looks if one != state and len(looks[one]) >= len(shared)]
        at = [where[one] for one in shared if one in where]
        if len(shared) == most and at and not rivals and (name <= shared or most > 1):
            return state, max(at)
    return None
