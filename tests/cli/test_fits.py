"""Everything that is printed fits the terminal, from 40 to 200 columns, whatever the texts."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.app import run
from diag.cli.ask.conversation import Conversation
from diag.cli.guard import WrongUse, guarded
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.controller import SessionController
from diag.session.state import SessionState
from tests.cli.terminals import PIECES, terminal, texts, widest, widths

BICYCLE = Path(__file__).parents[1] / "books" / "bicycle"
SESSION = (
    "help", "no", "why", "soft", "what?", "no idea what", "where", "note keep this",
    "say soft tyre", "why tyre", "why leaky valve", "why overnight loss", "why no brakes",
    "why nothing like it",
    "why-not thorn in the tyre", "change brake gone = yes", "4 bar", "cleared",
    "change pressure in the evening = 4 bar", "change pressure in the morning = 2.5 bar",
    "why overnight loss", "change pressure in the morning = 9 bar", "where", "back", "yes", "help",
    "where", "other", "done", "hard", "where", "leave",
)  # fmt: skip
SHIPPED = (
    "-h", "ask -h", "rules -h", "rules tree -h", "sequence -h", "units new -h", "ask --nope",
    "rules coverage too many words here to be right", "units list", "units show LIB-03",
    "units show nothing", "rules lints", "rules lints C01", "rules lints nothing", "rules check",
    "rules check --plain", "rules show bad-earth", "rules show nothing", "rules coverage",
    "rules tree noise --depth 0 --least 20", "rules tree noise --depth 0 --least 20 --markdown",
    "sequence noise --depth 0", "sequence noise --depth 0 --least 20 --markdown",
    "rules new cause x --area nowhere", "ask --unit nothing --complaint noise",
)  # fmt: skip


@pytest.fixture(scope="module")
def bicycle() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def retold(book: Rulebook, seed: int) -> Rulebook:
    """Return the book with other texts for people in the place of all that it says."""
    rng = random.Random(seed)

    def text(_: object = None) -> str:
        return " ".join(rng.choices(PIECES, k=rng.randint(1, 12))) or "text"

    def each(table: Any, **fields: Callable[[Any], Any]) -> Any:
        return {
            name: replace(one, **{key: new(getattr(one, key)) for key, new in fields.items()})
            for name, one in table.items()
        }

    def several(old: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(map(text, old))

    causes = each(book.causes, title=text, explain=text, tell_owner=text)
    return replace(
        book,
        findings=each(
            book.findings, ask=text, help=text, choices=lambda old: {key: text() for key in old}
        ),
        checks=each(book.checks, do=text, tools=several, together=text),
        signs=each(book.signs, title=text),
        rules=tuple(replace(rule, why=text()) for rule in book.rules),
        figures=each(book.figures, title=text),
        causes={
            name: replace(one, repair=replace(one.repair, do=several(one.repair.do)))
            for name, one in causes.items()
        },
        dangers=each(book.dangers, title=text, do_now=several, resume_when=text, licensed=text),
        complaints=each(book.complaints, title=text),
        cautions={name: text() for name in book.cautions},
    )


class Typed:
    """Lines typed one after the other."""

    def __init__(self, *lines: str) -> None:
        self._lines = iter(lines)

    def offer(self, controller: object) -> str:
        return ""

    def read(self, offered: str) -> str | None:
        return next(self._lines, None)


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 10**6), widths, st.booleans())
def test_a_session_fits(bicycle: Rulebook, seed: int, width: int, plain: bool) -> None:
    """Prompts, STOP, reasons, help, refusals, the repair and the end fit, with any texts."""
    book = retold(bicycle, seed)
    state = SessionState(book, book.units["town bicycle"], "goes flat")
    with terminal(width) as out:
        controller = SessionController(state, lambda _: None, lambda: "")
        Conversation(controller, Screen(plain=plain), Typed(*SESSION)).run()
    said = out.getvalue()
    assert "STOP:" in said
    assert widest(said) < width


@settings(deadline=None, max_examples=25)
@given(st.lists(texts, max_size=6), st.sampled_from(PIECES), widths)
def test_a_list_to_pick_from_fits(titles: list[str], question: str, width: int) -> None:
    """The question, each entry and each refusal fit, as does the sentence of an error."""

    def named(text: str) -> str:
        raise WrongUse(f"there is no `{text}`; near it are {PIECES}")

    listed = {f"{number} unit": title for number, title in enumerate(titles)}
    with terminal(width) as out:
        pick(Screen(), Typed("", "900", *PIECES), question, listed, named)
        with pytest.raises(SystemExit), guarded():
            named("x" * 300)
    assert widest(out.getvalue()) < width


@pytest.mark.parametrize("words", SHIPPED)
def test_what_is_printed_of_the_shipped_rules_fits(
    words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every command that prints rules, units, help or an error does so within the terminal."""
    width = random.Random(words).choice([40, 41, 57, 80, 120, 200])
    monkeypatch.setenv("DIAG_HOME", str(tmp_path))
    monkeypatch.setattr("sys.argv", ["diag", *words.split()])
    with terminal(width, term="dumb") as out, pytest.raises(SystemExit), guarded():
        raise SystemExit(run())
    assert out.getvalue()
    assert widest(out.getvalue()) <= width
