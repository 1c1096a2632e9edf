"""The two books of another subject, and the worked cases of the one about bread."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag import load_rules
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.rulebook import load_cases
from tests.library.answers import BICYCLE, BREAD


@pytest.fixture(scope="session")
def bread() -> Rulebook:
    return load_rules(BREAD)


@pytest.fixture(scope="session")
def bicycle() -> Rulebook:
    return load_rules(BICYCLE)


@pytest.fixture(scope="session")
def cases(bread: Rulebook) -> dict[str, Case]:
    return {case.id: case for case in load_cases(Path(BREAD, "cases"), bread)}
