"""`diag rules`: check rule files, run worked cases, read an entry back."""

from __future__ import annotations

from pathlib import Path

from diag.authoring.cases import run_cases as run_all
from diag.authoring.cases import tally
from diag.authoring.entry import describe
from diag.cli.book import load_book
from diag.cli.guard import WrongUse
from diag.cli.places import shipped_rules
from diag.cli.screen import Screen
from diag.rulebook import load_cases
from diag.session.replay import CaseRun

DEMO = "demo.yaml"


def run_check(folder: str | None = None) -> int:
    """Read all rule files; the problems are told by whoever catches them."""
    book = load_book(folder)
    Screen().say(
        f"No problem found: {len(book.causes)} causes, {len(book.findings)} findings, "
        f"{len(book.checks)} checks, {len(book.signs)} signs, {len(book.rules)} rules, "
        f"{len(book.figures)} figures, {len(book.hazards)} hazards, {len(book.units)} units."
    )
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
