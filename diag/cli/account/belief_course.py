"""How belief moved from act to act, drawn: a row for each, a column for each cause."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from diag.cli.account.line import LEAST_SAID, NOTHING, UNKNOWN, percent
from diag.cli.terminal.wrapping import cells, cut, filled
from diag.practice.pictures.bars import bar_cells
from diag.session.account.course import COMPLAINT, Believed

SHARE, GAP, LONGEST_BAR = 5, 2, 30
LONGEST_LABEL, LEAST_BAR = 44, 10
ROOM_FOR = ((110, 3), (64, 2), (0, 1))
"""Width from which so many causes stand side by side."""
MOST_TOLD = 3


def belief_rows(
    steps: Sequence[Believed], suspects: Sequence[str], width: int, most: int | None = None
) -> Sequence[str]:
    """Draw the shares of the first suspects after each answer that moved them.

    Where `most` is given, after so many at most: those that moved them most.
    """
    suspects = suspects[: next(count for least, count in ROOM_FOR if width >= least)]
    kept = telling(steps, suspects, most)
    most_wide = max(
        2 * width // 5, width - GAP - SHARE - 1 - LEAST_BAR if len(suspects) == 1 else 0
    )
    label = min(LONGEST_LABEL, most_wide, max(cells(label_of(one)) for one in kept))
    column = (width - label) // len(suspects) - GAP
    bar = min(LONGEST_BAR, column - SHARE - 1)
    gap, wide = " " * GAP, SHARE + 1 + bar
    rows = [filled("", label) + "".join(gap + filled(cut(one, wide), wide) for one in suspects)]
    for step in kept:
        line = filled(label_of(step, label), label)
        for one in suspects:
            share = share_of(step, one)
            line += gap + filled(
                f"{percent(share):>{SHARE}} {'#' * bar_cells(share, 1, bar)}", wide
            )
        rows.append(line)
    return [row.rstrip() for row in rows]


def telling(
    steps: Sequence[Believed], suspects: Sequence[str], most: int | None = None
) -> Sequence[Believed]:
    """Return the first step and those that moved belief in some suspects, in their order.

    Where `most` is given, so many at most: those that moved it most.
    """
    moves = [
        sum(abs(share_of(after, one) - share_of(before, one)) for one in suspects)
        for before, after in pairwise(steps)
    ]
    ranked = sorted(range(len(moves)), key=lambda at: (-moves[at], at))
    kept = sorted(at for at in ranked[: most and most - 1] if moves[at] >= LEAST_SAID)
    return [steps[0], *(steps[at + 1] for at in kept)]


def share_of(step: Believed, suspect: str) -> float:
    """Return the share of a cause, or of what is suspected beside all causes."""
    beside = {NOTHING: step.nothing, UNKNOWN: step.unknown}
    return beside[suspect] if suspect in beside else step.shares.get(suspect, 0.0)


def label_of(step: Believed, width: int = 200) -> str:
    """Name an act, or where it all began; of a long name the answer stays."""
    asked, answered = step.names
    answer = f": {answered}" if answered else ""
    return cut(cut(asked, max(8, width - cells(answer))) + answer, width)


def belief_words(steps: Sequence[Believed], suspects: Sequence[str]) -> str:
    """Say how belief in the likeliest moved, by the answers that moved it most."""
    first = suspects[0]
    told = [f"{percent(share_of(steps[0], first))} by {COMPLAINT}"]
    for step in telling(steps, [first], MOST_TOLD + 1)[1:]:
        told.append(f"{percent(share_of(step, first))} after `{label_of(step)}`")
    return f"Belief in {first}: {', '.join(told)}; {percent(share_of(steps[-1], first))} now."
