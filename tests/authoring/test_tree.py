"""The policy tree: shares and minutes add up, it agrees with a session, and each form prints it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
import shop

from diag.authoring.tree import PolicyNode, complaint_policy, opening
from diag.authoring.tree_text import (
    as_data,
    as_markdown,
    as_numbered,
    as_numbered_markdown,
    as_text,
    cautions_of,
)
from diag.model.rulebook import Rulebook
from diag.session.journal.events import Answered
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, Closing, ProposeRepair
from diag.session.repairing.evidence import BEFORE_PARTS
from diag.session.state import SessionState

COMPLAINT = "will not light"


@pytest.fixture
def book(tmp_path: Path) -> Rulebook:
    """Load the small rulebook."""
    return shop.read(shop.written(tmp_path)).rulebook


def _tree(book: Rulebook, depth: int = 4, least_share: float = 0.0) -> PolicyNode:
    return complaint_policy(book, book.units["LAMP 1"], COMPLAINT, depth, least_share)


def _nodes(node: PolicyNode) -> Iterator[PolicyNode]:
    yield node
    for branch in node.branches:
        yield from _nodes(branch.then)


def test_shares_add_up(book: Rulebook) -> None:
    """The chances of a point's branches add to 1, and the shares of all ends add to the whole."""
    nodes = list(_nodes(_tree(book)))
    for node in nodes:
        if node.sign:
            assert pytest.approx(1.0) == sum(branch.chance for branch in node.branches)
    assert pytest.approx(1.0) == sum(node.share for node in nodes if not node.sign)


def test_minutes_are_those_of_the_checks_and_of_what_follows(book: Rulebook) -> None:
    """A point costs its own checks, getting at them once, and what follows by its chance."""
    paid: set[str] = set()
    for node in _nodes(_tree(book)):
        if node.sign:
            own = node.minutes - sum(b.chance * b.then.minutes for b in node.branches)
            # The meter: 3 minutes. Taking the glass off: 2, and 10 to the bench.
            wanted = {"look at it": 1.0, "read the meter": 3.0, "open it": 12.0}
            assert pytest.approx(sum(wanted[check] for check in node.checks)) == own
            paid.update(node.checks)
    assert {"look at it", "read the meter"} <= paid


def test_it_begins_with_what_every_session_begins_with(book: Rulebook) -> None:
    """The complaint's own looks come first."""
    assert ("look at it",) == opening(book, COMPLAINT)
    assert "look at it" == _tree(book).checks[0]


def test_what_the_meter_shows_decides_the_repair(book: Rulebook) -> None:
    """A dark beam with flat cells leads to new cells."""
    node = _tree(book)
    taken = {"beam": "dark", "supply": "sags", "wet": "no"}
    while node.sign:
        node = next(
            branch.then for branch in node.branches
            if taken.get(node.sign, branch.states[0]) in branch.states
        )  # fmt: skip
    assert ("repair", "flat cells") == (node.verdict, node.act)


@pytest.mark.parametrize("beam", ["bright", "dim", "dark"])
@pytest.mark.parametrize("wet", ["yes", "no"])
def test_it_goes_the_way_of_a_session(beam: str, wet: str, book: Rulebook) -> None:
    """After the first looks the tree does, repairs or closes what a session does then.

    The look that a session makes before parts are bought stands with the tree's repair.
    """
    state = SessionState(book, book.units["LAMP 1"], COMPLAINT)
    state.apply(Answered("beam", beam, "seen", check="look at it"))
    state.apply(Answered("wet", wet, "seen", check="look at it"))
    prompt = next_prompt(state)
    node, taken = _tree(book), {"beam": beam, "wet": wet}
    while node.sign in taken:
        sign = node.sign
        node = next(one.then for one in node.branches if taken[sign] in one.states)
    if isinstance(prompt, AskFinding) and prompt.reason == BEFORE_PARTS:
        assert prompt.choice is not None
        assert prompt.check is not None
        assert ("repair", prompt.choice.best.name) == (node.verdict, node.act)
        assert prompt.check.id == node.look
    elif isinstance(prompt, AskFinding):
        assert prompt.check is not None
        assert prompt.check.id == node.checks[-1]
    elif isinstance(prompt, ProposeRepair):
        assert ("repair", prompt.cause.id) == (node.verdict, node.act)
    else:
        assert isinstance(prompt, Closing)
        assert prompt.verdict == node.verdict


def test_each_look_says_how_it_is_known(book: Rulebook) -> None:
    """What is looked at is told with how one knows of it: told, seen or measured."""
    ways = {node.sign: node.how for node in _nodes(_tree(book)) if node.sign}
    assert {"beam": "seen", "supply": "measured"} == {
        sign: ways[sign] for sign in ("beam", "supply")
    }
    lines = [line.strip() for line in as_text(book, COMPLAINT, _tree(book))]
    assert {"Beam (seen):", "Supply (measured):"} <= set(lines)


def test_a_look_before_parts_is_told_with_the_repair(book: Rulebook) -> None:
    """Where a session would look before it buys parts, the tree's repair says so; elsewhere not."""
    repairs = [node for node in _nodes(_tree(book)) if node.verdict == "repair"]
    looked = [node for node in repairs if node.look]
    assert looked
    for node in looked:
        assert book.causes[node.act].repair.parts
        assert node.look in book.checks
    lines = [
        line for line in as_text(book, COMPLAINT, _tree(book)) if " before parts, then " in line
    ]
    assert len(looked) == len(lines)


def test_no_check_is_done_twice_on_a_path(book: Rulebook) -> None:
    """Along any path each check and each sign comes once."""

    def walk(node: PolicyNode, checks: tuple[str, ...], signs: tuple[str, ...]) -> None:
        checks, signs = (*checks, *node.checks), (*signs, node.sign)
        assert len(set(checks)) == len(checks)
        assert len(set(signs)) == len(signs)
        for branch in node.branches:
            walk(branch.then, checks, signs)

    walk(_tree(book), (), ())


def test_depth_bounds_the_checks(book: Rulebook) -> None:
    """With a depth of 0 nothing is done beyond the first looks, and the ends say what is next."""
    nodes = list(_nodes(_tree(book, depth=0)))
    assert {"look at it"} == {check for node in nodes for check in node.checks}
    cut = [node for node in nodes if node.verdict == "cut"]
    assert {"read the meter"} == {node.act for node in cut}


def test_rare_states_are_lumped(book: Rulebook) -> None:
    """States that lead to too few units stand in one branch, and no end but that is rare."""
    for node in _nodes(_tree(book, least_share=0.1)):
        for branch in node.branches:
            if branch.then.verdict == "rare":
                assert () == branch.then.causes
            else:
                assert branch.then.share >= 0.1


def test_an_unknown_complaint_is_refused(book: Rulebook) -> None:
    """A complaint that the rules do not know has no tree."""
    with pytest.raises(KeyError):
        complaint_policy(book, book.units["LAMP 1"], "sings")


def test_numbered_steps_lead_to_each_other(book: Rulebook) -> None:
    """Each step to go to is there, and each step but the first is gone to once."""
    lines = list(as_numbered(book, COMPLAINT, _tree(book)))
    assert "1. Switch the lamp on and look. (1 min, ask)" in lines
    steps = [line.split(".")[0] for line in lines if line[:1].isdigit()]
    goals = [line.rsplit("go to ", 1)[1] for line in lines if "go to " in line]
    assert sorted(steps, key=int)[1:] == sorted(goals, key=int)


def test_text_and_markdown_tell_the_same(book: Rulebook) -> None:
    """Both forms hold the same sentences in the same order."""
    root = _tree(book)
    text = [line.strip() for line in as_text(book, COMPLAINT, root) if line]
    page = [line.strip() for line in as_markdown(book, COMPLAINT, root) if line]
    plain = [line.removeprefix("- ").removeprefix("* ") for line in page]
    marked = [line.replace("**Caution:**", "Caution:") for line in plain]
    assert f"It does not light: about {root.minutes:.0f} min" == text[0]
    assert "It does not light" == marked[0].removeprefix("# ")
    assert marked[1] == f"About {root.minutes:.0f} min. {text[1]}"
    assert text[2:] == marked[2:]


def test_what_may_hurt_is_told_before_the_first_step(book: Rulebook) -> None:
    """Each caution of a check or a repair on the sheet stands once, above the steps."""
    root = _tree(book)
    acts = {check for node in _nodes(root) for check in node.checks} | {
        node.act for node in _nodes(root)
    }
    known = {**book.checks, **book.causes}
    wanted = {book.cautions[name] for act in acts & known.keys() for name in known[act].cautions}
    assert wanted
    assert wanted == set(cautions_of(book, root))
    for sheet in (as_numbered, as_text):
        lines = list(sheet(book, COMPLAINT, root))
        above = lines[: lines.index("", lines.index("") + 1)]
        told = [line for line in above if line.startswith("Caution: ")]
        assert told == [f"Caution: {text}" for text in cautions_of(book, root)]


def test_the_data_hold_every_point(book: Rulebook) -> None:
    """As plain data the tree survives JSON and holds as many ends as the tree itself."""
    root = _tree(book)
    data = json.loads(json.dumps(as_data(root)))
    ends = sum(1 for node in _nodes(root) if not node.sign)
    assert ends == json.dumps(data).count('"verdict"')
    assert (root.sign, list(root.checks)) == (data["sign"], data["checks"])


def test_numbered_steps_in_markdown_are_the_same(book: Rulebook) -> None:
    """Below its heading the Markdown page has the same lines."""
    root = _tree(book)
    page = list(as_numbered_markdown(book, COMPLAINT, root))
    sheet = list(as_numbered(book, COMPLAINT, root))
    assert "# It does not light" == page[0]
    assert sheet[sheet.index("", 3) :] == page[page.index("", 4) :]
