"""Why a thing holds, as a tree: down from a cause or a sign to the readings it rests on.

The tree is read off the supports that the chain keeps for every conclusion (the justifications of
truth maintenance: Doyle, A Truth Maintenance System, Artificial Intelligence 12, 1979), the sums
of the figures, and the weights of evidence of the causes. Nothing is reasoned anew.
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.logic.figure import Held, value_of
from diag.model.expression import Arithmetic, Literal, Ref, Term, UnitRef, names_in, written
from diag.model.frozen import frozen
from diag.model.phrasing import plain_name
from diag.model.quantity import Quantity
from diag.model.rulebook import Fact, Figure, Rulebook
from diag.reason.belief.weigh import Weight, weigh
from diag.reason.chain.engine import Support
from diag.session.state import SessionState

UNIT = "unit "
NO_NAMES: frozenset[str] = frozenset()


@frozen
class Ground:
    """One reason for a thing: a rule that concludes it, the sum that gives it, or a weight."""

    why: str
    """The reason in the words of the rules: a rule's own, or its condition where it has none."""
    rests_on: tuple[Derivation, ...] = ()
    rule: str = ""
    source: str = ""
    sum: str = ""
    """The sum as written in the rules, and once more with its numbers."""
    decibans: float | None = None
    """What it says for (above 0) or against (below 0) a cause."""


@frozen
class Derivation:
    """A thing that is known, or not yet, and each reason for it.

    `kind` is `reading`, `unit`, `figure`, `sign`, `danger` or `cause`; `value` is what it is, as
    people write it, empty while that is not known; `how` says how a reading or a datum of the
    unit is known; `awaits` are the findings that could make the unknown known.
    """

    name: str
    kind: str
    value: str = ""
    how: str = ""
    grounds: tuple[Ground, ...] = ()
    awaits: tuple[str, ...] = ()


def derivations(state: SessionState, name: str) -> tuple[Derivation, ...]:
    """Return why a finding, figure, sign, danger, cause or `unit NAME` is as it is.

    There are several where one name stands for things of several kinds, as for a danger and the
    finding that raises it. Capitals and hyphens do not matter, and a cause goes by its title too.
    Raises `ValueError` with the nearest names for an unknown name.
    """
    wanted, book = plain_name(name), state.rulebook
    known = {plain_name(one): one for one in _names(state)}
    if wanted not in known and (titled := cause_named(book, name)):
        wanted = plain_name(titled)
    if wanted not in known:
        from difflib import get_close_matches

        near = ", ".join(f"`{known[one]}`" for one in get_close_matches(wanted, known, n=3))
        hint = f"near it are {near}" if near else "`where` shows what is known"
        raise ValueError(f"the rules know no `{name[:40]}`; {hint}")
    found = known[wanted]
    causes = [_cause(state, found)] if found in book.causes else []
    dangers = [_danger(state, found)] if found in book.dangers else []
    rest = [] if (causes or dangers) and not _is_below(state, found) else [found]
    return (*causes, *dangers, *(_below(state, each, NO_NAMES) for each in rest))


def cause_named(book: Rulebook, said: str) -> str | None:
    """Return the cause that goes by a name, its title, or what only one of them begins with."""
    wanted = plain_name(said)
    names = {plain_name(one): one for one in book.causes}
    titles = {plain_name(cause.title): name for name, cause in book.causes.items()}
    if found := names.get(wanted) or titles.get(wanted):
        return found
    begun = {
        name
        for table in (names, titles)
        for one, name in table.items()
        if wanted and one.startswith(wanted + " ")
    }
    return begun.pop() if len(begun) == 1 else None


def _is_below(state: SessionState, name: str) -> bool:
    """Tell whether conditions and sums may mention a name."""
    book = state.rulebook
    return name in book.findings or name in book.figures or name in book.signs


def _names(state: SessionState) -> Iterator[str]:
    book = state.rulebook
    for table in (book.causes, book.dangers, book.signs, book.figures, book.findings):
        yield from table
    yield from (UNIT + name for name in book.unit_data)


def _below(state: SessionState, name: str, above: frozenset[str]) -> Derivation:
    """Return the derivation of a name that a condition or a sum mentions.

    A name that rests on itself is not opened once more.
    """
    book = state.rulebook
    if name.startswith(UNIT):
        return _datum(state, name)
    if name in book.findings:
        return _reading(state, name)
    if name in book.figures:
        return _figure(state, book.figures[name], above)
    return _sign(state, name, above)


def _datum(state: SessionState, name: str) -> Derivation:
    datum, unit = name.removeprefix(UNIT), state.unit
    if datum not in unit.data:
        return Derivation(name, "unit")
    origin = unit.origins.get(datum)
    assumed = "class value, " if datum in unit.assumed else ""
    how = assumed + (str(origin) if origin else "")
    return Derivation(name, "unit", str(unit.data[datum]), how)


def _reading(state: SessionState, name: str) -> Derivation:
    reading = state.readings.get(name)
    if reading is None:
        return Derivation(name, "reading", awaits=(name,))
    how = reading.how if reading.stage == state.stage else f"{reading.how}, before a repair"
    return Derivation(name, "reading", str(reading.value), how)


def _figure(state: SessionState, figure: Figure, above: frozenset[str]) -> Derivation:
    if figure.id in above:
        return Derivation(figure.id, "figure", _held(state.chain.value(figure.id)))
    below = names_in(*figure.terms)
    parts = tuple(_below(state, name, above | {figure.id}) for name in below)
    formula = figure.formula
    sources = [formula.source] if formula else [str(figure.origin)] if figure.origin else []
    ground = Ground(
        why=figure.title,
        rests_on=parts,
        source="; ".join(sources),
        sum=_sum(state, figure),
    )
    value = state.chain.value(figure.id)
    return Derivation(figure.id, "figure", _held(value), "", (ground,), _awaits(state, figure.id))


def _sum(state: SessionState, figure: Figure) -> str:
    """Write a sum in names and then in numbers, where all of them are known."""
    formula = figure.formula
    if formula is None:
        return " = ".join(_twice(state, figure.terms[0]))
    given = (
        " = ".join(dict.fromkeys((name, *_twice(state, term))))
        for (name, _), term in zip(formula.inputs, figure.terms, strict=True)
    )
    return f"{formula.name}: {'; '.join(given)}"


def _twice(state: SessionState, term: Term) -> tuple[str, ...]:
    return (written(term), *(() if value_of(term, state.chain) is None else _worked(state, term)))


def _worked(state: SessionState, term: Term) -> tuple[str, ...]:
    numbers = written(_numbered(state, term))
    return () if numbers == written(term) else (numbers,)


def _numbered(state: SessionState, term: Term) -> Term:
    """Put its number in the place of each name in a sum."""
    if isinstance(term, Arithmetic):
        left, right = _numbered(state, term.left), _numbered(state, term.right)
        return Arithmetic(term.op, left, right)
    if isinstance(term, Ref | UnitRef):
        held = state.chain.value(written(term))
        return Literal(held) if isinstance(held, Quantity) else term
    return term


def _sign(state: SessionState, name: str, above: frozenset[str]) -> Derivation:
    states = sorted(state.chain.states(name))
    value = ", ".join(states)
    if name in above:
        return Derivation(name, "sign", value)
    supports = [one for each in states for one in state.chain.supports(Fact("sign", name, each))]
    grounds = _ruled(state, supports, above | {name})
    return Derivation(name, "sign", value, "", grounds, _awaits(state, name))


def _danger(state: SessionState, name: str) -> Derivation:
    supports = [
        one
        for fact, found in state.chain.facts.items()
        if fact.name == name and fact.kind not in ("sign", "excluded", "impossible")
        for one in found
    ]
    raised = any(one.danger == name for one in state.dangers.passages)
    value = "holds" if name in state.dangers.held else "released" if raised else ""
    return Derivation(name, "danger", value, "", _ruled(state, supports, NO_NAMES))


def _cause(state: SessionState, name: str) -> Derivation:
    if name in state.belief.excluded:
        barred = state.chain.supports(Fact("excluded", name, "ruled out"))
        return Derivation(name, "cause", "ruled out", "", _ruled(state, barred, NO_NAMES))
    grounds = tuple(_weighed(state, one) for one in weigh(state.belief, name))
    return Derivation(name, "cause", f"{state.posterior.causes[name]:.1%}", "", grounds)


def _weighed(state: SessionState, weight: Weight) -> Ground:
    if weight.kind == "prior":
        return Ground("how common it is", decibans=weight.decibans)
    if weight.kind == "record":
        return Ground(weight.name, decibans=weight.decibans)
    if weight.kind != "sign":
        return Ground(f"{weight.kind}: {weight.name}", decibans=weight.decibans)
    sign = _below(state, weight.name, NO_NAMES)
    said = f"{weight.name} is {weight.state}"
    return Ground(said, (sign,), decibans=weight.decibans)


def _ruled(
    state: SessionState, supports: list[Support] | tuple[Support, ...], above: frozenset[str]
) -> tuple[Ground, ...]:
    return tuple(
        Ground(
            why=one.rule.why or written(one.rule.when),
            rests_on=tuple(_below(state, name, above) for name in one.used),
            rule=one.rule.id,
            source=str(one.rule.origin) if one.rule.origin else "",
        )
        for one in supports
    )


def _held(value: Held | None) -> str:
    if value is None:
        return ""
    return str(value) if isinstance(value, Quantity) else ", ".join(sorted(value))


def _awaits(state: SessionState, name: str) -> tuple[str, ...]:
    return tuple(sorted(state.chain.deciders(name)))
