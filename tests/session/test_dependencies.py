"""What rests on what, on the small book of another subject."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.dependencies import findings_of, told_of_by
from tests.session.test_controller import BICYCLE, sit, tell

# Two signs that hold each other up, as `swollen` and `stuck` do once either is seen.
ROUND_IN_A_RING = """
source: invented
signs:
  swollen:
    states: [no, yes]
    rules:
      - {when: stuck is yes or thorn is yes, then: yes, why: rust swells}
  stuck:
    states: [no, yes]
    rules:
      - {when: swollen is yes or tyre is flat, then: yes, why: what swells sticks}
"""


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def test_a_sign_rests_on_the_readings_of_its_figures(book: Rulebook) -> None:
    """A loss overnight rests on two readings, through the figure that the rules compare."""
    both = frozenset({"pressure in the evening", "pressure in the morning"})
    state = sit(book)[0].state
    assert findings_of(state, "overnight loss") == both
    assert findings_of(state, "tyre") == frozenset({"tyre"})


def test_signs_that_rest_on_each_other_have_an_end(tmp_path: Path) -> None:
    """Each rests on all that either could be seen by."""
    (tmp_path / "ring.yaml").write_text(ROUND_IN_A_RING)
    state = sit(load_rulebook([BICYCLE, tmp_path], {}))[0].state
    assert findings_of(state, "swollen") == findings_of(state, "stuck") == {"thorn", "tyre"}


def test_a_finding_tells_of_the_causes_still_in_question(book: Rulebook) -> None:
    """The likeliest comes first, and one that is ruled out is not named."""
    controller, _ = sit(book)
    tell(controller, "no", "soft")
    state = controller.state
    assert told_of_by(state, "pressure in the morning") == ("leaky valve", "thorn in the tyre")
    assert told_of_by(state, "thorn") == ("thorn in the tyre",)
    assert told_of_by(state, "brake gone") == ()
    controller.change("pressure in the evening = 4 bar")
    controller.change("pressure in the morning = 4 bar")
    assert "thorn in the tyre" in controller.state.belief.excluded
    assert told_of_by(controller.state, "thorn") == ()
