"""Each fault changes what it should, and nothing that it should not."""

from __future__ import annotations

import pytest

from diag.workshop import Trace
from tests.workshop.fault_rows import READINGS, ROWS, Row
from tests.workshop.runs import faulty_run

EDGE = 0.03  # of the sound unit's reading
SECONDS = 360.0


def _reading(trace: Trace, name: str) -> float | None:
    phases, how, channel = READINGS[name]
    value: float | None = getattr(trace.during(*phases), how)(channel)
    return value


def _told(row: Row) -> str:
    return f"{row.fault.part} {row.fault.quantity} {row.fault.degree}"


def test_at_least_sixty_faults_are_told() -> None:
    """The table of faults has no fewer than sixty rows, all of them different."""
    assert len(ROWS) >= 60
    assert len(ROWS) == len({row.fault for row in ROWS})


@pytest.mark.parametrize("row", ROWS, ids=_told)
def test_a_fault_changes_what_it_should_and_nothing_else(row: Row) -> None:
    """Readings are less, more or the same as a sound unit's, as the table of faults tells."""
    sound, faulty = faulty_run(seconds=SECONDS), faulty_run(row.fault, seconds=SECONDS)
    compared = {}
    for name in (*row.less, *row.more, *row.same):
        before, after = _reading(sound.trace, name), _reading(faulty.trace, name)
        assert before is not None, name
        if after is None:
            compared[name] = "never read"
            continue
        edge = max(abs(before), 1e-6)
        if after < before - EDGE * edge:
            compared[name] = "less"
        else:
            compared[name] = "more" if after > before + EDGE * edge else "same"
    expected = dict.fromkeys(row.less, "less") | dict.fromkeys(row.more, "more")
    assert expected | dict.fromkeys(row.same, "same") == compared
    assert set() == set(row.never) & set(faulty.trace.phases)
    assert row.flashes == faulty.mind.code
