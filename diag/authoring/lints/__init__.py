"""Lints: what rule files must keep beyond being readable. One lint a file; add it to `LINTS`."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from diag.authoring.lints import (
    ask_is_question,
    cause_complete,
    cause_has_case,
    cause_in_its_folder,
    caution_used,
    charge_cautioned,
    complaint_answered,
    complaint_words_once,
    confused_separated,
    deep_work_cautioned,
    do_is_sentence,
    fact_counted_once,
    finding_used,
    finding_yielded,
    licensed_work,
    must_not_show_kept,
    number_origin,
    proven_by_cases,
    run_cautioned,
    short_sentences,
    sign_used,
    source_findable,
    state_reached,
)
from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Place, Problem

__all__ = ["LINTS", "Lint", "Material", "run_lints"]

LINTS: tuple[Lint, ...] = tuple(
    sorted(
        (
            module.LINT
            for module in (
                ask_is_question,
                caution_used,
                cause_complete,
                cause_has_case,
                cause_in_its_folder,
                charge_cautioned,
                complaint_answered,
                complaint_words_once,
                confused_separated,
                deep_work_cautioned,
                do_is_sentence,
                fact_counted_once,
                finding_used,
                finding_yielded,
                licensed_work,
                must_not_show_kept,
                number_origin,
                proven_by_cases,
                run_cautioned,
                short_sentences,
                sign_used,
                source_findable,
                state_reached,
            )
        ),
        key=lambda lint: lint.code,
    )
)


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
