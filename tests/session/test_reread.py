"""What taking a reading again is expected to bring."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

from diag.reason.belief.belief import Belief, Evidence
from diag.rulebook import load_rulebook
from diag.session.inconsistent import Inconsistency
from diag.session.reread import _expected_after, check_of
from diag.session.state import SessionState

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"


def test_of_a_sign_read_before_a_repair_and_after_it_the_later_reading_is_taken_again() -> None:
    """Where a sign was seen alike at two stages, the doubt is about the latest of them."""
    book = load_rulebook([BICYCLE], {})
    state = SessionState(book, next(iter(book.units.values())), "goes flat")
    belief = state.start
    for stage in (0, 1):
        belief = belief.observe(Evidence("thorn", "yes", 0.95, stage=stage))
    met: list[list[int]] = []

    def expect(after: Belief) -> float:
        met.append(sorted(one.stage for one in after.said))
        return 1.0

    doubt = Inconsistency("odd", ("thorn",), 1.0, "thorn", "yes")
    assert 1.0 == _expected_after(SimpleNamespace(belief=belief), doubt, expect)  # type: ignore[arg-type]
    assert [[0], [0, 1]] == met


def test_a_reading_is_taken_again_by_the_check_that_was_done(tmp_path: Path) -> None:
    """Of several checks that yield a finding one done already comes first, then the quickest."""
    (tmp_path / "more.yaml").write_text(
        "source: invented\n"
        "checks:\n"
        "  a long look: {do: Take the wheel out., minutes: 30, yields: [tyre]}\n"
        "  a squeeze: {do: Squeeze it., minutes: 0.1, yields: [tyre]}\n"
    )
    book = load_rulebook([BICYCLE, tmp_path], {})
    state = SessionState(book, next(iter(book.units.values())), "goes flat")
    assert book.checks["a squeeze"] == check_of(state, "tyre")
    state.done_checks["a long look"] = None
    assert book.checks["a long look"] == check_of(state, "tyre")
    assert check_of(state, "no such finding") is None
