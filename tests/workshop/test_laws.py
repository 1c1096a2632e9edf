"""Laws from outside: what units of the world read, put before the rules.

`python -m tests.bench.workshop --laws --units 10000` holds them on as many as there is time for.
"""

from __future__ import annotations

from collections import Counter

from diag.cli.book import load_book
from diag.practice.units import SOUND_UNIT
from diag.session.compiled_rulebook import CompiledRulebook
from diag.workshop.data.findings import REST
from tests.bench.judged.laws import Broken, broken_by

SEED, FAULTY, SOUND = 2, 40, 20
ACTS = (REST, "pumping", "pumping from a can", "a start", "a full run", "in the room")
AROUND_IT = {
    ("battery cold", "freezing"), ("weather", "frost"), ("exhaust after warm-up", "steam"),
    ("draughts", "poor"), ("heat of the room", "missed"),
}  # fmt: skip
"""What frost, and a room that loses more than the heater gives, bring about round a sound unit."""


def _broken(numbers: range, only: str = "") -> Broken:
    book = load_book()
    compiled = {name: CompiledRulebook.of(book, unit) for name, unit in book.units.items()}
    return broken_by(SEED, numbers, book, compiled, only, ACTS)


def test_nothing_that_cannot_be_is_read() -> None:
    """With readings inside their meters' limits and no slips no `cannot be` fires."""
    found = _broken(range(FAULTY))
    assert FAULTY == found.units
    assert Counter() == found.impossible, found.examples


def test_a_sound_unit_shows_no_sign() -> None:
    """No sign of a sound unit leaves its first state, but for what comes from around it."""
    found = _broken(range(SOUND), SOUND_UNIT)
    shown = {what: count for what, count in found.unsound.items() if what not in AROUND_IT}
    print(found.unsound)
    assert {} == shown, found.examples
    assert Counter() == found.dangers
