"""The layers of a rule set: what must be settled before what is denied can be relied on.

Strongly connected parts give both the layers of the rules and the order in which a chain settles
them; a rule set is stratified if no part denies a name of its own (Apt, Blair and Walker 1988).
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Generic, TypeVar

from diag.logic.rests_on import directly_below
from diag.model.expression import And, Compare, Condition, Is, Known, Not, Or, names_in
from diag.model.frozen import frozen
from diag.model.rulebook import Figure, Rule

Node = TypeVar("Node")

_TOLD, _JOINED = (Is, Known), (And, Or)


@frozen
class Circle:
    """Names that rest on one another in a way that cannot be settled; first and last agree.

    `rules` are those that close the circle, one per step; a circle of figures has none.
    """

    names: tuple[str, ...]
    rules: tuple[Rule, ...] = ()

    def __str__(self) -> str:
        verb = "rests on" if self.rules else "is computed from"
        steps = [f"`{name}` {verb} `{below}`" for name, below in pairwise(self.names)]
        if self.rules:
            steps[0] += " not being so"
        return ", and ".join(filter(None, (", ".join(steps[:-1]), steps[-1])))


@frozen
class Parts(Generic[Node]):
    """A graph's strongly connected parts, each after the parts that it rests on."""

    order: tuple[tuple[Node, ...], ...]
    part_of: Mapping[Node, int]


def mentions(condition: Condition, denied: bool = False) -> Iterator[tuple[str, bool]]:
    """Yield each name that may be a sign, and whether it must be settled before.

    A name must be settled where the condition can turn from true to something else once the
    name gets one more state: under an odd number of `not`, or inside a comparison.

    >>> list(mentions(Not(Or((Is("a", ("on",)), Not(Known("b")))))))
    [('a', True), ('b', False)]
    """
    if isinstance(condition, _TOLD):
        yield condition.name, denied
    elif isinstance(condition, Not):
        yield from mentions(condition.item, not denied)
    elif isinstance(condition, _JOINED):
        for item in condition.items:
            yield from mentions(item, denied)
    elif isinstance(condition, Compare):
        yield from ((name, True) for name in names_in(condition))


def parts_of(graph: Mapping[Node, Iterable[Node]]) -> Parts[Node]:
    """Split a graph (node to what it rests on) into strongly connected parts.

    Nodes within a part stand in the order of the mapping; what the mapping lacks is left out.

    >>> parts_of({"c": ["b"], "b": ["a", "c"], "a": []}).order
    (('a',), ('c', 'b'))
    """
    rank = {node: number for number, node in enumerate(graph)}
    order: list[tuple[Node, ...]] = []
    part_of: dict[Node, int] = {}
    for found in _tarjan(graph):
        part = tuple(sorted(found, key=rank.__getitem__))
        part_of.update(dict.fromkeys(part, len(order)))
        order.append(part)
    return Parts(tuple(order), part_of)


def _tarjan(graph: Mapping[Node, Iterable[Node]]) -> Iterator[list[Node]]:
    """Yield the strongly connected parts, each after those that it rests on.

    Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Comput. 1 (1972), with
    its path kept in a list so that a deep rule set does not run out of stack.
    """
    low: dict[Node, int] = {}
    stack: list[Node] = []
    done: set[Node] = set()
    for root in graph:
        path: list[tuple[Node, int, Iterator[Node]]] = []
        below: Node | None = None if root in low else root
        while path or below is not None:
            if below is not None:
                path.append((below, len(low), iter(graph[below])))
                low[below] = len(low)
                stack.append(below)
            node, found, rest = path[-1]
            below = None
            for each in rest:
                if each in graph and each not in low:
                    below = each
                    break
                if each in graph and each not in done:
                    low[node] = min(low[node], low[each])
            else:
                path.pop()
                if path:
                    low[path[-1][0]] = min(low[path[-1][0]], low[node])
                if low[node] == found:
                    part = [stack.pop()]
                    while part[-1] != node:
                        part.append(stack.pop())
                    done.update(part)
                    yield part


def sign_graph(rules: Iterable[Rule]) -> dict[str, dict[str, bool]]:
    """Map each sign that rules conclude to the signs it rests on and whether before it."""
    concluding = [rule for rule in rules if rule.then.kind == "sign"]
    graph: dict[str, dict[str, bool]] = {rule.then.name: {} for rule in concluding}
    for rule in concluding:
        below = graph[rule.then.name]
        for name, before in mentions(rule.when):
            if name in graph:
                below[name] = below.get(name, False) or before
    return graph


def denial_within(
    graph: Mapping[str, Mapping[str, bool]], parts: Parts[str]
) -> tuple[str, str] | None:
    """Return the first sign that denies a sign of its own part, and that sign, if any."""
    for part in parts.order:
        for name in part:
            for below, before in graph[name].items():
                if before and parts.part_of[below] == parts.part_of[name]:
                    return name, below
    return None


def stratify(rules: Sequence[Rule], figures: Mapping[str, Figure]) -> Mapping[str, int] | Circle:
    """Give each sign, danger and excluded cause the layer of its rules, or the first circle.

    A sign's layer is above that of each sign that it denies and not below that of each sign
    that it needs. Findings, figures and signs without rules are not listed: their layer is 0.
    Dangers and excluded causes decide nothing further; one with the name of a sign is left
    out in favour of the sign.
    """
    circle = figure_circle(figures)
    if circle:
        return circle
    graph = sign_graph(rules)
    parts = parts_of(graph)
    denial = denial_within(graph, parts)
    if denial:
        return _circle(rules, graph, parts.order[parts.part_of[denial[0]]], *denial)
    layers: dict[str, int] = {}
    for number, part in enumerate(parts.order):
        below = (step for name in part for step in graph[name].items())
        outside = (layers[n] + before for n, before in below if parts.part_of[n] != number)
        layers.update(dict.fromkeys(part, max(outside, default=0)))
    ends: dict[str, int] = {}
    for rule in rules:
        if rule.then.name not in graph:
            own = max((layers.get(n, 0) + before for n, before in mentions(rule.when)), default=0)
            ends[rule.then.name] = max(own, ends.get(rule.then.name, 0))
    return {**layers, **ends}


def _circle(
    rules: Sequence[Rule],
    graph: Mapping[str, Mapping[str, bool]],
    part: tuple[str, ...],
    name: str,
    denied: str,
) -> Circle:
    """Name the shortest circle in which `name` rests on the denial of `denied`."""
    names = (name, *_path(graph, part, denied, name))
    first = _rule_between(rules, name, denied, denies=True)
    others = (_rule_between(rules, *step) for step in pairwise(names[1:]))
    return Circle(names, (first, *others))


def _rule_between(rules: Sequence[Rule], head: str, below: str, denies: bool = False) -> Rule:
    """Return the first rule for the sign `head` that needs, or denies, the sign `below`."""
    return next(
        rule
        for rule in rules
        if rule.then.kind == "sign" and rule.then.name == head
        for name, before in mentions(rule.when)
        if name == below and (before or not denies)
    )


def figure_circle(figures: Mapping[str, Figure]) -> Circle | None:
    """Return the first figures that are computed from one another, if any."""
    graph = directly_below((), figures)
    for part in parts_of(graph).order:
        for name in part:
            for below in graph[name]:
                if below in part:
                    return Circle((name, *_path(graph, part, below, name)))
    return None


def _path(
    graph: Mapping[str, Iterable[str]], part: tuple[str, ...], start: str, goal: str
) -> tuple[str, ...]:
    """Return the shortest path from start to goal inside a strongly connected part."""
    came_from: dict[str, str] = {}
    edge = deque([start])
    while edge and goal != start and goal not in came_from:
        node = edge.popleft()
        for below in graph[node]:
            if below in part and below != start and below not in came_from:
                came_from[below] = node
                edge.append(below)
    path = [goal]
    while path[-1] != start:
        path.append(came_from[path[-1]])
    return tuple(reversed(path))
