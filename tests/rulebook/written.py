"""Conditions and sums drawn at random, to be written and read back."""

from __future__ import annotations

from hypothesis import strategies as st

from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Is,
    Known,
    Literal,
    Not,
    Or,
    Ref,
    UnitRef,
)
from diag.model.quantity import UNITS, quantity

NAMES = st.sampled_from(
    ["beam", "cell volts", "low-voltage cut-off", "volts at the unit", "rider's lamp", "stage 2"]
)
NUMBERS = st.decimals(min_value=-9999, max_value=9999, places=2, allow_nan=False).map(float)
LITERALS = st.builds(
    # Gauges are whole numbers.
    lambda number, unit: Literal(quantity(round(number, 2), unit)),
    NUMBERS,
    st.sampled_from(sorted(UNITS.keys() - {"AWG"})),
)
TERMS = st.recursive(
    st.one_of(LITERALS, st.builds(Ref, NAMES), st.builds(UnitRef, NAMES)),
    lambda inner: st.builds(Arithmetic, st.sampled_from("+-*/"), inner, inner),
    max_leaves=5,
)
ATOMS = st.one_of(
    st.builds(Compare, st.sampled_from(["<", "<=", ">", ">=", "=", "!="]), TERMS, TERMS),
    st.builds(Is, NAMES, st.lists(NAMES, min_size=1, max_size=3).map(tuple)),
    st.builds(Known, NAMES),
)
CONDITIONS = st.recursive(
    ATOMS,
    lambda inner: st.one_of(
        st.builds(Not, inner),
        st.builds(And, st.lists(inner, min_size=2, max_size=3).map(tuple)),
        st.builds(Or, st.lists(inner, min_size=2, max_size=3).map(tuple)),
    ),
    max_leaves=8,
)
