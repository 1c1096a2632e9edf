"""The program killed at the keyboard: six times here, hundreds of times by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("pty")


def test_no_answer_is_lost_and_no_question_is_wrong_after_a_kill(tmp_path: Path) -> None:
    """Resumed after SIGKILL, a session has every acknowledged answer and asks what it would."""
    from tests.bench.kills import killed

    lost, wrong, _ = killed(6, 20260405, tmp_path)
    assert ([], []) == (lost, wrong)
