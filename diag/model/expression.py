"""What a condition or a sum in a rule file is, once parsed, and the formulas that it may name.

Nodes compare by meaning, and know nothing of the text they were read from.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from diag.model.frozen import frozen
from diag.model.quantity import Quantity


@frozen
class Formula:
    """Name one computation, the quantities that it takes, and where it comes from.

    `inputs` pairs each input's plain name with its unit symbol, in the order in which
    `compute` takes them; `unit` is the unit symbol of the result. `compute` raises
    `ValueError` when an input cannot be true.

    >>> area = Formula(
    ...     name="area of a rectangle",
    ...     inputs=(("length", "m"), ("width", "m")),
    ...     unit="m2",
    ...     compute=lambda length, width: length * width,
    ...     source="geometry",
    ...     explains="The area is the length times the width.",
    ... )
    >>> area.compute(3.0, 2.0)
    6.0
    """

    name: str
    inputs: tuple[tuple[str, str], ...]
    unit: str
    compute: Callable[..., float]
    source: str
    explains: str


@frozen
class Literal:
    """A number with its unit."""

    quantity: Quantity


@frozen
class Ref:
    """A finding, sign or figure named by its id."""

    name: str


@frozen
class UnitRef:
    """A datum of the unit under test, written `unit NAME`."""

    name: str


@frozen
class Arithmetic:
    """`left op right` with op one of + - * /."""

    op: str
    left: Term
    right: Term


@frozen
class Compare:
    """`left op right` with op one of < <= > >= = !=."""

    op: str
    left: Term
    right: Term


@frozen
class Is:
    """`name is state`, or `name is one of state, state`."""

    name: str
    states: tuple[str, ...]


@frozen
class Known:
    """`known(name)`: true once there is an answer or a conclusion, false until then."""

    name: str


@frozen
class Not:
    """`not item`."""

    item: Condition


@frozen
class And:
    """All of the items."""

    items: tuple[Condition, ...]


@frozen
class Or:
    """Any of the items."""

    items: tuple[Condition, ...]


Term = Literal | Ref | UnitRef | Arithmetic
Condition = Compare | Is | Known | Not | And | Or
Expression = Term | Condition
_NAMED, _PAIRED, _JOINED = (Ref, Is, Known), (Arithmetic, Compare), (And, Or)
"""Tuples, as a union is made anew each time that it is asked for."""


def children(node: Expression) -> tuple[Expression, ...]:
    """Return the parts of a node, in the order written."""
    if isinstance(node, _PAIRED):
        return (node.left, node.right)
    if isinstance(node, _JOINED):
        return node.items
    if isinstance(node, Not):
        return (node.item,)
    return ()


def walk(node: Expression) -> Iterator[Expression]:
    """Yield the node and all its parts, depth first, in the order written."""
    yield node
    for child in children(node):
        yield from walk(child)


def names_in(*nodes: Expression) -> tuple[str, ...]:
    """Return what expressions mention, each once, in the order written.

    Findings, signs and figures go by their ids, a datum of the unit by `unit NAME`.

    >>> names_in(Compare("<", Ref("volts"), UnitRef("cut-off")), Known("volts"))
    ('volts', 'unit cut-off')
    """
    if len(nodes) == 1 and isinstance(nodes[0], _NAMED):
        return (nodes[0].name,)  # most conditions are joined of such, each asked for by itself
    found: dict[str, None] = {}
    waiting = list(nodes[::-1])
    while waiting:
        node = waiting.pop()
        if isinstance(node, _NAMED):
            found[node.name] = None
        elif isinstance(node, _PAIRED):
            waiting += (node.right, node.left)
        elif isinstance(node, _JOINED):
            waiting += node.items[::-1]
        elif isinstance(node, UnitRef):
            found[f"unit {node.name}"] = None
        elif isinstance(node, Not):
            waiting.append(node.item)
    return tuple(found)


_TIGHTNESS = {"or": 1, "and": 2, "not": 3, "compare": 4, "sum": 5, "product": 6, "leaf": 7}


def _kind(node: Expression) -> str:
    if isinstance(node, Or):
        return "or"
    if isinstance(node, And):
        return "and"
    if isinstance(node, Not):
        return "not"
    if isinstance(node, Compare | Is):
        return "compare"
    if isinstance(node, Arithmetic):
        return "sum" if node.op in "+-" else "product"
    return "leaf"


def written(node: Expression) -> str:
    """Write an expression as a rule file would; parsing the text gives an equal expression.

    >>> written(Not(Is("lamp", ("on", "flickers"))))
    'not lamp is one of on, flickers'
    """
    if isinstance(node, Literal):
        return str(node.quantity)
    if isinstance(node, Ref):
        return node.name
    if isinstance(node, UnitRef):
        return f"unit {node.name}"
    if isinstance(node, Known):
        return f"known({node.name})"
    if isinstance(node, Is):
        states = ", ".join(node.states)
        return f"{node.name} is {states if len(node.states) == 1 else 'one of ' + states}"
    if isinstance(node, Not):
        return f"not {_inside(node.item, 'not')}"
    if isinstance(node, And | Or):
        word = _kind(node)
        return f" {word} ".join(_inside(item, word, strict=True) for item in node.items)
    outer = "compare" if isinstance(node, Compare) else _kind(node)
    strict = isinstance(node, Compare)
    return (
        f"{_inside(node.left, outer, strict=strict)} {node.op} "
        f"{_inside(node.right, outer, strict=True)}"
    )


def _inside(node: Expression, outer: str, strict: bool = False) -> str:
    """Write a part, in parentheses where it binds less tightly than its surroundings."""
    inner = _TIGHTNESS[_kind(node)]
    needs = inner <= _TIGHTNESS[outer] if strict else inner < _TIGHTNESS[outer]
    return f"({written(node)})" if needs else written(node)
