"""The past of one heater: which jobs are its own, what they say now, and readings that wear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.jobs.entries import Labelled, Opened, entry_as_data
from diag.jobs.learning.summary import summarise
from diag.jobs.past.followed import FollowedFinding, followed
from diag.jobs.past.repaired import recollections, times_after
from diag.jobs.past.unit_past import past_of
from diag.jobs.past.wearing import WEARING
from diag.jobs.record import index_of
from diag.model.quantity import quantity
from diag.model.rulebook import Rulebook
from diag.model.settings import Settings
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import Answered, Event, Repaired, as_record
from diag.store import Store
from diag.store.jobs import Jobs
from diag.store.outcomes import CameTo, RepairOutcome
from tests.jobs.loaves import BREAD, answered, found, job_in

PROVED = found("top not slashed", answered("crust", "torn"), answered("slashed", "no"))
UNIT = "small 12 V"


class Days:
    """A clock that says what it is set to."""

    def __init__(self) -> None:
        self.now = "2026-11-02T08:00:00+00:00"

    def __call__(self) -> str:
        return self.now


@pytest.fixture
def days() -> Days:
    return Days()


@pytest.fixture
def store(tmp_path: Path, days: Days) -> Iterator[Store]:
    made = Store(tmp_path / "record.db", now=days)
    yield made
    made.close()


@pytest.fixture(scope="module")
def shipped() -> Rulebook:
    return load_book(str(shipped_rules()))


def opened(store: Store, tag: str = "", serial: str = "", unit: str = "tin loaf") -> str:
    label = Labelled(tag=tag or None, serial=serial or None)
    return Jobs(store, index_of).open(*entry_as_data(Opened(unit, "torn", label)))


def test_a_tag_brings_its_jobs_back(store: Store, days: Days) -> None:
    """The earlier jobs under a tag, whatever its capitals, come the latest first with repairs."""
    first = job_in(store, PROVED, Labelled(tag="LIB-03"))
    summarise(store, BREAD, first)
    days.now = "2026-11-09T08:00:00+00:00"
    job_in(store, PROVED[:2], Labelled(tag="LIB-03"))
    job_in(store, PROVED, Labelled(tag="LIB-04"))
    past = past_of(store, opened(store, "lib-03"))
    assert ["2026-11-09", "2026-11-02"] == [one.opened[:10] for one in past.jobs]
    assert [[], ["top not slashed"]] == [[r.cause for r in one.repairs] for one in past.jobs]
    assert () == past.conflicts


def test_a_job_without_tag_and_serial_has_no_past(store: Store) -> None:
    """What says no name is nobody's: jobs without a label are not taken for one heater."""
    job_in(store, PROVED)
    assert () == past_of(store, opened(store)).jobs


def test_another_serial_is_another_heater(store: Store) -> None:
    """Under the same tag with another serial, the past is left out and that is said."""
    session = job_in(store, PROVED, Labelled(tag="LIB-03", serial="0007"))
    [(job,)] = store.rows("select job from sessions where id = ?", (session,))
    past = past_of(store, opened(store, "LIB-03", "0042"))
    assert () == past.jobs
    said = f"under `LIB-03` job {job} was on another heater, serial `0007`, this one is `0042`"
    assert (f"{said}: that one's past is left out",) == past.conflicts


def test_the_same_serial_is_the_same_heater(store: Store) -> None:
    """Under another tag, with the same serial, the past counts and the change of tag is said."""
    session = job_in(store, PROVED, Labelled(tag="LIB-01", serial="0042"))
    [(job,)] = store.rows("select job from sessions where id = ?", (session,))
    past = past_of(store, opened(store, "LIB-03", "0042"))
    assert [job] == [one.id for one in past.jobs]
    assert (f"serial `0042` was `LIB-01` in job {job}, and is `LIB-03` now",) == past.conflicts


@pytest.mark.parametrize(("serial", "count"), [("0042", 1), ("", 0)])
def test_another_unit_is_said(store: Store, serial: str, count: int) -> None:
    """Where the record has another unit in the rules, only the same serial makes it this heater."""
    session = job_in(store, PROVED, Labelled(tag="LIB-03", serial=serial or None))
    [(job,)] = store.rows("select job from sessions where id = ?", (session,))
    past = past_of(store, opened(store, "LIB-03", serial, "long loaf"))
    assert count == len(past.jobs)
    left = "its past counts, as the serial is the same" if serial else "it is left out"
    said = f"job {job} has it as `tin loaf`, this one as `long loaf`: {left}"
    assert (said,) == past.conflicts


def test_earlier_sessions_of_the_same_job_are_past(store: Store) -> None:
    """A second session of a job has the first one for its past, and not itself."""
    first = job_in(store, PROVED, Labelled(tag="LIB-03"))
    [(job,)] = store.rows("select job from sessions where id = ?", (first,))
    second = store.create({"unit": "tin loaf", "complaint": "poor crust"}, job)
    assert [(first,)] == [one.sessions for one in past_of(store, job, second).jobs]


def repair(cause: str, result: CameTo, at: str = "2026-11-02") -> RepairOutcome:
    return RepairOutcome(f"{at}T08:00:00+00:00", "poor crust", "tin loaf", cause, 0.9, result)


def test_a_proved_repair_makes_its_cause_less_likely() -> None:
    """Right after it the odds are times 0.3, half a year later times 0.65; a failed one times 3."""
    assert 0.3 == times_after(0, Settings(), proved=True)
    assert 0.65 == pytest.approx(times_after(26, Settings(), proved=True))
    assert 3.0 == times_after(0, Settings(), proved=False)
    assert 2.0 == pytest.approx(times_after(26, Settings(), proved=False))
    assert 1.0 == times_after(5, Settings(lately_weeks=0), proved=False)


def test_it_says_when_and_what() -> None:
    """Each reason names what was done and how long ago."""
    now = "2026-11-23T08:00:00+00:00"
    [one] = recollections([repair("door opened", "proved")], BREAD, now)
    assert ("door opened", "repaired and proved 3 weeks ago") == (one.cause, one.why)
    [one] = recollections([repair("door opened", "failed")], BREAD, now)
    assert "repaired, which did not hold, 3 weeks ago" == one.why
    assert one.times > 1


def test_the_latest_repair_counts() -> None:
    """A repair that held after one that did not takes its place, in whatever order."""
    both = [repair("door opened", "proved", "2026-11-09"), repair("door opened", "failed")]
    for row in (both, both[::-1]):
        [one] = recollections(row, BREAD, "2026-11-23T08:00:00+00:00")
        assert "repaired and proved 2 weeks ago" == one.why


def test_what_tells_nothing_is_left_out() -> None:
    """A repair not read whole, one of a cause that is gone, and one of years ago say nothing."""
    row = [
        repair("door opened", "open"), repair("long gone", "proved"),
        repair("skin dried", "proved", "2016-11-02"),
    ]  # fmt: skip
    assert () == recollections(row, BREAD, "2026-11-23T08:00:00+00:00")


def test_a_new_part_mends_more_than_its_cause(shipped: Rulebook) -> None:
    """What a proved repair mends as well is less likely, too."""
    told = recollections([repair("glow plug aged", "proved")], shipped, "2026-11-02T08:00:00+00:00")
    mended = {"glow plug aged", *shipped.causes["glow plug aged"].repair.mends_as_well}
    assert mended == {one.cause for one in told}
    assert {0.3} == {one.times for one in told}


@given(st.floats(0, 2000), st.booleans())
def test_it_fades(weeks: float, proved: bool) -> None:
    """The longer ago, the nearer to saying nothing; it never changes sides."""
    sooner = times_after(weeks, Settings(), proved=proved)
    later = times_after(weeks + 10, Settings(), proved=proved)
    assert abs(later - 1) <= abs(sooner - 1)
    assert (sooner <= 1) if proved else (sooner >= 1)


def test_what_wears_is_in_the_rules(shipped: Rulebook) -> None:
    """Each finding that is followed is one of the shipped rules, and a number."""
    assert all(shipped.findings[name].unit is not None for name in WEARING)


def read(store: Store, days: Days, rows: Sequence[tuple[str, float]], *between: Event) -> list[str]:
    """Keep sessions of one reading of the plug each; return them in order."""
    sessions = []
    for at, ohms in rows:
        days.now = f"{at}T08:00:00+00:00"
        event = Answered("glow plug resistance cold", quantity(ohms, "ohm"), "measured")
        session = store.create({"unit": UNIT, "complaint": "check it over"}, opened(store, "A"))
        for each in (*between, event) if (at, ohms) == rows[-1] else (event,):
            store.append(session, *as_record(each))
        sessions.append(session)
    return sessions


def follow(store: Store, sessions: Sequence[str], book: Rulebook) -> list[FollowedFinding]:
    unit = book.units[UNIT]
    of = (book, unit, CompiledRulebook.of(book, unit).below)
    return list(followed(store, sessions, WEARING, of))


YEARS = [("2022-10-01", 0.60), ("2023-10-01", 0.66), ("2024-10-01", 0.72), ("2025-10-01", 0.78),
         ("2026-10-01", 0.84)]  # fmt: skip


def test_readings_are_followed_over_the_years(store: Store, days: Days, shipped: Rulebook) -> None:
    """Readings of one heater make a row with its slope a year and its meters' errors."""
    [one] = follow(store, read(store, days, YEARS), shipped)
    assert "glow plug resistance cold" == one.finding
    assert (0.60, 0.66, 0.72, 0.78, 0.84) == pytest.approx(one.trend.values)
    assert 0.06 == pytest.approx(one.trend.slope, rel=1e-3)
    # 1 % of the reading and 0.1 ohm, as the unit's file says nothing of it.
    assert 0.0084 + 0.1 == pytest.approx(one.trend.errors[-1])


def test_the_units_own_meter_comes_first(store: Store, days: Days, shipped: Rulebook) -> None:
    """Where the unit's file says what a meter is off by, that counts."""
    own = {"glow plug resistance cold": (0.0, quantity(0.01, "ohm"))}
    unit = replace(shipped.units[UNIT], instrument_errors=own)
    of = (shipped, unit, CompiledRulebook.of(shipped, unit).below)
    [one] = followed(store, read(store, days, YEARS), WEARING, of)
    assert (0.01,) * 5 == pytest.approx(one.trend.errors)
    assert one.trend.is_sure


def test_a_new_part_begins_anew(store: Store, days: Days, shipped: Rulebook) -> None:
    """What was read before a repair that changes it belongs to the old part."""
    renewed = read(store, days, YEARS, Repaired("glow plug aged"))
    assert [] == follow(store, renewed, shipped)


def test_another_repair_leaves_it(store: Store, days: Days, shipped: Rulebook) -> None:
    """A repair that does not touch the part leaves its row as it is."""
    [one] = follow(store, read(store, days, YEARS, Repaired("filter clogged")), shipped)
    assert 5 == len(one.readings)
