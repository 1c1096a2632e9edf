"""Where each name of a rule set is held, and in which order the names are settled.

Every name is a cell. What is computed or concluded is settled part by part: each part comes
after what it rests on, and only in a circle do the cells of one part rest on one another.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from diag.model.expression import Condition, names_in, unit_names_in
from diag.model.knowledge import Fact, Figure, Rule
from diag.model.stratify import figure_graph, parts_of, sign_graph

Numbers = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """The cells of a rule set and the parts in which they are settled, all by number."""

    cell: Mapping[str, int]
    """Finding, sign, figure, `unit NAME`, `hazard: NAME` or `excluded: NAME` to cell."""
    names: tuple[str, ...]
    """Cell to that name."""
    parts: tuple[Numbers, ...]
    """The cells that are computed or concluded, each part after what it rests on."""
    part: Mapping[int, int]
    """Cell to part; what is asked is in none."""
    circles: frozenset[int]
    """The parts whose cells rest on one another."""
    readers: tuple[Numbers, ...]
    """Cell to the parts that mention it."""
    figures_after: tuple[Numbers, ...]
    """Cell to the cells of the figures that rest on it, in the order of computing."""


def cell_name(fact: Fact) -> str:
    """Return where a fact is held: a sign under its name, an end under kind and name.

    >>> cell_name(Fact("hazard", "gas", "present"))
    'hazard: gas'
    """
    return fact.name if fact.kind == "sign" else f"{fact.kind}: {fact.name}"


def mentioned(source: Condition | Figure) -> tuple[str, ...]:
    """Return the cell names that a condition or a figure mentions, each once."""
    nodes = source.terms if isinstance(source, Figure) else (source,)
    names = [name for node in nodes for name in names_in(node)]
    names += [f"unit {name}" for node in nodes for name in unit_names_in(node)]
    return tuple(dict.fromkeys(names))


def laid_out(
    rules: Sequence[Rule], figures: Mapping[str, Figure], signs: Iterable[str] = ()
) -> Layout:
    """Give each name a cell and each computed or concluded cell its part."""
    sums = parts_of(figure_graph(figures)).order
    graph = sign_graph(rules)
    concluded = parts_of(graph).order
    ends = dict.fromkeys(cell_name(rule.then) for rule in rules if rule.then.kind != "sign")
    groups = (*sums, *concluded, *((name,) for name in ends))
    used = [name for rule in rules for name in mentioned(rule.when)]
    used += [name for figure in figures.values() for name in mentioned(figure)]
    names = tuple(dict.fromkeys((*used, *(name for group in groups for name in group), *signs)))
    cell = {name: number for number, name in enumerate(names)}
    parts = tuple(tuple(cell[name] for name in group) for group in groups)
    part = {place: number for number, places in enumerate(parts) for place in places}
    below: list[list[int]] = [[] for _ in parts]
    for figure in figures.values():
        below[part[cell[figure.id]]] += [cell[name] for name in mentioned(figure)]
    for rule in rules:
        below[part[cell[cell_name(rule.then)]]] += [cell[name] for name in mentioned(rule.when)]
    circles = [n for n, places in enumerate(parts) if not set(places).isdisjoint(below[n])]
    return Layout(
        cell=cell,
        names=names,
        parts=parts,
        part=part,
        circles=frozenset(circles),
        readers=inverse(below, len(names)),
        figures_after=_figures_after(below[: len(sums)], parts, len(names)),
    )


def inverse(lists: Iterable[Iterable[int]], size: int) -> tuple[Numbers, ...]:
    """Turn lists of numbers below `size` round: number to the lists that hold it, each once.

    >>> inverse([[0, 2], [2, 2]], 3)
    ((0,), (), (0, 1))
    """
    found: list[dict[int, None]] = [{} for _ in range(size)]
    for number, entries in enumerate(lists):
        for entry in entries:
            found[entry][number] = None
    return tuple(tuple(numbers) for numbers in found)


def _figures_after(
    below: Sequence[Sequence[int]], parts: Sequence[Numbers], size: int
) -> tuple[Numbers, ...]:
    """Follow the figures up from each cell; figures come one a part, in order of computing."""
    under: dict[int, set[int]] = {}
    after: list[list[int]] = [[] for _ in range(size)]
    for (figure,), direct in zip(parts, below, strict=False):
        under[figure] = set(direct).union(*(under.get(place, ()) for place in direct))
        for place in under[figure]:
            after[place].append(figure)
    return tuple(tuple(figures) for figures in after)
