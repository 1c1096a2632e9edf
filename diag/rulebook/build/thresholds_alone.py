"""Thresholds without the rest of the rules, for who needs no more than a few limits.

To load a reader of YAML takes longer than all that a bench command does. So lines of the few
plainest forms are read as they stand; at the first other line the reader of all rules takes over,
which alone says what is wrong.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from diag.model.amounts import amount
from diag.model.problem import Place, Problem, ProblemsFound
from diag.model.threshold import Threshold
from diag.rulebook.language.tokens import why_no_id
from diag.rulebook.yaml.scalars import origin

FILE = "thresholds.yaml"
_TEXT = r"([A-Za-z0-9](?:[A-Za-z0-9 .,;()/%'-]*[A-Za-z0-9.)%])?)"
"""A text in which YAML finds nothing but itself."""
_INSIDE = _TEXT.replace(",", "")
"""The same in braces, where a comma parts."""
_LINE = re.compile(
    r"(?P<nothing> *(?:#[ -~]*)?)|(?P<section>thresholds:)|"
    rf"source: {_TEXT}|  ([a-z][a-z0-9' -]*):|    (title|value|source): {_TEXT}|"
    rf"    proportional to: \{{{_INSIDE}: {_INSIDE}\}}"
)


class _Doubtful(ValueError):
    """A line of another form, which may be wrong or may only be written otherwise."""


def load_thresholds(folder: Path) -> Mapping[str, Threshold]:
    """Read the thresholds of a folder's `thresholds.yaml` alone; raises `ProblemsFound`.

    What a threshold is proportional to is not looked up: that is for the whole rulebook.
    """
    path = folder / FILE
    if not path.is_file():
        problem = Problem(Place(str(path)), "there is no such file", f"add `{FILE}` to the rules")
        raise ProblemsFound((problem,))
    try:
        return _plainly(path)
    except (OSError, ValueError):
        return _in_full(path)


def _plainly(path: Path) -> dict[str, Threshold]:
    """Read a file of the plainest lines; raises `ValueError` for any other."""
    usual, within = "", False
    entries: dict[str, dict[str, str]] = {}
    places: dict[str, Place] = {}
    entry: dict[str, str] = {}
    for number, line in enumerate(path.read_bytes().decode("ascii").split("\n"), start=1):
        match = _LINE.fullmatch(line)
        if match is None:
            raise _Doubtful
        own, name, key, text, datum, at = match.groups()[2:]
        if match["nothing"] is not None:
            continue
        if match["section"] or own:
            if within or (own and usual):
                raise _Doubtful
            within, usual = bool(match["section"]), own or usual
        elif name and within and name not in entries and not why_no_id(name):
            entry = entries[name] = {}
            places[name] = Place(str(path), number, 3)
        elif entries and (key or datum) and (key or "at") not in entry:
            entry.update({key: text} if key else {"datum": datum, "at": at})
        else:
            raise _Doubtful
    if not entries:
        raise _Doubtful
    return {name: _made(name, entries[name], places[name], usual) for name in sorted(entries)}


def _made(name: str, entry: Mapping[str, str], place: Place, usual: str) -> Threshold:
    if "value" not in entry:
        raise _Doubtful
    scaled = {entry["datum"]: amount(entry["at"])} if "at" in entry else {}
    source = origin(entry.get("source", usual))
    return Threshold(name, amount(entry["value"]), scaled, entry.get("title", ""), source, place)


def _in_full(path: Path) -> dict[str, Threshold]:
    from diag.rulebook.build.gather import Gathered
    from diag.rulebook.build.thresholds import thresholds

    gathered = Gathered()
    source, top, _ = gathered.open(path, str(path))
    if top is not None:
        gathered.add_file(source, top)
    found = {} if gathered.problems else thresholds(gathered)
    if gathered.problems:
        raise ProblemsFound(tuple(sorted(gathered.problems)))
    return found
