"""A drill looked back upon, on the screen: the verdict, both ways side by side, and the marks."""

from __future__ import annotations

from collections.abc import Sequence

from diag.cli.drill.setting import Setting
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.model.expression import written
from diag.practice.beside import looked_back, tool_path, tool_steps
from diag.practice.drill import Drill
from diag.practice.levels import families_of
from diag.practice.marks import RULE, Mark, is_right, marks, too_many
from diag.practice.player import Played
from diag.practice.wording import listed, minutes


def look_back(of: Setting, drill: Drill, screen: Screen, *, seed: int) -> tuple[Mark, ...]:
    """Say how a drill went; return its marks."""
    _verdict(drill, screen)
    _truth(drill, screen)
    with progress("The tool takes the same unit") as done:
        played = tool_path(of.files, of.book, drill, seed=seed)
        done(0.5)
        points = looked_back(drill, lambda share: done(0.5 + share / 2.0))
    screen.heading("Your way, and what would have split best before each")
    for number, point in enumerate(points, 1):
        screen.outline(f"{number}. {point.heard}, by {point.minutes:.0f} min: {point}.")
    _tool(of, screen, played)
    _losses(drill, screen)
    found = marks(drill, played.minutes)
    _marks(screen, found)
    return found


def _verdict(drill: Drill, screen: Screen) -> None:
    called = listed(drill.book.causes[name].title for name in drill.called or ())
    right = is_right(drill)
    screen.heading("Right" if right else "Not right")
    said = f"You called: {called or 'nothing wrong'}."
    extra = listed(drill.book.causes[name].title for name in too_many(drill))
    if extra and not right:
        said += f" Not wrong with it: {extra}."
    screen.say(said)


def _truth(drill: Drill, screen: Screen) -> None:
    """Tell what was wrong, and how its repair is proved."""
    if not drill.unit.truths:
        screen.say("Nothing is wrong with this heater: it lights, holds full heat and goes out.")
        return
    for family, name in families_of(drill.book, drill.unit.truths):
        cause = drill.book.causes[name]
        screen.say(f"Wrong with it: {cause.title} ({family}).", bold=True)
        screen.say(cause.explain, indent=2)
        screen.say(f"The repair: {' '.join(cause.repair.do)}", indent=2)
        proofs = "; ".join(written(proof.condition) for proof in cause.proof)
        screen.say(f"Its proof: {proofs}.", indent=2)


def _tool(of: Setting, screen: Screen, played: Played) -> None:
    screen.heading("The tool's way on the same unit")
    for number, (spent, what) in enumerate(tool_steps(of.book, played), 1):
        screen.outline(f"{number}. {what}, by {spent:.0f} min.")
    screen.say(f"It ended as `{played.ending}` after {minutes(played.minutes)}.")


def _losses(drill: Drill, screen: Screen) -> None:
    screen.heading("What it cost")
    screen.say(f"You took {minutes(drill.work.minutes, drill.work.waited)}.")
    if drill.in_vain:
        screen.say(f"Good parts changed: {listed(drill.in_vain)}.")
    for stop in drill.stops:
        screen.say(f"Run into: {stop.kind}, {stop.name}.")
    if not (drill.in_vain or drill.stops):
        screen.say("No good part was changed, and no danger or caution run into.")


def _marks(screen: Screen, found: Sequence[Mark]) -> None:
    screen.heading("Marks")
    for mark in found:
        screen.say(f"{mark.family}: {mark.points:.0f} of 10 ({mark.cause}).", bold=True)
        screen.say(f"{'; '.join(mark.why)}.", indent=2)
    screen.say(RULE)
