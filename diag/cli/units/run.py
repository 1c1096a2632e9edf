"""`diag units`: list, show, begin and check unit files."""

from __future__ import annotations

import re
from pathlib import Path

from diag.cli.book import find_unit, load_book
from diag.cli.guard import WrongUse
from diag.cli.places import path_of, user_units
from diag.cli.terminal.screen import Screen
from diag.logic.limits import broken_limits
from diag.model.problem import ProblemsFound
from diag.model.rulebook import Rulebook, UnitData
from diag.rulebook import load_unit_file

NAME = re.compile(r"[A-Za-z][A-Za-z0-9 -]{0,39}")


def list_units(plain: bool = False) -> int:
    """List all units."""
    book = load_book()
    Screen(plain=plain).table((name, unit.title) for name, unit in book.units.items())
    return 0


def show_unit(name: str, plain: bool = False) -> int:
    """Show what is known of a unit, and what of it is assumed."""
    book = load_book()
    unit = find_unit(book, name)
    screen = Screen(plain=plain)
    screen.heading(f"{unit.id}: {unit.title}")
    screen.table(
        (
            datum,
            str(unit.data[datum]) if datum in unit.data else "not known",
            str(unit.origins.get(datum, "")),
            "class value" if datum in unit.assumed else "",
        )
        for datum in book.unit_data
    )
    screen.table(("code", code, meaning) for code, meaning in sorted(unit.codes.items()))
    if unit.note:
        screen.say(unit.note)
    return 0


def new_unit(name: str, based_on: str | None = None) -> int:
    """Write a unit file of the user's own to fill in; never over an existing one."""
    if not NAME.fullmatch(name):
        raise WrongUse(
            f"`{name[:40]}` cannot be a unit's name; use letters, figures, blanks and hyphens, "
            "up to 40, a letter first"
        )
    book = load_book()
    if name in book.units:
        raise WrongUse(f"a unit `{name}` is there already: {book.units[name].place.path}")
    base = find_unit(book, based_on or next(iter(book.units)))
    path = user_units() / f"{name.replace(' ', '-')}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("x", encoding="utf-8") as file:
        file.write(_template(book, name, base))
    Screen().say(
        f"Written to {path}. What it does not state is taken from `{base.id}`. Edit it, then: "
        "diag units check"
    )
    return 0


def _template(book: Rulebook, name: str, base: UnitData) -> str:
    lines = [
        "source: memory    # of the numbers: published in ..., common practice, memory",
        f"unit: {name}",
        f"title: {name}",
        f"based on: {base.id}",
        "data:",
        *_known(base, "nominal voltage"),
        "  # Take the # away and put the unit's own value:",
    ]
    for datum in book.unit_data.values():
        if datum.id != "nominal voltage":
            value = base.data.get(datum.id)
            shown = value if value is not None else f"... {datum.unit.symbol}"
            lines.append(f"  # {datum.id}: {shown}    # {datum.ask}")
    lines += [
        "# The unit's own code list, from its own manual: code and meaning, a code in quotes.",
        "# codes: {}",
    ]
    return "\n".join(lines) + "\n"


def _known(base: UnitData, datum: str) -> list[str]:
    return [f"  {datum}: {base.data[datum]}"] if datum in base.data else []


def check_units(path: str | None = None) -> int:
    """Check one unit file, or all of the user's own; problems are told by the caller."""
    book = load_book()
    if path is None:
        own = [unit for unit in book.units.values() if _is_own(unit)]
        Screen().say(f"No problem found in {len(own)} unit files of your own.")
        return 0
    unit = load_unit_file(path_of(path), book)
    broken = broken_limits(book, unit)
    if broken:
        raise ProblemsFound(broken)
    Screen().say(f"No problem found: `{unit.id}` states {len(unit.data)} data.")
    return 0


def _is_own(unit: UnitData) -> bool:
    return Path(unit.place.path).parent == user_units()
