"""A typed line: a command, or an answer with how it is known."""

from __future__ import annotations

import re
import time

from hypothesis import given, settings
from hypothesis import strategies as st

from diag.session.commands import Line, read_line

HOW = re.compile(r"[,;]?\s+\(?(told|seen|measured)\)?$", re.IGNORECASE)
pieces = st.sampled_from([" ", "\t", ",", ";", "(", ")", "told", "Seen", "measured", "12", "V"])


@settings(deadline=None)
@given(st.lists(pieces, max_size=8).map("".join))
def test_how_is_the_last_word(text: str) -> None:
    """What stands last behind a blank says how, and goes with one comma or semicolon before it."""
    typed = f"x{text}".strip()
    found = HOW.search(typed)
    expected = Line(typed[: found.start()], found[1].lower()) if found else Line(typed)
    assert expected == read_line(typed)


def test_a_long_row_of_blanks_is_read_in_a_row() -> None:
    """Ten times the blanks take about ten times as long, not a hundred times."""
    start = time.process_time()
    assert Line("x" + " " * 1_000_000 + "y") == read_line("x" + " " * 1_000_000 + "y")
    assert time.process_time() - start < 1
