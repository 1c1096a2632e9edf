"""`diag rules`: check rule files, run worked cases, read an entry back, begin a new one."""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path

from diag.authoring import lints
from diag.authoring.case_run import CaseRun
from diag.authoring.cases import tally
from diag.authoring.entry import describe, drawing
from diag.authoring.playing import playing
from diag.authoring.scaffold import SCHEMA_FILE, TEMPLATES, template
from diag.authoring.scaffold.names import OWN_FOLDER
from diag.cli.book import lesson_folders, load_book
from diag.cli.guard import WrongUse
from diag.cli.places import path_of, shipped_rules, user_rules
from diag.cli.terminal.progress import patience, progress
from diag.cli.terminal.screen import Screen
from diag.model.amounts import count
from diag.model.phrasing import printable
from diag.model.problem import Problem, ProblemsFound
from diag.model.rulebook import Rulebook
from diag.practice.world import WorldFiles, read_world
from diag.rulebook import load_cases
from diag.rulebook.yaml.source import WORLD, rule_files

DEMO = "demo.yaml"
MOST_PROCESSES = 64


def run_check(folder: str | None = None, plain: bool = False) -> int:
    """Read all rule and world files and run the lints; whoever catches the problems tells them.

    Drafts are read here and nowhere else, so what is in use has to hold without them too.
    """
    book = load_book(folder, drafts=True)
    base = path_of(folder) if folder else shipped_rules()
    folders = (base,) if folder else (base, user_rules())
    found = [
        case for each in folders if any(rule_files(each / "cases", skip=""))
        for case in load_cases(each / "cases", book)
    ]  # fmt: skip
    with patience("Checking the rules", plain):
        problems = [*lints.run_lints(lints.Material(book, tuple(found)))]
        worlds = {each: _world_beside(each, book) for each in folders}
        problems += [problem for _, wrong in worlds.values() for problem in wrong]
        world, _ = worlds[base]
        problems += _of_the_lessons(folders, book, world) if world else ()
    if problems:
        raise ProblemsFound(tuple(sorted(problems)))
    waiting = _drafts(book, folder)
    Screen(plain=plain).say(
        f"No problem found: {len(book.causes)} causes, {len(book.findings)} findings, "
        f"{len(book.checks)} checks, {len(book.signs)} signs, {len(book.rules)} rules, "
        f"{len(book.figures)} figures, {len(book.dangers)} dangers, {len(book.units)} units, "
        f"{len(found)} cases; {len(lints.LINTS)} lints."
    )
    if waiting:
        named = ", ".join(f"`{name}`" for name in waiting)
        Screen().say(f"Still drafts, which no other command reads: {named}.")
    return 0


def _world_beside(folder: Path, book: Rulebook) -> tuple[WorldFiles | None, tuple[Problem, ...]]:
    """Return the world beside the rules, if there is a sound one, and what is wrong with it."""
    if not (folder / WORLD).is_dir():
        return None, ()
    try:
        return read_world(folder / WORLD, book), ()
    except ProblemsFound as error:
        return None, error.problems


def _of_the_lessons(
    folders: Sequence[Path], book: Rulebook, world: WorldFiles
) -> tuple[Problem, ...]:
    """Return what is wrong with lessons, which are shown by a sound world."""
    from diag.practice.lessons.written import read_lessons

    try:
        read_lessons(lesson_folders(folders), book, world, drafts=True)
    except ProblemsFound as error:
        return error.problems
    return ()


def _drafts(book: Rulebook, folder: str | None) -> list[str]:
    """Return what is in the rulebook from drafts only.

    Raises `ProblemsFound` when what is in use rests on one.
    """
    try:
        used = load_book(folder)
    except ProblemsFound as error:
        advice = "it stands in a draft: take `status: draft` out of that file"
        raise ProblemsFound(tuple(replace(one, advice=advice) for one in error.problems)) from None
    concluded = {name: sign for name, sign in book.signs.items() if not sign.is_finding}
    read = (*book.causes, *book.findings, *book.checks, *concluded)
    return [
        name for name in read
        if not any(name in each for each in (used.causes, used.findings, used.checks, used.signs))
    ]  # fmt: skip


def run_lints(name: str | None = None, plain: bool = False) -> int:
    """List the lints, or show the manual of one."""
    screen = Screen(plain=plain)
    if name is None:
        screen.table((one.code, one.name, one.summary) for one in lints.LINTS)
        return 0
    for lint in lints.LINTS:
        if name.lower() in (lint.name, lint.code.lower()):
            screen.heading(f"{lint.code} {lint.name}")
            for line in lint.manual.splitlines():
                screen.outline(line)
            return 0
    near = get_close_matches(name.lower(), [lint.name for lint in lints.LINTS], n=3)
    hint = f"; near it are {', '.join(f'`{one}`' for one in near)}" if near else ""
    raise WrongUse(f"there is no lint `{name[:40]}`{hint}; `diag rules lints` lists them")


def run_new(kind: str, name: str, area: str) -> int:
    """Write a rule file of the user's own to fill in; never over an existing one."""
    if kind in TEMPLATES and kind not in OWN_FOLDER and not area:
        raise WrongUse(f"say where it belongs: diag rules new {kind} {_quoted(name)} --area AREA")
    try:
        made = template(_book_to_begin(kind), kind, name, area)
    except ValueError as error:
        raise WrongUse(str(error)) from None
    path = user_rules() / made.path
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(made.text)
    except FileExistsError:
        raise WrongUse(f"{path} is there already; edit it, or give another id") from None
    screen = Screen()
    if screen.draws:
        screen.say(str(path))
    else:  # On a line of its own, which nothing wraps: it may be read by a program.
        print(printable(str(path)))
    screen.say("Replace each <...> in this file, then: diag rules check")
    if not (user_rules() / SCHEMA_FILE).exists():
        screen.say("For an editor that completes while you type: diag rules schema --write")
    return 0


def _book_to_begin(kind: str) -> Rulebook:
    """Return the rules in use; for a case the drafts too, where they are ready, to be tried."""
    if kind == "case":
        with suppress(ProblemsFound):
            return load_book(drafts=True)
    return load_book()


def _quoted(name: str) -> str:
    return f"'{name[:40]}'" if " " in name else name[:40]


def run_cases(path: str | None = None, plain: bool = False, processes: str | None = None) -> int:
    """Run the cases of a file or folder, the shipped ones if none is named."""
    at_once = _processes(processes)
    where = path_of(path) if path else shipped_rules() / "cases"
    if not where.exists():
        raise WrongUse(f"`{path}` is not there; name a file or a folder of cases")
    book = load_book()
    cases = [case for case in load_cases(where, book) if Path(case.place.path).name != DEMO]
    runs: list[CaseRun] = []
    with playing(book, cases, at_once) as played, progress("Working the cases", plain) as step:
        for run in played:
            runs.append(run)
            step(len(runs) / len(cases))
    screen = Screen(plain=plain)
    screen.table([("", "case", "leading", "checks", "minutes"), *map(_row, runs)])
    for run in runs:
        for failure in run.failures:
            screen.say(f"{run.case.place}: case `{run.case.id}`: {failure}")
    for sort in tally(runs):
        screen.say(f"{sort.sort}: {sort.right} of {sort.total} as they should be")
    minutes = sum(run.minutes for run in runs) / max(1, len(runs))
    screen.say(
        f"{len(runs)} case{'s' * (len(runs) != 1)}; {minutes:.1f} minutes of checks each on average"
    )
    return 1 if any(run.failures for run in runs) else 0


def _processes(text: str | None) -> int:
    """Read how many processes to run; as many as this one may use processors, if none is said."""
    if text is None:
        may = getattr(os, "sched_getaffinity", None)
        return len(may(0)) if may else os.cpu_count() or 1
    with suppress(ValueError):
        if 1 <= count(text) <= MOST_PROCESSES:
            return count(text)
    raise WrongUse(
        f"`{text[:20]}` is no number of processes; give one from 1 to {MOST_PROCESSES}, or leave"
        " it out for as many as the machine has processors"
    )


def _row(run: CaseRun) -> tuple[str, ...]:
    name, share = run.ranking[0]
    if run.nothing > share:
        name, share = "nothing wrong", run.nothing
    return (
        "ok" if not run.failures else "FAIL",
        run.case.id,
        f"{name} {share:.0%}",
        str(len(run.checks)),
        f"{run.minutes:g}",
    )


def run_show(name: str, plain: bool = False) -> int:
    """Show one entry."""
    book, screen = load_book(), Screen(plain=plain)
    try:
        lines = describe(book, name, screen.draws)
    except KeyError as near:
        hint = near.args[0]
        tail = f"; near it are {hint}" if hint else ""
        raise WrongUse(f"the rules know no `{name[:40]}`{tail}") from None
    for label, text in lines:
        screen.item(label, text)
    if screen.draws:
        screen.lines(f" {line}" for line in drawing(book, name))
    return 0
