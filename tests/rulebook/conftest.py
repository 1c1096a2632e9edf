"""The lamp rulebook, loaded once."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from lamps import FILES, FORMULAS, write

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook


@pytest.fixture(scope="session")
def lamps(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    """Load the lamp rulebook as it should be."""
    return load_rulebook([write(tmp_path_factory.mktemp("lamps"), FILES)], FORMULAS)
