"""Where a session stands: what may be wrong and how likely, and how it ended."""

from __future__ import annotations

from dataclasses import dataclass

from diag.session.account.suspects import suspects
from diag.session.prompt import Closing, Prompt, ProposeRepair, StopWork
from diag.session.state import SessionState


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A cause, named, and its share of what is believed, from 0 to 1."""

    cause: str
    title: str
    share: float


@dataclass(frozen=True, slots=True)
class Standing:
    """What is believed now; the shares of two causes at once count for both."""

    ending: str
    """`open`, `stop` at a danger, `found` while a sure repair waits, and at the end `proved`,
    `not proved`, `nothing wrong`, `not found out`, `not in the rulebook` or `handed over`."""
    causes: tuple[Suspicion, ...]
    """Every cause that is not ruled out, the likeliest first."""
    nothing_wrong: float
    unknown: float
    """The share of what the rules do not know."""
    twice: float = 0.0
    """By how much all shares add up to more than 1, as two causes at once count for both."""
    repaired: tuple[str, ...] = ()
    """The causes whose repair was proved, or holds by its own proof."""


def standing_of(state: SessionState, prompt: Prompt) -> Standing:
    """Return where a session stands that is at a prompt."""
    posterior = state.posterior
    causes = tuple(
        Suspicion(name, state.rulebook.causes[name].title, share)
        for name, share in posterior.ranking
        if share
    )
    made = tuple(one.cause for one in state.results if one.proved or one.holds)
    twice = suspects(state).twice
    return Standing(_ending(prompt), causes, posterior.nothing, posterior.unknown, twice, made)


def _ending(prompt: Prompt) -> str:
    if isinstance(prompt, StopWork):
        return "stop"
    if isinstance(prompt, ProposeRepair) and prompt.sure:
        return "found"
    return prompt.ending.kind if isinstance(prompt, Closing) else "open"
