"""Everything that is printed fits the terminal, from 40 to 200 columns, whatever the texts."""

from __future__ import annotations

import random
import shlex
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
from tests.cli.commands import leaves
from tests.cli.terminals import PIECES, Lines, terminal, texts, widest, widths

BICYCLE = Path(__file__).parents[1] / "books" / "bicycle"
SESSION = (
    "help", "no", "why", "soft", "what?", "no idea what", "where", "note keep this",
    "say soft tyre", "yes", "why tyre", "why leaky valve", "why overnight loss", "why no brakes",
    "why nothing like it",
    "why-not thorn in the tyre", "change brake gone = yes", "4 bar", "cleared",
    "change pressure in the evening = 4 bar", "change pressure in the morning = 2.5 bar",
    "why overnight loss", "change pressure in the morning = 9 bar", "where", "back", "yes", "help",
    "where", "other", "done", "hard", "where", "leave",
)  # fmt: skip
SHIPPED = (
    "report --help", "report nosuch",
    "-h", "ask -h", "rules -h", "rules tree -h", "sequence -h", "units new -h", "ask --nope",
    "rules coverage too many words here to be right", "units list", "units show LIB-03",
    "units show nothing", "rules lints", "rules lints C01", "rules lints nothing", "rules check",
    "rules check --plain", "rules show bad-earth", "rules show nothing", "rules coverage",
    "rules tree noise --depth 0 --least 20", "rules tree noise --depth 0 --least 20 --markdown",
    "drill lessons", "drill lessons 2", "drill lessons nothing", "drill progress",
    "drill progress --plain", "drill lessons -h",
    "rules tree noise --depth 0 --least 20 --numbered", "sequence 'radio noise'",
    "sequence 'radio noise' --markdown", "sequence noise --page noise.txt",
    "sequence 'radio noise' --blank", "sequence 'radio noise' --blank --markdown", "enter -h",
    "enter --unit LIB-03 --complaint 'radio noise'", "enter --resume",
    "rules new cause x --area nowhere", "ask --unit nothing --complaint noise", "units check",
    "rules cases -h", "rules formulas", "rules schema -h", "drill -h", "drill make -h",
    "jobs list", "jobs list --unit nothing", "jobs search nothing", "jobs show nothing",
    "jobs open",
    "jobs session", "jobs session -h", "jobs label -h", "jobs note -h", "jobs part -h",
    "jobs work -h", "jobs offer -h", "jobs attach nothing nothing", "jobs strike nothing 1",
    "jobs close nothing", "jobs reopen nothing", "jobs delete nothing", "jobs currency",
    "jobs backup -h", "jobs check", "jobs restore nothing", "jobs -h",
    "drill make --level 1 --seed 3", "drill make --level 1 --seed 3 --markdown", "drill --level 9",
    "rules learn", "rules learn noise", "rules learn -h", "jobs calibration",
    "jobs calibration --plain", "jobs calibration -h", "jobs export nothing", "jobs export -h",
    "jobs import nothing", "jobs import -h", "jobs prepare nothing", "jobs merge", "jobs merge -h",
)  # fmt: skip

LOADED = "battery --rest 12.6 --terminals 11.9 --load-amps 50"
BENCH = (
    LOADED, f"{LOADED} --length 5m --area 2.5mm2 --joints 10mohm",
    "battery --rest 12.6 --point '5 A 12.51 V' --point '25 A 12.31 V' --glow-plug-time 90s",
    f"{LOADED} --chemistry AGM --rested 12h --battery-temperature 0C --capacity 100Ah --used 50%"
    " --glow-plug-time 90s --running-amps '0.9 1.5 3 A' --standby-amps 85mA",
    "cable --length 4m --area 2.5mm2 --ignition-amps 9.5A --limit 3%",
    "cable --length 4m --area '14 AWG' --ignition-amps 9.5A --supply 12V --joints 5mohm",
    "cable --ignition-amps 9.5A --rest 12.7V --terminals 12.3V --fused 12.1V --positive-pin 11.6V"
    " --negative-pin 0.4V",
    "heat --rate 5Hz --dose 2ml --speed 12.5m/s --bore 60mm --inlet 18C --outlet 105C",
    "heat --pulses 100 --seconds 20 --dose 2ml --dose-from-memory --claimed-heat 5kW",
    "heat compare 'LIB-03: 1.1 kW 0.15 l/h 0.9 A 38 dB; 2.2 kW 0.30 l/h 3 A 58 dB'"
    " '暖房機の故障: 2 kW 0.27 l/h 1.5 A 45 dB' 'ROAD-07: 2 kW 0.27 l/h 1.5 A' --wanted-heat 2kW",
    "exhaust --o2 9% --gas-temperature 260C --air-temperature 15C --smoke '1 0 1' --fuel diesel",
    "exhaust --co2 11% --gas-temperature 260C --air-temperature 15C --co 80ppm --altitude 1500m",
    "exhaust --cabin 500ppm --minutes 30", "exhaust --cabin '0:2 15:6 30:9' --o2 30%",
    "battery -h", "cable -h", "heat -h", "heat compare -h", "exhaust -h", "battery --rest 12,400",
    f"battery --rest {'x' * 300}", "battery --nope", "heat --rate 5Hz --pulses 3",
    "heat compare 'LIB-03: 1 kg'", "battery", "cable", "heat", "heat compare", "exhaust",
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


@settings(max_examples=25)
@given(st.integers(0, 10**6), widths, st.booleans())
def test_a_session_fits(bicycle: Rulebook, seed: int, width: int, plain: bool) -> None:
    """Prompts, STOP, reasons, help, refusals, the repair and the end fit, with any texts."""
    book = retold(bicycle, seed)
    state = SessionState(book, book.units["town bicycle"], "goes flat")
    with terminal(width) as out:
        controller = SessionController(state, lambda _: None, lambda: "")
        Conversation(controller, Screen(plain=plain), Lines(*SESSION)).run()
    said = out.getvalue()
    assert "STOP:" in said
    assert widest(said) < width


@settings(max_examples=25)
@given(st.lists(texts, max_size=6), st.sampled_from(PIECES), widths)
def test_a_list_to_pick_from_fits(titles: list[str], question: str, width: int) -> None:
    """The question, each entry and each refusal fit, as does the sentence of an error."""

    def named(text: str) -> str:
        raise WrongUse(f"there is no `{text}`; near it are {PIECES}")

    listed = {f"{number} unit": title for number, title in enumerate(titles)}
    with terminal(width) as out:
        pick(Screen(), Lines("", "900", *PIECES), question, listed, named)
        with pytest.raises(SystemExit), guarded():
            named("x" * 300)
    assert widest(out.getvalue()) < width


def test_every_command_is_tried() -> None:
    """Each command stands in one of the lists above, if only with its help."""
    begun = {tuple(shlex.split(words)[:most]) for words in (*SHIPPED, *BENCH) for most in (1, 2)}
    assert set() == set(leaves()) - begun


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


class Hand:
    """A keyboard at which each of some lines is typed, then Enter alone; a terminal echoes it."""

    def __init__(self, *lines: str) -> None:
        self._lines = iter(lines)
        self._left = 60

    def isatty(self) -> bool:
        return True

    def readline(self, limit: int = -1) -> str:
        self._left -= 1
        line = next(self._lines, "") if self._left else ""
        print(line)
        return f"{line}\n" if self._left else ""


def on_terminal(words: str, width: int, *typed: str) -> str:
    """Run a command at a terminal with somebody who types, and return what it shows."""
    with pytest.MonkeyPatch.context() as patch, terminal(width) as out:
        patch.setattr("sys.argv", ["diag", *shlex.split(words)])
        patch.setattr("sys.stdin", Hand(*typed))
        with pytest.raises(SystemExit), guarded():
            raise SystemExit(run())
    return out.getvalue()


@pytest.mark.parametrize("words", BENCH)
def test_the_bench_fits(words: str) -> None:
    """Sums, drawings, questions, refusals and help of the bench fit; more room is made use of."""
    heights = {}
    for width in (40, 41, 52, 66, 80, 100, 133, 200):
        said = on_terminal(words, width, "what?", "12,400 V", "9 V")
        assert said
        assert widest(said) <= width
        heights[width] = said.count("\n")
    assert heights[200] <= heights[40]


DRAWN = {BENCH[0]: (". load line", " +-----"), BENCH[9]: ("####",)}


@pytest.mark.parametrize("words", DRAWN)
def test_the_bench_draws_on_a_terminal_only(words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Load line and bars are drawn where they fit; a pipe gets the same words below 80 columns."""
    seen = on_terminal(words, 80)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.argv", ["diag", *shlex.split(words)])
        patch.setenv("COLUMNS", "200")
        with pytest.raises(SystemExit), guarded():
            raise SystemExit(run())
    piped = capsys.readouterr().out
    assert widest(piped) < 80
    for mark in DRAWN[words]:
        assert mark in seen
        assert mark not in piped
    assert set() == set(piped.split()) - set(seen.split())
