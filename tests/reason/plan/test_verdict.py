"""When a session looks once more, repairs or ends, going by the planner's choice."""

from __future__ import annotations

import pytest

from diag.model.rulebook import Cause, Repair, Sign
from diag.model.settings import Settings
from diag.reason.belief.links import compile_links
from diag.reason.belief.posterior import Posterior, Weights
from diag.reason.plan.choose import Choice, Ranked
from diag.reason.plan.verdict import verdict

CAUSES = {
    name: Cause(name, name, "", 0.1, {"s": {"bad": 0.5}}, Repair(("mend",), 5)) for name in "ab"
}
LINKS = compile_links({"s": Sign("s", ("good", "bad"), "")}, CAUSES)
SETTINGS = Settings(found_at=0.8)


def _acts(kind: str, name: str, telling: str = "look") -> Choice:
    return Choice(Ranked(kind, name, 50.0), (), telling)


def _believed(a: float, b: float, nothing: float) -> Posterior:
    return Posterior(LINKS, Weights(nothing, 1 - a - b - nothing, (a, b), {}))


@pytest.mark.parametrize(
    ("shares", "choice", "expected"),
    [
        ((0.5, 0.2, 0.3), _acts("check", "read"), ("check", "read")),
        ((0.98, 0.01, 0.0), _acts("check", "read"), ("repair", "a")),
        ((0.5, 0.2, 0.3), _acts("repair", "a"), ("repair", "a")),
        ((0.3, 0.3, 0.3), _acts("repair", "a"), ("check", "look")),
        ((0.5, 0.3, 0.2), _acts("repair", "b", ""), ("repair", "b")),
        ((0.2, 0.2, 0.6), _acts("repair", "nothing wrong"), ("nothing-wrong", "nothing wrong")),
        ((0.4, 0.3, 0.2), _acts("repair", "nothing wrong"), ("check", "look")),
        ((0.3, 0.3, 0.3), _acts("stop", "stop", ""), ("unknown", "a")),
    ],
)
def test_the_plan_is_followed_unless_too_little_is_known(
    shares: tuple[float, float, float], choice: Choice, expected: tuple[str, str]
) -> None:
    """What is best is done; an unlikely repair waits while a check may change what leads."""
    found = verdict(_believed(*shares), choice, SETTINGS)
    assert expected == (found.kind, found.name)


def test_a_unit_is_not_called_sound_while_a_cause_turned_down_is_likelier() -> None:
    """That its repair was declined does not make a cause go away."""
    found = verdict(_believed(0.5, 0.1, 0.4), _acts("repair", "nothing wrong"), SETTINGS, {"a"})
    assert ("check", "look") == (found.kind, found.name)


def test_after_a_failed_proof_another_run_is_no_verdict_of_soundness() -> None:
    """Where all may be mended and a run costs least, it is run again; nothing is called sound."""
    shares, acts = _believed(0.3, 0.1, 0.5), _acts("repair", "nothing wrong")
    assert "nothing-wrong" == verdict(shares, acts, SETTINGS).kind
    found = verdict(shares, acts, SETTINGS, proof_failed=True)
    assert ("run again", "nothing wrong", 0.5) == (found.kind, found.name, found.share)
