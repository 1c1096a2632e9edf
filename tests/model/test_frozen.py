"""Frozen data against the dataclasses of the standard library."""

from dataclasses import dataclass, field, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.frozen import frozen


class Plain:
    """A lamp, its fields given in every way."""

    name: str
    watts: float = 5.0
    notes: list[str] = field(default_factory=list)
    seen: int = field(default=0, compare=False, repr=False)


def _made(decorate: Any) -> Any:
    held = {key: value for key, value in vars(Plain).items() if key not in ("__dict__",)}
    held.pop("__weakref__", None)
    return decorate(type("Lamp", (), {**held, "__qualname__": "Lamp"}))


def _tried(make: Any, values: tuple[Any, ...], named: dict[str, Any]) -> str:
    try:
        return repr(make(*values, **named))
    except TypeError as error:
        return str(error).removeprefix("Lamp.")


VALUES = st.lists(st.integers(0, 3), max_size=5).map(tuple)
NAMED = st.dictionaries(st.sampled_from(["name", "watts", "notes", "seen", "volts"]), st.just(7))


@settings(deadline=None)
@given(st.lists(st.tuples(VALUES, NAMED), min_size=1, max_size=4))
def test_an_instance_is_made_and_written_as_that_of_a_dataclass(
    calls: list[tuple[Any, Any]],
) -> None:
    """The first call and each later one take, refuse and show what a dataclass does."""
    ours, theirs = _made(frozen), _made(dataclass(frozen=True, slots=True))
    for values, named in calls:
        assert _tried(ours, values, named) == _tried(theirs, values, named)


@settings(deadline=None)
@given(*[st.tuples(st.integers(0, 2), st.integers(0, 2), st.just(()), st.integers(0, 2))] * 2)
def test_instances_are_equal_as_those_of_a_dataclass(one: Any, other: Any) -> None:
    """Two instances are equal, and hash alike, by the fields that are compared."""
    ours, theirs = _made(frozen), _made(dataclass(frozen=True, slots=True))
    equal = theirs(*one) == theirs(*other)
    assert equal == (ours(*one) == ours(*other))
    assert hash(theirs(*one)) == hash(ours(*one))
    assert replace(ours(*one), name="b") == ours("b", *one[1:])


def test_each_instance_has_its_own_default() -> None:
    """What a factory makes is made for each instance anew."""
    lamp = _made(frozen)
    one, other = lamp("a"), lamp("b")
    one.notes.append("dim")
    assert other.notes == []


def test_what_is_checked_after_the_making_is_checked_each_time() -> None:
    """`__post_init__` runs for the first instance and for later ones."""

    @frozen
    class Volts:
        """A voltage above 0."""

        value: float

        def __post_init__(self) -> None:
            if self.value <= 0:
                raise ValueError("not above 0")

    for _ in range(2):
        with pytest.raises(ValueError, match="not above 0"):
            Volts(0.0)
    assert Volts(1.0).value == 1.0
