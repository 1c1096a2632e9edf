"""Lints: what rule files must keep beyond being readable. Each module with a `LINT` is one."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Place, Problem

__all__ = ["LINTS", "Lint", "Material", "run_lints"]


def _lints() -> list[Lint]:
    """Return what each module of this folder calls its `LINT`."""
    modules = [import_module(f"{__name__}.{each.name}") for each in iter_modules(__path__)]
    return [module.LINT for module in modules if hasattr(module, "LINT")]


LINTS: tuple[Lint, ...] = tuple(sorted(_lints(), key=lambda lint: lint.code))


def run_lints(material: Material, lints: tuple[Lint, ...] = LINTS) -> tuple[Problem, ...]:
    """Run lints over a rulebook; return every problem once, sorted by place, with its line."""
    lines: dict[str, list[str]] = {}
    found = {
        replace(
            problem,
            message=f"{problem.message} [{lint.code} {lint.name}]",
            line_text=_line(problem.place, lines),
            code=lint.code,
        )
        for lint in lints
        for problem in lint.check(material)
    }
    return tuple(sorted(found))


def _line(place: Place, lines: dict[str, list[str]]) -> str:
    """Return the line that a place names; empty where it names none."""
    if not place.line:
        return ""
    if place.path not in lines:
        try:
            lines[place.path] = Path(place.path).read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            lines[place.path] = []
    known = lines[place.path]
    return known[place.line - 1] if place.line <= len(known) else ""
