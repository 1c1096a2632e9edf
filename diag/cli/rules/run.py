"""`diag rules`: check rule files, run worked cases, read an entry back, begin a new one."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from diag.authoring import lints
from diag.authoring.case_runner import CaseRun
from diag.authoring.cases import run_cases as run_all
from diag.authoring.cases import tally
from diag.authoring.entry import describe
from diag.authoring.scaffold import cause_file
from diag.cli.book import load_book
from diag.cli.guard import WrongUse
from diag.cli.places import shipped_rules, user_rules
from diag.cli.terminal.screen import Screen
from diag.model.problem import ProblemsFound
from diag.rulebook import load_cases

DEMO = "demo.yaml"


def run_check(folder: str | None = None) -> int:
    """Read all rule files and run the lints; the problems are told by whoever catches them."""
    book = load_book(folder)
    base = Path(folder).expanduser() if folder else shipped_rules()
    folders = (base,) if folder else (base, user_rules())
    found = [
        case for each in folders if (each / "cases").is_dir()
        for case in load_cases(each / "cases", book)
    ]  # fmt: skip
    problems = lints.run_lints(lints.Material(book, tuple(found)))
    if problems:
        raise ProblemsFound(problems)
    Screen().say(
        f"No problem found: {len(book.causes)} causes, {len(book.findings)} findings, "
        f"{len(book.checks)} checks, {len(book.signs)} signs, {len(book.rules)} rules, "
        f"{len(book.figures)} figures, {len(book.dangers)} dangers, {len(book.units)} units, "
        f"{len(found)} cases; {len(lints.LINTS)} lints."
    )
    return 0


def run_lints(name: str | None = None) -> int:
    """List the lints, or show the manual of one."""
    screen = Screen()
    if name is None:
        screen.table((one.code, one.name, one.summary) for one in lints.LINTS)
        return 0
    for lint in lints.LINTS:
        if name.lower() in (lint.name, lint.code.lower()):
            screen.heading(f"{lint.code} {lint.name}")
            print(lint.manual)
            return 0
    near = get_close_matches(name.lower(), [lint.name for lint in lints.LINTS], n=3)
    hint = f"; near it are {', '.join(f'`{one}`' for one in near)}" if near else ""
    raise WrongUse(f"there is no lint `{name[:40]}`{hint}; `diag rules lints` lists them")


def run_new(kind: str, name: str, area: str) -> int:
    """Write a rule file of the user's own to fill in; never over an existing one."""
    if kind != "cause":
        raise WrongUse(f"`{kind[:40]}` cannot be begun; write: diag rules new cause ID --area AREA")
    try:
        text = cause_file(load_book(), name, area)
    except ValueError as error:
        raise WrongUse(str(error)) from None
    path = user_rules() / area / f"{name.replace(' ', '-')}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise WrongUse(f"{path} is there already; edit it, or give another id") from None
    Screen().say(f"Written to {path}. Edit it, then: diag rules check")
    return 0


def run_cases(path: str | None = None) -> int:
    """Run the cases of a file or folder, the shipped ones if none is named."""
    where = Path(path).expanduser() if path else shipped_rules() / "cases"
    if not where.exists():
        raise WrongUse(f"`{path}` is not there; name a file or a folder of cases")
    book = load_book()
    cases = [case for case in load_cases(where, book) if Path(case.place.path).name != DEMO]
    runs = run_all(book, cases)
    screen = Screen()
    screen.table([("", "case", "leading", "checks", "minutes"), *map(_row, runs)])
    for run in runs:
        for failure in run.failures:
            screen.say(f"{run.case.place}: case `{run.case.id}`: {failure}")
    for count in tally(runs):
        screen.say(f"{count.sort}: {count.right} of {count.total} as they should be")
    minutes = sum(run.minutes for run in runs) / max(1, len(runs))
    screen.say(f"{len(runs)} cases; {minutes:.1f} minutes of checks each on average")
    return 1 if any(run.failures for run in runs) else 0


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


def run_show(name: str) -> int:
    """Show one entry."""
    book = load_book()
    try:
        lines = describe(book, name)
    except KeyError as near:
        hint = near.args[0]
        tail = f"; near it are {hint}" if hint else ""
        raise WrongUse(f"the rules know no `{name[:40]}`{tail}") from None
    screen = Screen()
    for label, text in lines:
        screen.item(label, text)
    return 0
