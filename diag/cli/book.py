"""The rulebook as the commands use it: shipped rules, the workshop's own, and its units."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING

from diag.cli.guard import WrongUse
from diag.cli.places import path_of, shipped_rules, user_rules, user_units
from diag.cli.terminal.progress import patience

if TYPE_CHECKING:  # a list of the units is wanted before all this
    from pathlib import Path

    from diag.model.rulebook import Rulebook, UnitData
    from diag.model.threshold import Threshold


def rule_folders(folder: str | None = None) -> tuple[Path, ...]:
    """Return the folders of rules in use: `folder`, or the shipped one and the user's own.

    A folder of the user's own without a rule file is left out. Raises `WrongUse` for a folder
    that is not there.
    """
    from diag.rulebook.yaml.source import rule_files

    base = path_of(folder) if folder else shipped_rules()
    if not base.is_dir():
        raise WrongUse(f"`{folder}` is not a folder of rules; name one, or leave --rules out")
    own = () if folder else (user_rules(), user_units())
    return (base, *(path for path in own if any(rule_files(path))))


def lesson_folders(folders: Iterable[Path]) -> tuple[Path, ...]:
    """Return the folders of lessons beside the rules in some folders, where there are any."""
    from diag.rulebook.yaml.source import LESSONS, rule_files

    return tuple(path / LESSONS for path in folders if any(rule_files(path / LESSONS, skip=())))


@contextmanager
def collector_held() -> Iterator[None]:
    """Hold back the search for dead circles: nothing that is read dies before the end.

    Without this the collector walks all that was read again and again, and ten times the
    rules take forty times as long. Freezing and thawing moves what was read among the old
    objects, so that it is not walked at the end either.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            if not gc.get_freeze_count():
                gc.freeze()
                gc.unfreeze()
            gc.enable()


def load_book(folder: str | None = None, drafts: bool = False) -> Rulebook:
    """Load the rules of `folder`, or the shipped ones; the user's own rules and units on top.

    Files that say `status: draft` are left out unless `drafts` are asked for. Raises
    `ProblemsFound` with all that is wrong in any file, and `WrongUse` for a folder that is not
    there.
    """
    from diag.library.rules import load_rules
    from diag.physics.formulas.catalogue import FORMULAS

    with collector_held(), patience("Reading the rules"):
        return load_rules(*rule_folders(folder), formulas=FORMULAS, drafts=drafts)


def shipped_thresholds() -> Mapping[str, Threshold]:
    """Return the limits that come with the program, by name, without the rest of its rules.

    Raises `ProblemsFound` for a file that cannot be read.
    """
    from diag.rulebook import load_thresholds

    return load_thresholds(shipped_rules())


def find_unit(book: Rulebook, name: str) -> UnitData:
    """Return the unit of that name, whatever its capitals; `WrongUse` with the nearest names."""
    return book.units[unit_named(name, book.units)]


def unit_or_first(book: Rulebook, name: str | None) -> UnitData:
    """Return the unit of that name, or the first one where none is named; see `find_unit`."""
    if name is None and not book.units:
        raise WrongUse("these rules know no unit; add one, or name one with --unit")
    return find_unit(book, name) if name is not None else next(iter(book.units.values()))


def unit_named(name: str, units: Iterable[str]) -> str:
    """Return the unit of that name among `units`; `WrongUse` with the nearest names."""
    return named("unit", name, units)


def find_complaint(book: Rulebook, text: str) -> str:
    """Return the complaint that the words name; `WrongUse` with the nearest names."""
    wanted = " ".join(text.lower().split())
    for name, complaint in book.complaints.items():
        if wanted in (name, complaint.title.lower(), *complaint.words):
            return name
    return named("complaint", text, book.complaints)


def named(what: str, name: str, known: Iterable[str]) -> str:
    """Return the one of that name among those known; `WrongUse` with the nearest names."""
    names = list(known)
    wanted = " ".join(name.split()).lower()
    for one in names:
        if one.lower() in (wanted, wanted.replace("-", " ")):
            return one
    from difflib import get_close_matches

    near = get_close_matches(wanted, [one.lower() for one in names], n=3, cutoff=0.5)
    close = [one for one in names if one.lower() in near] or names[:3]
    listed = ", ".join(f"`{one}`" for one in close)
    raise WrongUse(f"there is no {what} `{name[:40]}`; near it are {listed}")
