"""A drill looked back upon, on the screen: the verdict, both ways side by side, and the marks."""

from __future__ import annotations

from collections.abc import Sequence

from diag.cli.drill.setting import Setting
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.model.phrasing import in_a_row
from diag.practice.drill.beside import looked_back, proof_of, tool_path, tool_steps
from diag.practice.drill.drill import Drill
from diag.practice.drill.hints import BITS_IN_WORDS
from diag.practice.drill.levels import families_of
from diag.practice.drill.marks import MARKS_RULE, FamilyMark, is_right, marks_of, too_many
from diag.practice.player import Played
from diag.practice.wording import minutes


def look_back(of: Setting, drill: Drill, screen: Screen, *, seed: int) -> tuple[FamilyMark, ...]:
    """Say how a drill went; return its marks."""
    _verdict(drill, screen)
    _truth(drill, screen)
    with progress("The tool takes the same unit") as done:
        played = tool_path(of.files, of.book, drill, seed=seed)
        done(0.5)
        points = looked_back(drill, lambda share: done(0.5 + share / 2.0))
    screen.heading("Your way, and what would have split best before each")
    screen.say(BITS_IN_WORDS)
    for number, point in enumerate(points, 1):
        screen.outline(f"{number}. {point.heard}, by {point.minutes:.0f} min: {point}.")
    _tool(of, screen, played)
    _losses(drill, screen, played)
    found = marks_of(drill, played.minutes)
    _marks(screen, found)
    return found


def _verdict(drill: Drill, screen: Screen) -> None:
    called = in_a_row(drill.book.causes[name].title for name in drill.called or ())
    right = is_right(drill)
    screen.heading("Right" if right else "Not right")
    said = f"You called: {called or 'nothing wrong'}."
    extra = in_a_row(drill.book.causes[name].title for name in too_many(drill))
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
        screen.say(f"Its proof: {proof_of(drill, cause)}.", indent=2)


def _tool(of: Setting, screen: Screen, played: Played) -> None:
    screen.heading("The tool's way on the same unit")
    for number, (spent, what) in enumerate(tool_steps(of.book, played), 1):
        screen.outline(f"{number}. {what}, by {spent:.0f} min.")
    missed = "" if played.all_found else ", and did not find what is wrong"
    screen.say(f"It ended as `{played.ending}` after {minutes(played.minutes)}{missed}.")


def _losses(drill: Drill, screen: Screen, played: Played) -> None:
    screen.heading("What it cost")
    screen.say(
        f"You took {minutes(drill.work.minutes, drill.work.waited)}; the tool "
        f"{minutes(played.minutes)}, its repairs and their proof among them."
    )
    if drill.in_vain:
        screen.say(f"Good parts changed: {in_a_row(drill.in_vain)}.")
    for stop in drill.stops:
        screen.say(f"Run into: the {stop.kind} `{stop.name}`.")
    for name in drill.dangers_missed:
        screen.say(f"There all along, and not seen: {drill.book.dangers[name].title}.")
    if not (drill.in_vain or drill.stops or drill.dangers_missed):
        screen.say("No good part was changed, and no danger or caution missed.")


def _marks(screen: Screen, found: Sequence[FamilyMark]) -> None:
    screen.heading("Marks")
    for mark in found:
        screen.say(f"{mark.family}: {mark.points:.0f} of 10 ({mark.cause}).", bold=True)
        screen.say(f"{'; '.join(mark.why)}.", indent=2)
    screen.say(MARKS_RULE)
