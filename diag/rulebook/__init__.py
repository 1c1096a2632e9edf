"""YAML text to a checked rulebook; nothing here evaluates a rule.

The names are fetched when they are first used: listing the units wants a small part of all this.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from diag.rulebook.answer import Unbelievable, parse_answer, with_error
    from diag.rulebook.build.listing import unit_titles
    from diag.rulebook.build.thresholds_alone import load_thresholds
    from diag.rulebook.data_entries import read_entries
    from diag.rulebook.language.grammar import Mistake
    from diag.rulebook.load import (
        load_cases,
        load_rulebook,
        load_unit_file,
        parse_condition,
        read_readings,
    )

__all__ = [
    "Mistake",
    "Unbelievable",
    "load_cases",
    "load_rulebook",
    "load_thresholds",
    "load_unit_file",
    "parse_answer",
    "parse_condition",
    "read_entries",
    "read_readings",
    "unit_titles",
    "with_error",
]

_HOMES = {
    "answer": "Unbelievable parse_answer with_error",
    "language.grammar": "Mistake",
    "data_entries": "read_entries",
    "build.listing": "unit_titles",
    "build.thresholds_alone": "load_thresholds",
}


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module `{__name__}` has no `{name}`")
    home = next((module for module, names in _HOMES.items() if name in names.split()), "load")
    return getattr(import_module(f"{__name__}.{home}"), name)
