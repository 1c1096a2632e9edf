"""The rules that a unit's own code list adds to those of the rulebook."""

from __future__ import annotations

from diag.model.expression import Compare, Condition, Is, Literal, Ref
from diag.model.quantity import quantity
from diag.model.rulebook import Fact, Rule, Rulebook, UnitData


def unit_rules(rulebook: Rulebook, unit: UnitData) -> tuple[Rule, ...]:
    """Return the rules that the unit's own code list adds: this code, so this state.

    Where no code is shown, `0`, the sign is as it should be.
    """
    return tuple(
        Rule(
            id=f"{sign.id}: code {code}",
            when=when,
            then=Fact("sign", sign.id, state),
            why=f"the unit's own code list says so for {code}" if code != "0" else "it shows none",
            place=unit.place,
        )
        for sign in rulebook.signs.values()
        if sign.looked_up
        for code, state in sorted({"0": sign.states[0], **unit.codes}.items())
        if state in sign.states and (when := _shown(rulebook, sign.looked_up, code))
    )


def _shown(rulebook: Rulebook, finding: str, code: str) -> Condition | None:
    """Return that a finding shows a code; nothing where a count is not of its kind."""
    if rulebook.findings[finding].kind == "code":
        return Is(finding, (code,))
    return Compare("=", Ref(finding), Literal(quantity(int(code), "1"))) if code.isdigit() else None
