"""New rule files to fill in: one template for each kind of entry, with every key explained."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import PurePosixPath

from diag.authoring.scaffold.case import case_lines
from diag.authoring.scaffold.cause import cause_lines
from diag.authoring.scaffold.check import check_lines
from diag.authoring.scaffold.finding import finding_lines
from diag.authoring.scaffold.lesson import lesson_lines
from diag.authoring.scaffold.names import area_of, file_name, refuse_name
from diag.authoring.scaffold.sign import sign_lines
from diag.model.rulebook import Rulebook

SCHEMA_FILE = "schema.json"
"""The editor's schema, at the top of a folder of rules."""
TEMPLATES: dict[str, Callable[[Rulebook, str, str], list[str]]] = {
    "cause": cause_lines,
    "finding": finding_lines,
    "check": check_lines,
    "sign": sign_lines,
    "case": case_lines,
    "lesson": lesson_lines,
}
"""Kind of entry to what writes its lines, from a rulebook, an id and an area."""


@dataclass(frozen=True, slots=True)
class Template:
    """The text of a new file, and its path in a folder of rules."""

    path: PurePosixPath
    text: str


def template(rulebook: Rulebook, kind: str, name: str, area: str = "") -> Template:
    """Return a file of one entry to fill in, for a folder of rules on top of the rulebook.

    Every `<...>` in it is a placeholder that the reader refuses. Raises `ValueError` with one
    sentence for an unknown kind, an id that cannot be one or is taken, an area that is no plain
    word, and a rulebook that holds nothing yet that the entry could rest on.
    """
    if kind not in TEMPLATES:
        known = ", ".join(f"`{one}`" for one in TEMPLATES)
        raise ValueError(f"`{kind[:40]}` cannot be begun; one of {known} can")
    refuse_name(rulebook, kind, name)
    folder = area_of(rulebook, kind, area)
    lines = TEMPLATES[kind](rulebook, name, folder)
    head = [
        "# Replace each <...>. A line that begins with # is only for you; take it out when done."
    ]
    if kind != "lesson":  # the schema is one of rules and cases
        head.insert(0, f"# yaml-language-server: $schema=../{SCHEMA_FILE}")
    path = PurePosixPath(folder) / f"{file_name(name)}.yaml"
    return Template(path, "\n".join((*head, *lines)) + "\n")
