"""The suspects in one line, as much of them as the width holds; and the same as a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from diag.cli.terminal.wrapping import cells, cut
from diag.reason.plan.choose import TimeAhead
from diag.session.account.spent import Spent
from diag.session.account.suspects import SUSPECT_FROM, FellOut, Suspects

MOST_SUSPECTS, MOST_OUT, IN_A_SENTENCE = 5, 2, 3
NOTHING, UNKNOWN = "nothing wrong", "not in the rules"
AS_BEFORE = "as before"
"""What stands for suspects of whom nothing has changed that a line shows."""
LEAST_WAIT = 5.0
"""Minutes of waiting from which they are told."""
LEAST_SAID = SUSPECT_FROM
"""Share from which something is said."""


@dataclass(frozen=True, slots=True)
class _Piece:
    """A part of the line; of several that do not fit together the lower `rank` stays."""

    forms: tuple[str, ...]
    """What it says, in fewer and fewer words."""
    rank: int
    place: int
    """Where it stands, counted from the left."""


def percent(share: float) -> str:
    """Write a share in full percent, never as a certainty.

    >>> percent(0.47), percent(0.9999), percent(0.001)
    ('47 %', '>99 %', '<1 %')
    """
    if share > 0.995:
        return ">99 %"
    return "<1 %" if 0 < share < LEAST_SAID else f"{share:.0%}".replace("%", " %")


def suspects_line(
    found: Suspects, width: int, ahead: TimeAhead | None = None, *, same: bool = False
) -> str:
    """Return the suspects in one line of at most `width` cells, the likeliest always among them.

    With what is `ahead` to a proved repair, where that is known. Where all that is shown of them is
    the `same` as it was, they are not named again.
    """
    named = [_Piece((AS_BEFORE,), 0, 0)] if same else _named(found)
    pieces = sorted([*named, *_beside(found, ahead)], key=lambda piece: piece.rank)
    kept = dict[_Piece, str]()
    for one in pieces:  # as much as can be said at all
        fuller = {**kept, one: one.forms[-1]}
        kept = fuller if not kept or cells(_joined(fuller)) <= width else kept
    for one in kept:  # then each as fully as it can be
        forms = ({**kept, one: form} for form in one.forms)
        kept = next((more for more in forms if cells(_joined(more)) <= width), kept)
    return cut(_joined(kept), width)


def _joined(told: Mapping[_Piece, str]) -> str:
    in_order = sorted(told, key=lambda one: one.place)
    suspects = "  ".join(told[one] for one in in_order if one.place < MOST_SUSPECTS)
    return " | ".join([suspects, *(told[one] for one in in_order if one.place >= MOST_SUSPECTS)])


def shares_in(line: str) -> tuple[str, ...]:
    """Return what a line of `suspects_line` shows of the suspects: names and shares as written.

    >>> shares_in("bad earth 47 % (+31)  thin cable 4 % | to go 60 min")
    ('bad earth 47 %', 'thin cable 4 %')
    """
    named = line.partition(" | ")[0].split("  ")
    return tuple(one.partition(" (+")[0].partition(" (-")[0] for one in named)


def _named(found: Suspects) -> Iterator[_Piece]:
    """Yield the suspects, the likeliest first, then who fell out and what counts twice."""
    for number, (name, share, change) in enumerate(ranked(found)):
        points = _points(share, change)
        text = f"{name} {percent(share)}"
        forms = (f"{text} ({points:+d})", text) if points else (text,)
        yield _Piece(forms, (0, 2, 4, 7, 8)[number], number)
    if found.fell_out:
        out = found.fell_out[:MOST_OUT]
        first = f"out: {out[0].cause}"
        yield _Piece((f"out: {', '.join(map(_out, out))}", f"out: {_out(out[0])}", first), 3, 5)
    if abs(found.twice) >= LEAST_SAID:
        yield _Piece((f"two at once {percent(found.twice)}",), 6, 6)


def _beside(found: Suspects, ahead: TimeAhead | None) -> Iterator[_Piece]:
    """Yield what the work has taken, and what is ahead."""
    if said := so_far(found.spent):
        yield _Piece((f"so far {said}",), 5, 7)
    if ahead is not None:
        minutes, *more = to_go(ahead)
        yield _Piece((f"to go {', '.join((minutes, *more))}", f"to go {minutes}"), 1, 8)


def ranked(found: Suspects) -> tuple[tuple[str, float, float], ...]:
    """Return the likeliest explanations, a sound unit and the unknown among them, at least one.

    Name, share, and by how much it has grown.
    """
    held = [(one.cause, one.share, one.change) for one in found.leading]
    rest = (
        (NOTHING, found.nothing, found.nothing_change),
        (UNKNOWN, found.unknown, found.unknown_change),
    )
    held += [one for one in rest if one[1] >= LEAST_SAID]
    return tuple(sorted(held, key=lambda one: -one[1])[:MOST_SUSPECTS]) or rest[:1]


def _points(share: float, change: float) -> int:
    """Return by how many points a share as written differs from what was written before."""
    return round(100 * share) - round(100 * (share - change))


def _out(one: FellOut) -> str:
    return one.cause + (f" ({', '.join(one.by)})" if one.by else "")


def so_far(spent: Spent) -> str:
    """Write what the work has taken, as `12 min, 1 start`; empty for nothing."""
    minutes = [f"{spent.minutes:.0f} min"] if spent.minutes >= 1 else []
    return ", ".join([*minutes, *_runs(spent.runs)])


def to_go(ahead: TimeAhead) -> tuple[str, ...]:
    """Write what is expected to a proved repair: minutes, then waiting and runs, if any.

    >>> to_go(TimeAhead(34.6, 60.0, 0.0, {"one start": 1.2, "full heat": 0.3}))
    ('35 min', '60 min of waiting', '1 start')
    """
    waiting = [f"{ahead.waiting:.0f} min of waiting"] if ahead.waiting >= LEAST_WAIT else []
    runs = {name: round(times) for name, times in ahead.runs.items()}
    return (f"{ahead.work:.0f} min", *waiting, *_runs(runs))


def _runs(runs: Mapping[str, int]) -> Iterator[str]:
    for name, times in runs.items():
        single = name.removeprefix("one ")
        if times and single != name:
            yield f"{times} {single}{'s' * (times > 1)}"
        elif times:
            yield f"{times} x {name}"


def suspects_sentence(
    found: Suspects, ahead: TimeAhead | None = None, *, same: bool = False
) -> str:
    """Return the same in a sentence, for a reader or a program that reads no columns."""
    said = []
    for name, share, change in ranked(found)[:IN_A_SENTENCE]:
        points = _points(share, change)
        moved = f", {'up' if points > 0 else 'down'} {abs(points)}" if points else ""
        said.append(f"{name} {percent(share)}{moved}")
    text = f"Suspects {AS_BEFORE}." if same else f"Suspects: {'; '.join(said)}."
    if found.fell_out:
        text += f" Out: {', '.join(map(_out, found.fell_out[:MOST_OUT]))}."
    if abs(found.twice) >= LEAST_SAID and not same:
        text += f" Two at once: {percent(found.twice)}."
    spent = so_far(found.spent)
    text += f" So far: {spent}." if spent else ""
    return text + (f" To go: {', '.join(to_go(ahead))}." if ahead else "")
