"""`diag rules coverage`, `tree`, `formulas` and `schema`: what the rules hold."""

from __future__ import annotations

import json
from typing import Any

from diag.authoring.coverage import MOST_MISTAKES, CausePair, Coverage, coverage
from diag.authoring.formulas import as_plain
from diag.authoring.scaffold import SCHEMA_FILE
from diag.authoring.schema import schema
from diag.authoring.tree import complaint_policy
from diag.authoring.tree_text import (
    as_data,
    as_markdown,
    as_numbered,
    as_numbered_markdown,
    as_text,
    cautions_of,
)
from diag.bench.amounts import read_amount
from diag.cli.book import find_complaint, load_book, unit_or_first
from diag.cli.guard import WrongUse
from diag.cli.places import user_rules
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.model.amounts import count
from diag.model.phrasing import printable
from diag.physics.formulas.catalogue import FORMULAS

MOST_DEPTH = 12
LEAST_PERCENT = 0.1


def run_coverage(unit: str | None, as_json: bool = False, plain: bool = False) -> int:
    """Print what the checks detect and isolate; 1 when two causes are alike unexplained."""
    book = load_book()
    unit_data = unit_or_first(book, unit)
    with progress("Telling the causes apart", plain) as step:
        found = coverage(book, unit_data, step)
    loose = [pair for pair in found.unseparated if not pair.explained]
    if as_json:
        print(json.dumps(_coverage_data(found), indent=2, ensure_ascii=False))
    else:
        _say_coverage(found, Screen(plain=plain))
    return 1 if loose or found.figures.missed else 0


def _say_coverage(found: Coverage, screen: Screen) -> None:
    figures = found.figures
    causes = sum(len(group.faults) for group in figures.groups) + len(figures.missed)
    screen.say(
        f"Of {causes} causes the checks detect {causes - len(figures.missed)}: "
        f"{100 * figures.fraction_detected:.1f} % of what comes in, by the shares in the rules."
    )
    for size in (1, 2, 3):
        share = 100 * figures.fraction_isolated(size)
        screen.say(f"Narrowed down to {size} at most: {share:.1f} % of detected faults.")
    screen.say(
        f"Expected size of the group: {figures.expected_size:.2f}. Two causes count as told apart "
        f"when at most {100 * MOST_MISTAKES:.0f} % of guesses between them would be wrong."
    )
    for name in figures.missed:
        screen.say(f"not detected: {name}")
    for group in figures.groups:
        if len(group.faults) > 1:
            screen.say(f"alike: {', '.join(group.faults)}")
    for pair in found.unseparated:
        screen.say(_pair(pair), indent=2)
    screen.heading("Most alike of those told apart")
    for pair in found.closest:
        screen.say(_pair(pair))
    for sign in found.unsettled:
        screen.say(f"settled by no check on this unit: {sign}")
    screen.heading("What each check does by itself")
    rows = [(one.check, str(one.detects), str(one.pairs), ", ".join(one.signs)) for one in
            found.checks]  # fmt: skip
    screen.table([("check", "detects", "pairs", "by its signs"), *rows])


def _pair(pair: CausePair) -> str:
    said = f"the rules say: see {pair.explained}" if pair.explained else "the rules do not say how"
    wrong = f"up to {100 * pair.mistakes:.0f} % of guesses wrong"
    return f"`{pair.causes[0]}` and `{pair.causes[1]}`: {wrong}; {said}"


def _coverage_data(found: Coverage) -> dict[str, Any]:
    figures = found.figures
    return {
        "fraction_detected": round(figures.fraction_detected, 6),
        "fraction_isolated": {
            str(size): round(figures.fraction_isolated(size), 6) for size in (1, 2, 3)
        },
        "expected_group_size": round(figures.expected_size, 6),
        "not_detected": list(figures.missed),
        "groups": [
            {"causes": list(group.faults), "repairs": group.size, "rate": round(group.rate, 6)}
            for group in figures.groups
        ],
        "not_told_apart": [_pair_data(pair) for pair in found.unseparated],
        "most_alike": [_pair_data(pair) for pair in found.closest],
        "settled_by_no_check": list(found.unsettled),
        "checks": [
            {
                "check": one.check,
                "signs": list(one.signs),
                "detects": one.detects,
                "pairs": one.pairs,
            }
            for one in found.checks
        ],
    }


def _pair_data(pair: CausePair) -> dict[str, Any]:
    return {
        "causes": list(pair.causes),
        "mistakes": round(pair.mistakes, 4),
        "explained": pair.explained,
    }


def run_tree(
    complaint: str, unit: str | None, bounds: tuple[str, str], form: str, plain: bool = False
) -> int:
    """Print the policy from a complaint as text, markdown or json, or numbered.

    `bounds` are, as typed, how many checks deep and the least percentage of units to print.
    """
    depth, least = _depth(bounds[0]), _percent(bounds[1])
    book = load_book()
    name = find_complaint(book, complaint)
    unit_data = unit_or_first(book, unit)
    with progress("Working it out", plain) as step:
        root = complaint_policy(book, unit_data, name, depth, least / 100, progress=step)
    if form == "json":
        cautions = list(cautions_of(book, root))
        data = {
            "rulebook": book.hash, "complaint": name, "cautions": cautions, "tree": as_data(root)
        }  # fmt: skip
        print(json.dumps(data, indent=2, ensure_ascii=False))
        return 0
    write = {
        "text": as_text,
        "markdown": as_markdown,
        "numbered text": as_numbered,
        "numbered markdown": as_numbered_markdown,
    }[form]
    screen = Screen(plain=plain)
    say = screen.document if form.endswith("markdown") else screen.outline
    for line in write(book, name, root):
        say(line)
    return 0


def _depth(text: str) -> int:
    try:
        read = count(text)
    except ValueError:
        read = -1
    if not 0 <= read <= MOST_DEPTH:
        raise WrongUse(f"`{text[:20]}` is no depth; give a number of checks, 0 to {MOST_DEPTH}")
    return read


def _percent(text: str) -> float:
    try:
        read = read_amount("least share", text, "%")
    except ValueError:
        read = -1.0
    if not LEAST_PERCENT <= read <= 100:
        raise WrongUse(f"`{text[:20]}` is no least share; give {LEAST_PERCENT:g} to 100 percent")
    return read


def run_schema(write: bool = False) -> int:
    """Print the schema of rule files, or write it where the templates look for it."""
    text = json.dumps(schema(load_book()), indent=2, ensure_ascii=False)
    if not write:
        print(text)
        return 0
    path = user_rules() / SCHEMA_FILE
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text + "\n", encoding="utf-8")
    print(printable(str(path)))
    Screen().say("Write it again when words of the scales have changed.")
    return 0


def run_formulas(as_json: bool = False) -> int:
    """List the formulas that a figure may name."""
    if as_json:
        print(json.dumps([as_plain(one) for one in FORMULAS], indent=2, ensure_ascii=False))
        return 0
    screen = Screen()
    for one in sorted(FORMULAS, key=lambda one: one.name):
        screen.heading(f"{one.name} [{one.unit}]")
        screen.say(one.explains)
        for name, unit in one.inputs:
            screen.item("takes", f"{name} [{unit}]")
        screen.item("source", one.source)
    return 0
