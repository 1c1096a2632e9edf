"""A policy tree as text, as Markdown, as numbered steps, or as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from diag.authoring.tree import Branch, PolicyNode
from diag.model.phrasing import capital
from diag.model.rulebook import Rulebook

STEP = "  "
MINUTES = (
    "Minutes are those expected to a proved repair; parts and failed repairs count as minutes."
)
LOCAL_RULES = "Local rules, the unit's own manual and licensed trades come first."


def as_text(rulebook: Rulebook, complaint: str, root: PolicyNode) -> Iterator[str]:
    """Yield lines, two blanks deeper for each question; the cautions come first."""
    yield from _head(rulebook, complaint, root)
    yield ""
    yield from _lines(rulebook, root, 0, "")


def as_markdown(rulebook: Rulebook, complaint: str, root: PolicyNode) -> Iterator[str]:
    """Yield the lines of a Markdown page: a heading, the cautions, then one nested list."""
    yield from _marked_head(rulebook, complaint, root)
    yield ""
    yield from _lines(rulebook, root, 0, "- ")


def _head(rulebook: Rulebook, complaint: str, root: PolicyNode) -> Iterator[str]:
    yield f"{rulebook.complaints[complaint].title}: about {root.minutes:.0f} min"
    yield MINUTES
    yield ""
    for text in cautions_of(rulebook, root):
        yield f"Caution: {text}"
    yield LOCAL_RULES


def _marked_head(rulebook: Rulebook, complaint: str, root: PolicyNode) -> Iterator[str]:
    yield f"# {rulebook.complaints[complaint].title}"
    yield ""
    yield f"About {root.minutes:.0f} min. {MINUTES}"
    yield ""
    # Another bullet than that of the steps, or the two lists would run into one.
    for text in cautions_of(rulebook, root):
        yield f"* **Caution:** {text}"
    yield f"* {LOCAL_RULES}"


def cautions_of(rulebook: Rulebook, root: PolicyNode) -> tuple[str, ...]:
    """Return the cautions of all that may be done on the way, each once, the earliest first."""
    names = (name for node in _nodes(root) for name in _cautions_at(rulebook, node))
    return tuple(rulebook.cautions[name] for name in dict.fromkeys(names))


def _cautions_at(rulebook: Rulebook, node: PolicyNode) -> Iterator[str]:
    for check in (*node.checks, node.act, node.look):
        if check in rulebook.checks:
            yield from rulebook.checks[check].cautions
    if node.act in rulebook.causes:
        yield from rulebook.causes[node.act].cautions


def _nodes(node: PolicyNode) -> Iterator[PolicyNode]:
    yield node
    for branch in node.branches:
        yield from _nodes(branch.then)


def as_data(root: PolicyNode) -> dict[str, Any]:
    """Return a node and all below it as plain data, probabilities to four places."""
    found: dict[str, Any] = {"share": round(root.share, 4), "minutes": round(root.minutes, 1)}
    if root.checks:
        found["checks"] = list(root.checks)
    if root.sign:
        found["sign"] = root.sign
        found["how"] = root.how
        found["branches"] = [
            {
                "states": list(branch.states),
                "chance": round(branch.chance, 4),
                "then": as_data(branch.then),
            }
            for branch in root.branches
        ]
        return found
    found["verdict"] = root.verdict
    if root.act:
        found["act"] = root.act
    if root.look:
        found["look_before_parts"] = root.look
    found["causes"] = [{"cause": name, "probability": round(p, 4)} for name, p in root.causes]
    return found


def as_numbered(rulebook: Rulebook, complaint: str, root: PolicyNode) -> Iterator[str]:
    """Yield cautions, then numbered steps that say where their answers lead."""
    yield from _head(rulebook, complaint, root)
    yield from _steps(rulebook, root)


def as_numbered_markdown(rulebook: Rulebook, complaint: str, root: PolicyNode) -> Iterator[str]:
    """Yield numbered steps as a Markdown page: a heading, then one numbered list."""
    yield from _marked_head(rulebook, complaint, root)
    yield from _steps(rulebook, root)


def _steps(rulebook: Rulebook, root: PolicyNode) -> Iterator[str]:
    points = list(forks(root))
    numbers = {id(node): number for number, node in enumerate(points, 1)}
    for number, node in enumerate(points, 1):
        yield ""
        steps = [_act(rulebook, check) for check in node.checks]
        steps.append(f"{_title(rulebook, node)}:")
        head = f"{number}. "
        yield head + steps[0]
        yield from (" " * len(head) + step for step in steps[1:])
        for branch in node.branches:
            goal = numbers.get(id(branch.then))
            to_come = f"about {branch.then.minutes:.0f} min, go to {goal}"
            leads = to_come if goal else _ending(rulebook, branch.then)
            yield f"{' ' * len(head)}- {_states(branch)}: {leads}"
    if not points:
        yield ""
        yield _ending(rulebook, root)


def forks(root: PolicyNode) -> Iterator[PolicyNode]:
    """Yield the points at which something is looked at, in the order of their numbers."""
    return (node for node in _nodes(root) if node.sign)


def _lines(rulebook: Rulebook, node: PolicyNode, depth: int, mark: str) -> Iterator[str]:
    pad = STEP * depth + mark
    for check in node.checks:
        yield f"{pad}{_act(rulebook, check)}"
    if not node.sign:
        yield f"{pad}{_ending(rulebook, node)}"
        return
    yield f"{pad}{_title(rulebook, node)}:"
    deeper = STEP * (depth + 1) + mark
    for branch in node.branches:
        if branch.then.sign:
            yield f"{deeper}{_states(branch)}: about {branch.then.minutes:.0f} min"
            yield from _lines(rulebook, branch.then, depth + 2, mark)
        else:
            yield f"{deeper}{_states(branch)}: {_ending(rulebook, branch.then)}"


def _act(rulebook: Rulebook, name: str) -> str:
    check = rulebook.checks[name]
    return f"{check.do} ({check.minutes:g} min, {check.access})"


def _title(rulebook: Rulebook, node: PolicyNode) -> str:
    title = rulebook.signs[node.sign].title or node.sign
    return capital(title) + (f" ({node.how})" if node.how else "")


def _states(branch: Branch) -> str:
    *most, last = branch.states
    named = f"{', '.join(most)} or {last}" if most else last
    return f"{named} ({_percent(branch.chance)})"


def _percent(share: float) -> str:
    return "under 1 %" if share < 0.005 else f"{100 * share:.0f} %"


def _ending(rulebook: Rulebook, node: PolicyNode) -> str:
    if node.verdict == "rare":
        return "go on with a session"
    if node.verdict == "repair":
        share = _percent(dict(node.causes).get(node.act, 0.0))
        look = f"{node.look} before parts, then " if node.look else ""
        title = rulebook.causes[node.act].title
        return f"{look}repair: {title} ({share}, about {node.minutes:.0f} min)"
    if node.verdict == "nothing-wrong":
        return "nothing wrong is found; prove it with a test run"
    if node.verdict == "unknown":
        return "nothing that the rules know; hand it over"
    leading = ", ".join(f"{name} {_percent(share)}" for name, share in node.causes)
    return f"next: {node.act} (about {node.minutes:.0f} min); leading are {leading}"
