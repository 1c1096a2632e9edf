"""`why NAME` at a prompt: the derivation of a thing, drawn as an indented list."""

from __future__ import annotations

from diag.cli.terminal.screen import Screen
from diag.reason.belief.grades import in_words
from diag.session.derivation import Derivation, Ground, derivations
from diag.session.state import SessionState

MOST_AWAITED = 6


def show_derivation(screen: Screen, state: SessionState, name: str) -> None:
    """Show why a thing is as it is; `ValueError` for a name that the rules do not know."""
    for node in derivations(state, name):
        _draw(screen, node, 0, set())


def _draw(screen: Screen, node: Derivation, depth: int, drawn: set[str]) -> None:
    """Draw one thing and below it its reasons; what was drawn before is only named."""
    again = bool(node.grounds) and node.name in drawn
    drawn.add(node.name)
    _line(screen, depth, _head(node) + ("; as above" if again else ""))
    if again:
        return
    for ground in node.grounds:
        if node.value:
            _line(screen, depth + 1, _reason(ground))
        for below in ground.rests_on:
            _draw(screen, below, depth + 2, drawn)


def _line(screen: Screen, depth: int, text: str) -> None:
    screen.outline("  " * depth + ("- " if depth else "") + text)


def _head(node: Derivation) -> str:
    if node.value:
        return f"{node.name}: {node.value}" + (f", {node.how}" if node.how else "")
    if node.kind == "danger":
        return f"{node.name}: not present, as far as is known"
    if not node.awaits or node.awaits == (node.name,):
        return f"{node.name}: not known"
    named = ", ".join(f"`{one}`" for one in node.awaits[:MOST_AWAITED])
    more = f" and {len(node.awaits) - MOST_AWAITED} more" * (len(node.awaits) > MOST_AWAITED)
    return f"{node.name}: not known yet; it may follow from {named}{more}"


def _reason(ground: Ground) -> str:
    if ground.decibans is not None:
        return f"{in_words(ground.decibans)}: {ground.why} ({ground.decibans:+.1f} points)"
    said = " ".join(part for part in (_because(ground), ground.sum) if part)
    about = [f"rule `{ground.rule}`"] if ground.rule else []
    about += [f"source: {ground.source}"] if ground.source else []
    return f"{said} ({'; '.join(about)})" if about else said


def _because(ground: Ground) -> str:
    if not ground.sum:
        return f"because {ground.why}"
    return f"{ground.why}:" if ground.why else "sum:"
