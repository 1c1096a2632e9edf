"""The links between causes and signs, compiled once into sparse tables of rates.

Each cause that can bring about a state of a sign is a clock that runs towards it; so is the
leak (Henrion 1989), for all that is not in the rulebook. How they combine is told in
`competing_risks`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from itertools import combinations
from typing import Any

from diag.model.frozen import frozen
from diag.model.rulebook import Cause, Sign
from diag.reason.belief.competing_risks import (
    Chances,
    Rates,
    added,
    chance_of_both,
    chances_of,
    rates_of,
)

LEAST = 1e-12
"""No evidence is taken for less likely than this: one reading weighs at most 120 decibans, and
only a `certain` rule can rule a cause out."""


def likelihood(chance: float, reliability: float, states: float) -> float:
    """Mix the chance of a state with a flat one over so many of the sign's states.

    >>> round(likelihood(0.0, 0.9, 2), 3)
    0.05
    """
    return max(reliability * chance + (1 - reliability) / states, LEAST)


@frozen
class SignTable:
    """One sign: the rates of its leak and of each linked cause, and what follows from them."""

    sign: str
    states: tuple[str, ...]
    supersedes: tuple[str, ...]
    leak: Rates
    rates: Mapping[int, Rates]
    """Index of a linked cause to its rate for each state but the first."""
    leak_chances: Chances
    """Chances of the states with no cause at all."""
    given: Mapping[int, Chances]
    """Index of a linked cause to the chances of the states with that cause only."""
    defects: Mapping[str, int] = field(default_factory=dict)
    """State that is a fault in plain sight, to the index of the cause that it is."""
    fleeting: frozenset[int] = frozenset()
    """Causes that come and go, and that this sign does not bring out: each look is a new draw."""
    as_read: dict[object, Chances] = field(default_factory=dict, compare=False, repr=False)
    """What looks would read, as was worked out already: by linked causes and reliability."""
    first_looks: dict[object, Any] = field(default_factory=dict, compare=False, repr=False)
    """What first looks at a unit as it came in say, as was weighed already: by evidence."""
    _together: dict[tuple[int, ...], Chances] = field(
        default_factory=dict, compare=False, repr=False
    )

    def chances(self, causes: Iterable[int]) -> Chances:
        """Return the chances of the states when all of `causes`, and no others, are present.

        Remembered where several are linked, as the same few pairs come up again and again.
        """
        linked = tuple([cause for cause in causes if cause in self.rates])
        if not linked:
            return self.leak_chances
        if len(linked) == 1:
            return self.given[linked[0]]
        if linked not in self._together:
            self._together[linked] = chances_of(self._added(linked))
        return self._together[linked]

    def both(self, gone: Iterable[int], left: Iterable[int], before: int, after: int) -> float:
        """Return the chance of one state before a repair and one after it.

        `gone` are the causes present that were repaired between, `left` those that stayed.
        """
        taken = [self.rates[cause] for cause in gone if cause in self.rates]
        away = added(taken) if taken else (0.0,) * len(self.leak)
        stayed = self._added([cause for cause in left if cause in self.rates])
        return chance_of_both(away, stayed, before, after)

    def _added(self, linked: Iterable[int]) -> Rates:
        return added([self.leak, *(self.rates[cause] for cause in linked)])


@frozen
class Shift:
    """What is known of a cause beside the rules: `times` its odds, a number above 0, and why."""

    cause: str
    times: float
    why: str


@frozen
class Links:
    """All causes and signs by index, in order of id, and the tables that link them."""

    causes: tuple[str, ...]
    signs: tuple[str, ...]
    odds: tuple[float, ...]
    complaints: tuple[Mapping[str, float], ...]
    tables: tuple[SignTable, ...]
    signs_of: tuple[frozenset[int], ...]
    """Index of a cause to the indices of the signs linked to it."""
    mends: tuple[tuple[int, ...], ...]
    """Index of a cause to those of all that its repair mends, itself first."""
    cause_index: Mapping[str, int]
    sign_index: Mapping[str, int]
    defective: frozenset[str]
    """The signs of which a state shows a cause in plain sight."""
    shifts: tuple[Shift, ...] = ()
    """What is in the odds beside the share that the rules give each cause."""

    def shifted(self, shifts: Iterable[Shift]) -> Links:
        """Return the links with the odds of causes multiplied; `KeyError` for one not known."""
        odds, more = list(self.odds), tuple(shifts)
        for one in more:
            odds[self.cause_index[one.cause]] *= one.times
        return replace(self, odds=tuple(odds), shifts=(*self.shifts, *more)) if more else self

    def table(self, sign: str) -> SignTable:
        """Return the table of a sign; `KeyError` when there is no such sign."""
        return self.tables[self.sign_index[sign]]

    def silent(self, complaint: str, causes: Iterable[int], anyway: float) -> float:
        """Return the chance that none of the causes brings a complaint; one that does not list it
        does so with the chance `anyway`."""
        return math.prod([1 - self.complaints[one].get(complaint, anyway) for one in causes])

    def joint(self, *causes: int) -> tuple[tuple[int, Chances], ...]:
        """Return, for each sign linked to two or more of these causes, its index and chances given
        them all."""
        first, *rest = [self.signs_of[cause] for cause in causes]
        shared = first & rest[0]
        if len(rest) > 1:
            signs = combinations((first, *rest), 2)
            shared = shared.union(*[one & other for one, other in signs])
        return tuple([(sign, self.tables[sign].chances(causes)) for sign in sorted(shared)])


def compile_links(signs: Mapping[str, Sign], causes: Mapping[str, Cause]) -> Links:
    """Compile signs and causes into sparse tables.

    Raises `ValueError` naming the cause and the sign when a link leads to no sign or state, to
    a sign's first state, or is too strong.
    """
    cause_ids, sign_ids = tuple(sorted(causes)), tuple(sorted(signs))
    linked: dict[str, dict[int, Rates]] = {sign: {} for sign in sign_ids}
    for index, cause in enumerate(cause_ids):
        for sign in causes[cause].shows:
            if sign not in signs:
                raise ValueError(f"cause `{cause}` shows `{sign}`, which is not a sign")
            rates = _link(signs[sign], strengths_at_a_look(causes[cause], sign), f"cause `{cause}`")
            if any(rates):
                linked[sign][index] = rates
    cause_index = {cause: index for index, cause in enumerate(cause_ids)}
    tables = tuple(_table(signs[sign], linked[sign], causes, cause_index) for sign in sign_ids)
    signs_of: list[set[int]] = [set() for _ in cause_ids]
    for place, table in enumerate(tables):
        for index in table.rates:
            signs_of[index].add(place)
    return Links(
        causes=cause_ids,
        signs=sign_ids,
        odds=tuple(causes[cause].odds for cause in cause_ids),
        complaints=tuple(causes[cause].complaints for cause in cause_ids),
        tables=tables,
        signs_of=tuple(map(frozenset, signs_of)),
        mends=tuple(_mended(causes[cause], cause_index) for cause in cause_ids),
        cause_index=cause_index,
        sign_index={sign: index for index, sign in enumerate(sign_ids)},
        defective=frozenset(table.sign for table in tables if table.defects),
    )


def is_fleeting(cause: Cause, sign: str) -> bool:
    """Tell whether a sign shows a cause at some looks only, as it does not bring it out."""
    return cause.comes_and_goes < 1 and sign in cause.shows and sign not in cause.brought_out_by


def strengths_at_a_look(cause: Cause, sign: str) -> dict[str, float]:
    """Return the strengths of a link, with the chance that the cause shows at that look at all.

    Of several variants it has one, and the sign of another shows nothing of it.
    """
    chance = cause.comes_and_goes if is_fleeting(cause, sign) else 1.0
    chance /= len(cause.any_of) if sign in cause.any_of else 1
    return {state: chance * strength for state, strength in cause.shows[sign].items()}


def _mended(cause: Cause, causes: Mapping[str, int]) -> tuple[int, ...]:
    also = [causes[name] for name in cause.repair.mends_as_well if name in causes]
    return (causes[cause.id], *also)


def _table(
    sign: Sign,
    rates: Mapping[int, Rates],
    causes: Mapping[str, Cause],
    places: Mapping[str, int],
) -> SignTable:
    leak = _link(sign, sign.leak, "the leak")
    return SignTable(
        sign=sign.id,
        states=sign.states,
        supersedes=sign.supersedes,
        leak=leak,
        rates=rates,
        leak_chances=chances_of(leak),
        given={index: chances_of(added([leak, own])) for index, own in rates.items()},
        defects={one: places[cause] for one, cause in sign.defects.items() if cause in places},
        fleeting=frozenset(
            places[name] for name, cause in causes.items() if is_fleeting(cause, sign.id)
        ),
    )


def _link(sign: Sign, strengths: Mapping[str, float], who: str) -> Rates:
    """Return the rates of a link for each state but the first."""
    for state in strengths:
        if state not in sign.states[1:]:
            raise ValueError(
                f"{who} shows `{sign.id}` as `{state}`; it can only show one of its states "
                f"after the first: {', '.join(sign.states[1:])}"
            )
    try:
        return rates_of([strengths.get(state, 0.0) for state in sign.states[1:]])
    except ValueError as problem:
        raise ValueError(f"{who} on `{sign.id}`: {problem}") from None
