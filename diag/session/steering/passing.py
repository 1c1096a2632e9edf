"""What passing over comes to: one question, or all that is left of its check."""

from __future__ import annotations

from diag.session.candidates import open_findings
from diag.session.journal.events import CANNOT, Event, Passed, Together
from diag.session.prompt import AskFinding, AskTogether, Prompt
from diag.session.slips import NotUnderstood
from diag.session.state import SessionState


def question_passed(prompt: Prompt, reason: str) -> Event:
    """Return that what is asked now is passed over; of a joint question all findings."""
    if isinstance(prompt, AskFinding):
        check = prompt.check.id if prompt.check and prompt.check.run else ""
        return Passed(prompt.finding.id, reason, check)
    if isinstance(prompt, AskTogether):
        return Together(tuple(Passed(one.id, reason) for one in prompt.findings))
    raise NotUnderstood("there is no question to pass over here")


def check_passed(state: SessionState, prompt: Prompt) -> Event:
    """Return that the whole check is passed over, or the whole round that is about to begin.

    A reading that is to be taken again is passed over alone.
    """
    if not isinstance(prompt, AskFinding) or prompt.check is None or prompt.again:
        return question_passed(prompt, CANNOT)
    checks = prompt.members or (prompt.check,)
    rest = (one.id for check in checks for one in open_findings(state, check))
    names = dict.fromkeys([prompt.finding.id, *rest])
    return Together(tuple(Passed(name, CANNOT) for name in names))
