"""What a session shows of its heater's past and of the record, and what `diag rules learn` does."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from diag.cli.account.past import sparkline
from diag.cli.app import run
from diag.cli.ask.opening import OpeningWords
from diag.cli.ask.past import begin_with_record, sum_up
from diag.cli.ask.views import show_why
from diag.cli.guard import guarded
from diag.cli.places import sessions_file
from diag.cli.terminal.screen import Screen
from diag.jobs.entries import Labelled
from diag.jobs.learning.summary import rebuild
from diag.session.controller import SessionController
from diag.session.journal.events import as_record, journal_of
from diag.session.journal.recalled import Recalled
from diag.session.state import SessionState
from diag.store import Store
from diag.store.outcomes import CameTo, Outcomes, RepairOutcome, SeenSign, Summary
from tests.jobs.loaves import BREAD, LOAF, POOR, answered, found, job_in

TORN = (answered("crust", "torn"), answered("slashed", "no"))
LIB_03 = Labelled(tag="LIB-03", serial="0042")
NOW = "2026-11-23T08:00:00+00:00"
Bench = tuple[Store, list[str]]


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """Yield a store with three proved repairs, none of them on LIB-03, and the time as it says."""
    clock = ["2026-11-02T08:00:00+00:00"]
    store = Store(tmp_path / "record.db", now=lambda: clock[0])
    for tag in ("LIB-01", "LIB-02", "LIB-05"):
        job_in(store, found("top not slashed", *TORN), Labelled(tag=tag))
    rebuild(store, BREAD)
    yield store, clock
    store.close()


def begun(
    store: Store, told: OpeningWords | None = None, label: Labelled = LIB_03
) -> tuple[SessionController, str, str]:
    """Begin a session of a new job; return it, its id, and what the screen showed."""
    session, out = job_in(store, (), label), io.StringIO()
    state = SessionState(BREAD, BREAD.units[LOAF], POOR)
    controller = SessionController(
        state, lambda event: store.append(session, *as_record(event)) and None, store.now
    )
    begin_with_record(told or OpeningWords(), controller, store, session, Screen(out))
    return controller, session, " ".join(out.getvalue().split())


def test_the_record_is_said_and_written_down(bench: Bench) -> None:
    """A session says how many repairs moved which suspect, and its journal alone says it again."""
    store, _ = bench
    controller, session, shown = begun(store)
    assert "The record (3 proved repairs here) moves `top not slashed` from 2nd to 1st" in shown
    stored = store.events(session)
    assert ["recalled"] == [one.kind for one in stored]
    alone = SessionState(BREAD, BREAD.units[LOAF], POOR)
    alone.replay(journal_of(stored))
    assert controller.state.posterior.singles == alone.posterior.singles


def test_a_record_that_grows_moves_no_session_begun(bench: Bench) -> None:
    """What comes into the record later changes nothing of a session that is under way."""
    store, _ = bench
    controller, session, _ = begun(store)
    for _ in range(5):
        job_in(store, found("top not slashed", *TORN))
    rebuild(store, BREAD)
    stored = store.events(session)
    alone = SessionState(BREAD, BREAD.units[LOAF], POOR)
    alone.replay(journal_of(stored))
    assert controller.state.posterior.singles == alone.posterior.singles


def test_why_tells_the_record(bench: Bench) -> None:
    """`why` says again what the record did."""
    controller, _, _ = begun(bench[0])
    out = io.StringIO()
    show_why(Screen(out), controller.state, controller.prompt)
    assert "The record (3 proved repairs here) moves" in " ".join(out.getvalue().split())


def test_by_the_rules_alone(bench: Bench) -> None:
    """Switched off, nothing of the record is used, written down or shown."""
    controller, session, shown = begun(bench[0], OpeningWords(by_rules_alone=True))
    assert "" == shown
    assert () == bench[0].events(session)
    bare = SessionState(BREAD, BREAD.units[LOAF], POOR)
    assert bare.posterior.singles == controller.state.posterior.singles


def test_undo_goes_on_without_the_record(bench: Bench) -> None:
    """`undo` at the first question takes the record back, as any act."""
    controller, _, shown = begun(bench[0])
    assert shown.endswith(
        "`undo` at the first question goes on without it; so does --without-record."
    )
    assert isinstance(controller.undo(), Recalled)
    bare = SessionState(BREAD, BREAD.units[LOAF], POOR)
    assert bare.posterior.singles == controller.state.posterior.singles


def test_a_heaters_past_is_shown_and_counts(bench: Bench) -> None:
    """At its next session stand its jobs and repairs, and the repaired cause is less likely."""
    store, clock = bench
    before = begun(store, label=Labelled(tag="LIB-09"))[0].state
    job_in(store, found("top not slashed", *TORN), LIB_03)
    clock[0] = NOW
    controller, _, shown = begun(store)
    title = BREAD.causes["top not slashed"].title
    assert f"The past of LIB-03 2026-11-02 3 weeks ago its crust is pale: {title}: proved" in shown
    assert f"{title} is less likely here: repaired and proved 3 weeks ago." in shown
    after = controller.state
    [one] = after.recalled.past
    assert 1 - 0.7 * 0.5 ** (3 / 26) == pytest.approx(one.times, rel=1e-3)
    assert after.posterior.causes[one.cause] < before.posterior.causes[one.cause]


def test_a_session_left_by_a_kill_is_summed_up_first(bench: Bench) -> None:
    """What an earlier session of the heater did counts, although nothing summed it up."""
    store, clock = bench
    session = job_in(store, found("top not slashed", *TORN), LIB_03)
    assert () == Outcomes(store).of_session(session)
    clock[0] = NOW
    begun(store)
    assert 1 == len(Outcomes(store).of_session(session))


def test_a_danger_comes_before_the_past(bench: Bench) -> None:
    """While a danger told at the start is not heeded, nothing else is shown, yet all is used."""
    store, _ = bench
    gas = answered("smell of gas", "yes")
    controller, session, shown = begun(store, OpeningWords(answers=(gas,)))
    assert "" == shown
    assert ["answered", "recalled"] == [one.kind for one in store.events(session)]
    assert controller.state.recalled.repairs == 3


def test_another_heater_under_the_tag_is_said(bench: Bench) -> None:
    """Two serials under one tag are never mixed in silence."""
    store, _ = bench
    job_in(store, found("top not slashed", *TORN), Labelled(tag="LIB-03", serial="0007"))
    controller, _, shown = begun(store)
    assert "was on another heater, serial `0007`, this one is `0042`" in shown
    assert () == controller.state.recalled.past


def test_an_empty_record_says_nothing(tmp_path: Path) -> None:
    """With nothing on record a session begins as ever."""
    store = Store(tmp_path / "record.db")
    _, session, shown = begun(store)
    assert ("", ()) == (shown, store.events(session))
    store.close()


def test_a_session_is_summed_up_as_it_is_left(bench: Bench) -> None:
    """What a session came to is kept when it is left; one without a job is none of the record."""
    store, _ = bench
    session = job_in(store, found("top not slashed", *TORN))
    state = SessionState(BREAD, BREAD.units[LOAF], POOR)
    sum_up(store, session, state)
    assert ["proved"] == [one.result for one in Outcomes(store).of_session(session)]
    alone = store.create({"unit": LOAF, "complaint": POOR})
    for event in found("top not slashed", *TORN):
        store.append(alone, *as_record(event))
    sum_up(store, alone, state)
    assert () == Outcomes(store).of_session(alone)


@pytest.mark.parametrize("count", [1, 2, 9, 60])
def test_a_sparkline_is_as_wide_as_its_numbers(count: int) -> None:
    """A row of numbers is drawn in as many letters of ASCII, the highest at its place."""
    drawn = sparkline([float(at % 7) for at in range(count)])
    assert count == len(drawn)
    assert drawn.isascii()


# What follows is about the shipped rules, on a record that is written down as sums alone.

EARTH, COMPLAINT, UNIT = "bad earth", "will not start", "small 12 V"


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Store:
    """Return the store of a data folder with 30 proved repairs and 10 that failed."""
    monkeypatch.setenv("DIAG_HOME", str(tmp_path))
    store = Store(sessions_file())

    def keep(result: CameTo, share: float, count: int) -> None:
        for _ in range(count):
            session = job_in(store, ())
            one = RepairOutcome(NOW, COMPLAINT, UNIT, EARTH, share, result)
            seen = (SeenSign(EARTH, "panel", "dark"),) if result == "proved" else ()
            Outcomes(store).keep(session, Summary(0, (one,), seen))

    keep("proved", 0.95, 18)
    keep("failed", 0.95, 2)
    keep("proved", 0.65, 12)
    keep("went on", 0.65, 8)
    keep("open", 0.95, 3)
    return store


def printed(line: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Run a command; return what it printed, its blanks made one."""
    with pytest.raises(SystemExit) as ended, guarded():
        run_words(line)
    assert 0 == ended.value.code
    return " ".join(capsys.readouterr().out.split())


def run_words(line: list[str]) -> None:
    """Run `diag` with some words."""
    import sys

    before = sys.argv
    sys.argv = ["diag", *line]
    try:
        raise SystemExit(run())
    finally:
        sys.argv = before


def test_verdicts_at_ninety_are_told_first(
    record: Store, capsys: pytest.CaptureFixture[str]
) -> None:
    """`diag jobs calibration` says how many verdicts at 90 % or more were right, with its doubt.

    18 of 20: by Jeffreys' interval (scipy) 71.6 to 97.9 %.
    """
    shown = printed(["jobs", "calibration", "--plain"], capsys)
    said = "Of 20 verdicts at 90 % or more, said 95 % on average, 18 were right: 90 %"
    assert shown.startswith(f"{said}, with 95 % between 72 and 98 %.")
    # 18 * 0.05^2 + 2 * 0.95^2 + 12 * 0.35^2 + 8 * 0.65^2 = 6.7, of 40.
    assert "Brier score: 0.168, of 40 verdicts" in shown
    assert "Not judged: 3 whose proof was not read whole." in shown


def test_calibration_as_data(record: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """As JSON the same numbers come whole."""
    data = json.loads(printed(["jobs", "calibration", "--json"], capsys))
    assert (40, 3, 20, 18) == (
        data["judged"], data["not_judged"], data["sure"]["verdicts"], data["sure"]["right"]
    )  # fmt: skip
    brier = data["brier"]
    parts = brier["reliability"] - brier["resolution"] + brier["uncertainty"] + brier["within_bins"]
    assert 6.7 / 40 == pytest.approx(brier["score"], abs=1e-6)
    assert brier["score"] == pytest.approx(parts, abs=1e-5)


def test_learn_shows_the_record_beside_the_rules(
    record: Store, capsys: pytest.CaptureFixture[str]
) -> None:
    """`diag rules learn` tells shares with intervals and links that lie outside, and changes none.

    30 proved of 30, and the rules' share worth 20: (20 r + 30) / 50.
    """
    data = json.loads(printed(["rules", "learn", COMPLAINT, "--json"], capsys))
    [one] = data["complaints"]
    [earth] = [each for each in one["causes"] if each["cause"] == EARTH]
    assert (20 * earth["rules"] + 30) / 50 == pytest.approx(earth["here"], abs=1e-5)
    assert earth["interval"][0] < earth["here"] < earth["interval"][1]
    assert 30 == earth["repairs"] == one["repairs"]
    shown = printed(["rules", "learn", COMPLAINT], capsys)
    assert "will not start: 30 proved repairs" in shown
    assert "No file is changed: what to write is for whoever writes the rules to say." in shown


def test_links_outside_are_suggested(record: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """A state that always showed where the rules say seldom is told with counts and a word."""
    data = json.loads(printed(["rules", "learn", "--json"], capsys))
    [dark] = [each for each in data["links"] if each["state"] == "dark"]
    assert (EARTH, "panel", 30, 30) == (
        dark["cause"], dark["sign"], dark["times"], dark["looks"]
    )  # fmt: skip
    assert not dark["interval"][0] <= dark["rules"] <= dark["interval"][1]


def test_nothing_to_learn_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With no proved repair both commands say so in a sentence."""
    monkeypatch.setenv("DIAG_HOME", str(tmp_path))
    said = "No repair of a job is proved in the record yet: there is nothing to learn."
    assert said == printed(["rules", "learn"], capsys)
    said = "No verdict of a job was put to the proof yet: there is nothing to judge."
    assert said == printed(["jobs", "calibration"], capsys)
