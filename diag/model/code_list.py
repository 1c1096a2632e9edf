"""The rules that a unit's own code list adds to those of the rulebook."""

from __future__ import annotations

from diag.model.expression import Compare, Literal, Ref
from diag.model.quantity import quantity
from diag.model.rulebook import Fact, Rule, Rulebook, UnitData


def unit_rules(rulebook: Rulebook, unit: UnitData) -> tuple[Rule, ...]:
    """Return the rules that the unit's own code list adds: count N, so this state."""
    return tuple(
        Rule(
            id=f"{sign.id}: code {count}",
            when=Compare("=", Ref(sign.looked_up), Literal(quantity(count, "1"))),
            then=Fact("sign", sign.id, state),
            why=f"the unit's own code list says so for {count}",
            place=unit.place,
        )
        for sign in rulebook.signs.values()
        if sign.looked_up
        for count, state in sorted(unit.codes.items())
        if state in sign.states
    )
