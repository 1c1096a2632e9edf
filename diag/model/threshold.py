"""A limit of the subject: one number with its origin, which rules and sums read by its name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from diag.model.expression import Arithmetic, Literal, Term, UnitRef
from diag.model.frozen import frozen
from diag.model.origin import Origin
from diag.model.problem import Place
from diag.model.quantity import Quantity


@frozen
class Threshold:
    """One limit; with `proportional` it grows with a datum of the unit under test.

    `proportional` holds a datum and the value of it at which the limit is `value`.
    """

    id: str
    value: Quantity
    proportional: Mapping[str, Quantity] = field(default_factory=dict)
    title: str = ""
    origin: Origin | None = None
    place: Place = field(default_factory=lambda: Place(""))

    def term(self) -> Term:
        """Return the limit as a sum of a rule file."""
        term: Term = Literal(self.value)
        for name, at in self.proportional.items():
            term = Arithmetic("/", Arithmetic("*", term, UnitRef(name)), Literal(at))
        return term

    def at(self, data: Mapping[str, Quantity]) -> Quantity:
        """Return the limit for a unit with these data; `KeyError` for a datum that is missing.

        >>> from diag.model.quantity import quantity
        >>> reserve = Threshold("reserve", quantity(0.5, "V"), {"volts": quantity(12, "V")})
        >>> str(reserve.at({"volts": quantity(24, "V")}))
        '1 V'
        """
        si = self.value.si
        for name, at in self.proportional.items():
            si = si * data[name].si / at.si
        return Quantity(si, self.value.unit)
