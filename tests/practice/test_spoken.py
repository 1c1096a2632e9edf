"""What is typed at the bench is heard by the rules' names, read back, and never guessed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.practice.drill.deeds import Deed, as_payload, deed_from
from diag.practice.drill.spoken import NotHeard
from tests.practice.settings import ear, shipped

HEARD = {
    "start": ("read", "watch one start"),
    "Measure volts at the heater while igniting.": ("read", "volts at the heater while igniting"),
    "look round": ("read", "look round for danger"),
    "swap the fan": ("swap", "motor"),
    "replace the fuel pump": ("swap", "pump"),
    "look filter": ("read", "filter"),
    "check the fuel filter and bubbles": ("read", "filter", "bubbles"),
    "ask owner when it fails": ("read", "when it fails"),
    "measure hose and lift, filter": ("read", "measure hose and lift", "filter"),
    "smell the fuel": ("read", "smell the fuel"),
    "count the flashes": ("read", "flash count"),
    "swap glow plug": ("swap", "glow plug"),
    "change the plug": ("swap", "glow plug"),
    "swap regulator": ("repair", "charging voltage too high"),
    "repair bad earth": ("repair", "bad earth"),
    "shake pump cable": ("shake", "pump connector"),
    "shake the wiring": ("shake",),
    "take the cover off": ("ready", "cover off"),
    "let it cool": ("ready", "heater cold"),
    "call bad earth": ("call", "bad earth"),
    "call worn battery and clogged filter": ("call", "worn battery", "clogged filter"),
    "call nothing wrong": ("call",),
    "hint": ("hint",),
}
REFUSED = {
    "measure volts at rset": "there is no reading or check `volts at rset`; near it are ",
    "measure glow plug": "there is no reading or check `glow plug`; near it are ",
    "swap flux capacitor": "there is no part `flux capacitor`; near it are ",
    "call earth": "there is no cause `earth`; near it are `bad earth` or ",
    "swap": "`swap` alone says not what: name it, as in `swap glow plug`",
    "ask the owner": "`ask the owner` alone says not what: name it, as in `ask what was done`",
    "read oxygen": "there is no reading or check `oxygen`; near it is `oxygen in the exhaust`",
    "check the glow plug": "there is no reading or check `glow plug`; near it are ",
    "swap the heater": "there is no part `heater`; near it are `charger`, `battery`, ",
    "": "type what you do; `help` shows how",
    "xyzzy": "`xyzzy` is not heard here: `help` shows how",
}


@pytest.mark.parametrize("line", HEARD)
def test_a_line_is_heard(line: str) -> None:
    """Each usual way to say a deed is heard as that deed."""
    expected = HEARD[line]
    assert Deed(expected[0], expected[1:], line) == ear().hear(line)  # type: ignore[arg-type]


@pytest.mark.parametrize("line", REFUSED)
def test_what_is_not_heard_is_refused_with_the_nearest(line: str) -> None:
    """A line that names nothing for sure does nothing, and says what is near."""
    with pytest.raises(NotHeard) as refused:
        ear().hear(line)
    assert str(refused.value).startswith(REFUSED[line])


def test_every_name_of_the_rules_is_heard_as_itself() -> None:
    """Each reading, check, cause and part is done by its own name."""
    book = shipped().book
    for name in (*book.findings, *book.checks):
        assert ("read", (name,)) == _kind_and_names(f"do {name}")
    for name in book.causes:
        assert ("repair", (name,)) == _kind_and_names(f"repair {name}")
        assert ("call", (name,)) == _kind_and_names(f"call {name}")
    for name in ear().parts:
        assert ("swap", (name,)) == _kind_and_names(f"swap {name}")


def _kind_and_names(line: str) -> tuple[str, tuple[str, ...]]:
    deed = ear().hear(line)
    return deed.kind, deed.names


@given(st.text(max_size=60) | st.lists(st.sampled_from(sorted(HEARD)), max_size=3).map(" ".join))
def test_any_line_is_a_deed_or_a_sentence(line: str) -> None:
    """Whatever is typed is a deed of known names, or refused in one line."""
    book, said = shipped().book, "?"
    try:
        deed = ear().hear(line)
    except NotHeard as refused:
        deed, said = Deed("hint"), str(refused)
    assert said
    assert "\n" not in said
    known = {*book.findings, *book.checks, *book.causes, *ear().parts}
    assert deed.kind in ("ready", "hint") or set(deed.names) <= known
    assert deed == deed_from(deed.kind, as_payload(deed))
