"""The line after each answer, the judgement of a reading, and the reasons: laws and examples."""

from __future__ import annotations

import io

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from diag.cli.account.line import percent, suspects_line, suspects_sentence
from diag.cli.account.news import News
from diag.cli.account.verdict import show_reasons
from diag.cli.account.where import show_suspects, show_where
from diag.cli.account.why_not import show_why_not
from diag.cli.book import load_book
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.reason.plan.choose import TimeAhead
from diag.rulebook import parse_answer
from diag.session.account.judged import judged
from diag.session.account.named import meant_causes
from diag.session.account.reasons import reasons
from diag.session.account.snapshot import snapshot
from diag.session.account.spent import Spent
from diag.session.account.suspects import FellOut, Suspected, Suspects, suspects
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.journal.events import Repaired
from diag.session.prompt import ProposeRepair
from diag.session.result import shown
from diag.session.state import SessionState
from tests.cli.terminals import taken, terminal, widths

READ = {
    "panel": "lit", "panel shows": "fault", "flash count": "0", "fan at start": "runs",
    "pump clicks": "silent", "lights up": "no", "battery kind": "lead-acid",
    "volts at rest": "12.7 V", "volts at the terminals while igniting": "12.3 V",
    "volts at the heater while igniting": "9.8 V", "amps while igniting": "7.9 A",
}  # fmt: skip
names = st.text("abc xyz暖é", min_size=1, max_size=45).map(str.strip).filter(bool)
shares = st.floats(0, 1)
found = st.builds(
    Suspects,
    st.lists(st.builds(Suspected, names, shares, st.floats(-1, 1)), max_size=7).map(tuple),
    shares, shares, shares, shares,
    st.lists(st.builds(FellOut, names, shares, st.lists(names, max_size=1).map(tuple))).map(tuple),
    st.builds(Spent, st.floats(0, 900), st.just(0.0), st.dictionaries(names, st.integers(1, 9))),
)  # fmt: skip


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_book()


def begun(book: Rulebook) -> SessionController:
    state = SessionState(book, book.units["LIB-03"], "will not start")
    return SessionController(state, lambda _: None, lambda: "")


def read(controller: SessionController, *wanted: str) -> None:
    for name in wanted:
        controller.change(f"{name} = {READ[name]}")


@settings(deadline=None)
@given(found, widths)
def test_the_line_is_one_line_that_fits_and_holds_the_likeliest(one: Suspects, width: int) -> None:
    """Whatever the names, no width is exceeded and nothing breaks; a shorter line holds no more."""
    line = suspects_line(one, width - 1)
    assert taken(line) < width
    assert "\n" not in line
    first = max(one.leading, key=lambda each: each.share, default=None)
    if first and first.share >= max(one.nothing, one.unknown) and len(first.cause) < 12:
        assert f"{first.cause} {percent(first.share)}" in line
    assert taken(suspects_line(one, 39)) <= max(39, taken(line))


@settings(deadline=None, max_examples=15)
@given(st.lists(st.sampled_from(sorted(READ)), unique=True, max_size=6))
def test_shares_add_up_with_the_posterior(book: Rulebook, wanted: list[str]) -> None:
    """All shares make one and what pairs count twice; the posterior's own pairs tell that too."""
    controller = begun(book)
    read(controller, *wanted)
    posterior, told = controller.state.posterior, suspects(controller.state)
    total = sum(one.share for one in told.leading) + told.others + told.nothing + told.unknown
    assert 1 + told.twice == pytest.approx(total)
    twice = sum(share * (len(pair) - 1) for pair, share in posterior.pairs.items())
    assert told.twice == pytest.approx(twice, abs=1e-9)
    assert [(one.cause, one.share) for one in told.leading] == [
        (name, share) for name, share in posterior.ranking if share >= 0.005
    ]


def test_what_fell_out_is_told_with_what_took_it_out(book: Rulebook) -> None:
    """A lit panel takes the open isolator out, and what has grown says by how much."""
    controller = begun(book)
    before = snapshot(controller.state)
    read(controller, "panel")
    told = suspects(controller.state, before)
    assert ("isolator off", ("panel",)) in [(one.cause, one.by) for one in told.fell_out]
    first = told.leading[0]
    assert first.change == pytest.approx(first.share - before.shares[first.cause])


def said_of(book: Rulebook, *wanted: str, columns: int = 0) -> str:
    """Return what is told after the last of some readings, as a pipe or a terminal shows it."""
    controller = begun(book)
    read(controller, *wanted[:-1])
    if columns:
        with terminal(columns) as out:
            news = News(Screen())
            news.tell(controller.state, controller.prompt)
            out.truncate(0)
            read(controller, wanted[-1])
            news.tell(controller.state, controller.prompt)
            return out.getvalue().strip("\0")
    out = io.StringIO()
    news = News(Screen(out, plain=True))
    news.tell(controller.state, controller.prompt)
    out.truncate(out.seek(0))
    read(controller, wanted[-1])
    news.tell(controller.state, controller.prompt)
    return out.getvalue()


def test_a_reading_is_judged_with_its_number_and_what_it_makes_known(book: Rulebook) -> None:
    """Volts below what the rules call good are told by how much, with the loss worked out."""
    volts = ("volts at the terminals while igniting", "volts at the heater while igniting")
    told = " ".join(said_of(book, *volts).split())
    assert told.startswith("9.8 V: 1.8 V too low; good is 11.6 V or more (class value).")
    assert "Worked out: volts lost between battery and heater: 2.5 V." in told
    assert "Suspects: " in told
    told = " ".join(said_of(book, *volts, "amps while igniting").split())
    # 2.5 V / 7.9 A = 316 mohm, by Ohm's law
    assert "resistance of both cables with all their joints: 316 mohm" in told


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_where_the_volts_go_is_drawn_on_a_terminal_only(book: Rulebook, columns: int) -> None:
    """At rest less both losses is what the heater gets; each loss has its bar, no line too long."""
    volts = [name for name in READ if name.startswith("volts")]
    drawn = said_of(book, *volts, columns=columns).splitlines()
    rows = [line[2:] for line in drawn if line.startswith(("  -", "  =", "  battery"))]
    bars = {line.split("  ")[0]: line for line in rows}
    told = [float(line.split(" V")[0].split()[-1]) for line in bars.values()]
    assert [12.7, 0.4, 12.3, 2.5, 9.8] == told
    assert bars["- lost in the cables"].count("#") > bars["- lost in the battery"].count("#") > 0
    assert max(map(taken, drawn)) < columns
    assert "#" not in said_of(book, *volts)


def test_that_nothing_is_wrong_grows_and_shrinks_like_a_suspect(book: Rulebook) -> None:
    """A start that lights makes it likelier that nothing is, and the line says by how much."""
    controller = begun(book)
    before = snapshot(controller.state)
    controller.change("lights up = yes")
    told = suspects(controller.state, before)
    grown = controller.state.posterior.nothing - before.nothing
    assert told.nothing_change == pytest.approx(grown)
    assert f"nothing wrong {percent(told.nothing)} (+" in suspects_line(told, 120)


def test_a_choice_is_judged_by_no_number(book: Rulebook) -> None:
    """After a choice the suspects stand alone, on a terminal in one line."""
    lines = said_of(book, "panel", columns=80).splitlines()
    assert 1 == len(lines)
    assert "out: " in lines[0]


def test_a_sentence_says_what_the_line_says() -> None:
    """Without columns the same names, shares and changes stand in a sentence."""
    leading = (Suspected("bad earth", 0.47, 0.31), Suspected("thin cable", 0.04))
    gone = (FellOut("blown fuse", 0.1, ("supply fuse",)),)
    one = Suspects(leading, 0.5, 0.0, 0.0, 0.01, gone, Spent(12, 0, {"one start": 1}))
    assert suspects_sentence(one) == (
        "Suspects: bad earth 47 %, up 31; thin cable 4 %. Out: blown fuse (supply fuse). "
        "Two at once: 1 %. So far: 12 min, 1 start."
    )
    assert suspects_line(one, 120) == (
        "bad earth 47 % (+31)  thin cable 4 % | out: blown fuse (supply fuse) | two at once 1 % | "
        "so far 12 min, 1 start"
    )
    assert suspects_line(one, 39) == "bad earth 47 % (+31)  thin cable 4 %"


@settings(deadline=None)
@given(st.floats(0.006, 0.99), st.floats(0.006, 0.99))
def test_a_change_is_that_of_the_shares_as_they_are_written(before: float, now: float) -> None:
    """Whoever subtracts the share told before from the one told now gets the change in brackets."""
    assume(abs(100 * before % 1 - 0.5) > 1e-6)  # a half is written down or up by its last bit
    one = Suspects((Suspected("a", now, now - before),), 0, 0, 0, 0, (), Spent(0, 0, {}))
    name, _, told = suspects_line(one, 80).partition(" (")
    points = int(told.rstrip(")") or 0)
    assert f"{now:.0%}" == name.removeprefix("a ").replace(" ", "")
    assert int(f"{now:.0%}"[:-1]) - int(f"{before:.0%}"[:-1]) == points


def test_suspects_of_whom_nothing_has_changed_are_not_named_again() -> None:
    """In their place stands `as before`, with what the work has taken and what is ahead."""
    leading, spent = (Suspected("bad earth", 0.471, 0.001),), Spent(12, 0, {"one start": 1})
    one, ahead = Suspects(leading, 0.5, 0.0, 0.0, 0.0, (), spent), TimeAhead(60, 0, 0, {})
    wide, narrow = (suspects_line(one, width, ahead, same=True) for width in (80, 39))
    assert "as before | so far 12 min, 1 start | to go 60 min" == wide
    assert "as before | to go 60 min" == narrow
    said = suspects_sentence(one, ahead, same=True)
    assert "Suspects as before. So far: 12 min, 1 start. To go: 60 min." == said


@pytest.mark.parametrize("columns", [0, 80])
def test_an_answer_that_moves_nothing_is_told_in_few_words(book: Rulebook, columns: int) -> None:
    """The suspects stand there once; the next answer that leaves them so does not repeat them."""
    controller = begun(book)
    with terminal(columns or 80) as out:
        news = News(Screen() if columns else Screen(out, plain=True))
        news.tell(controller.state, controller.prompt)
        said = []
        for answer in ("panel = lit", "what was filled = right"):
            controller.change(answer)
            start = len(out.getvalue())
            news.tell(controller.state, controller.prompt)
            said.append(out.getvalue()[start:])
    assert "as before" not in said[0]
    assert said[1].lower().removeprefix("suspects ").startswith("as before")


def test_where_stands_in_the_order_one_needs(book: Rulebook) -> None:
    """Suspects come before the readings, and what was skipped last; each with its own reasons."""
    controller = begun(book)
    read(controller, *READ)
    controller.pass_over("not sure")
    out = io.StringIO()
    show_where(Screen(out, plain=True), controller.state)
    said = out.getvalue()
    order = [said.index(f"\n{head}\n") for head in ("Suspects", "Readings", "Skipped")]
    assert sorted(order) == order
    assert "\n        for `" in said


def test_the_verdict_says_why(book: Rulebook) -> None:
    """What tells the cause from all others comes with its readings, and what else it could be."""
    controller = begun(book)
    read(controller, *READ)
    out = io.StringIO()
    first = controller.state.posterior.ranking[0][0]
    show_reasons(Screen(out, plain=True), controller.state, first)
    said = " ".join(out.getvalue().split())
    assert "Because, of all that it could be:" in said
    assert "volts at the heater while igniting: 9.8 V" in said
    assert "It could also be: " in said
    assert f"`why {first}` shows how that follows." in said


@pytest.mark.parametrize(
    ("text", "cause"),
    [("bad earth", "bad earth"), ("the Earth", "bad earth"), ("Bad-earth", "bad earth"),
     ("worn out battery", "worn battery"), ("worn batery", "worn battery"),
     ("thin cable", "thin cable"), ("screen missing", "glow plug screen missing")],
)  # fmt: skip
def test_a_cause_is_known_by_any_sensible_name(book: Rulebook, text: str, cause: str) -> None:
    """Its id, its title, some of their words, their endings and slips of spelling."""
    assert (cause,) == meant_causes(book, text)


def test_of_several_that_may_be_meant_each_is_named(book: Rulebook) -> None:
    """Two batteries are two causes; a name that is none brings the nearest."""
    out = io.StringIO()
    screen, state = Screen(out, plain=True), begun(book).state
    show_why_not(screen, state, "dead battery")
    assert "why-not worn battery" in out.getvalue()
    assert "why-not empty battery" in out.getvalue()
    show_why_not(screen, state, "thjn cabel")
    show_why_not(screen, state, "bad earth")
    assert "Against it, compared with: " in out.getvalue()
    show_why_not(screen, state, "qqqq")
    assert "There is no cause `qqqq`" in out.getvalue()


@pytest.mark.parametrize("columns", [40, 80, 120])
def test_pages_hold_all_of_it_once(book: Rulebook, columns: int) -> None:
    """The pages one after the other are the whole, none longer than the terminal is high."""
    controller = begun(book)
    read(controller, *READ)
    with terminal(columns) as out:
        screen = Screen()
        show_suspects(screen, controller.state)
        whole, said = out.getvalue().splitlines(), list[str]()
        for number in range(1, 99):
            out.truncate(out.seek(0))
            screen.page(str(number), "where", lambda: show_suspects(screen, controller.state))
            page = out.getvalue().splitlines()
            assert len(page) <= 24
            more = bool(page) and page[-1].endswith("shows the next.")
            said += page[:-1] if more else page
            if not more:
                break
        assert whole == said
        with pytest.raises(ValueError, match="type `where` and the number of one"):
            screen.page("99", "where", lambda: show_suspects(screen, controller.state))


def test_what_comes_before_a_stop_is_nothing(book: Rulebook) -> None:
    """A reading that stops the work is judged by the STOP alone."""
    out, controller = io.StringIO(), begun(book)
    news = News(Screen(out, plain=True))
    news.tell(controller.state, controller.prompt)
    controller.change("co alarm = yes")
    news.tell(controller.state, controller.prompt)
    assert "" == out.getvalue()
    assert not isinstance(controller.prompt, ProposeRepair)
    controller.answer(Line("done"))


def test_readings_told_in_one_go_are_judged_as_if_told_one_by_one(book: Rulebook) -> None:
    """12.7 V at rest are good whatever is read under load after it: what comes later in the same
    act is no measure of what came first."""
    controller = begun(book)
    controller.change("amps while igniting = 9.3 A")
    volts = {"volts at rest": "12.7 V", "volts at the terminals while igniting": "12.0 V"}
    findings = book.findings
    told = [(findings[name], parse_answer(text, findings[name])) for name, text in volts.items()]
    before = snapshot(controller.state)
    controller.volunteer_together(told)
    together = [(one.finding, one.good) for one in judged(controller.state, before)]
    controller.undo()
    apart = []
    for finding, value in told:
        before = snapshot(controller.state)
        controller.volunteer(finding, value)
        apart += [(one.finding, one.good) for one in judged(controller.state, before)]
    assert apart == together
    assert ("volts at rest", "12.4 V or more") in together


def test_a_reason_of_before_a_repair_names_no_reading_of_after_it(book: Rulebook) -> None:
    """The battery sagged at the amps of then; those read after the repair are of another heater."""
    controller = begun(book)
    for told in ("volts at rest = 12.5 V", "volts at the terminals while igniting = 9.9 V",
                 "amps while igniting = 5.4 A"):  # fmt: skip
        controller.change(told)

    def behind() -> dict[str, str]:
        known = reasons(controller.state, "worn battery").speaks_for
        inside = next(one for one in known if one.sign == "battery inside")
        return {name: shown(value) for name, value in inside.rests_on}

    assert "5.4 A" == behind()["amps while igniting"]
    controller.record(Repaired("glow plug aged"))
    controller.change("amps while igniting = 9.2 A")
    assert "9.2 A" not in behind().values()
    assert "9.9 V" == behind()["volts at the terminals while igniting"]
