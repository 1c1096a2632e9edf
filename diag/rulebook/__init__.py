"""YAML text to a checked rulebook; nothing here evaluates a rule."""

from diag.rulebook.answer import Unbelievable, parse_answer, with_error
from diag.rulebook.grammar import Mistake
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
    "load_unit_file",
    "parse_answer",
    "parse_condition",
    "read_readings",
    "with_error",
]
