"""Records of many benches make one record, in whatever order they come."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diag.jobs.record import index_of
from diag.store import Store
from diag.store.exchange.bundle import Bundle, JobBundle, SessionBundle, bundle_as_data
from diag.store.exchange.incoming import Incoming
from diag.store.exchange.outgoing import all_names, bundles
from diag.store.exchange.union import WITHHELD
from diag.store.jobs import JobEntry, Jobs
from diag.store.sessions import StoredEvent
from tests.store.places import Place, opened

UIDS = [letter * 32 for letter in "abc"]
IDS = st.sampled_from(["k7", "m4", "q2"])
WORDS = st.sampled_from(["left", "right", WITHHELD])
TIMES = st.sampled_from(["t1", "t2"])

EVENTS = st.lists(st.tuples(WORDS, TIMES), max_size=3).map(
    lambda told: tuple(
        StoredEvent(number, "noted", {"text": word}, at)
        for number, (word, at) in enumerate(told, 1)
    )
)


def sessions(uid: str | None) -> st.SearchStrategy[SessionBundle]:
    return st.builds(
        SessionBundle,
        uid=st.sampled_from(UIDS),
        id=IDS,
        place=st.just(1),
        started=st.just("t0"),
        header=st.just({"unit": "town bicycle"}),
        outcome=st.sampled_from([None, None, "proved"]),
        events=EVENTS,
        job=st.just(uid),
    )


ENTRIES = st.builds(
    JobEntry,
    number=st.integers(1, 2),
    uid=st.sampled_from(UIDS),
    kind=st.just("noted"),
    payload=st.fixed_dictionaries({"text": WORDS}),
    at=TIMES,
)
JOBS = st.sampled_from(UIDS).flatmap(
    lambda uid: st.builds(
        JobBundle,
        uid=st.just(uid),
        id=IDS,
        opened=TIMES,
        entries=st.lists(ENTRIES, max_size=3).map(tuple),
        sessions=st.lists(sessions(uid), max_size=2).map(tuple),
    )
)
FILES = st.lists(st.lists(JOBS | sessions(None), max_size=3), min_size=10, max_size=10)


def new_store(folder: Path) -> Store:
    return Store(folder / "record.db")


def taken_in(store: Store, files: Iterable[list[Bundle]]) -> Store:
    for file in files:
        Incoming(store, Jobs(store, index_of)).take(file)
    return store


def nameless(data: Any) -> Any:
    """Return exported data without the ids that people type at one bench."""
    if isinstance(data, dict):
        return {key: nameless(value) for key, value in data.items() if key != "id"}
    return [nameless(one) for one in data] if isinstance(data, list) else data


def record_in(store: Store) -> list[Any]:
    found = [nameless(bundle_as_data(one)) for one in bundles(store, *all_names(store))]
    return sorted(found, key=repr)


def rows_of(store: Store) -> list[Any]:
    tables = {"jobs": "id", "job_entries": "uid", "sessions": "id", "events": "session, number"}
    return [store.rows(f"select * from {table} order by {by}") for table, by in tables.items()]


def no_more_than(less: list[str], more: list[str]) -> bool:
    """Tell whether a list of texts begins another, a withheld one standing for any."""
    return len(less) <= len(more) and all(
        one in (other, WITHHELD) for one, other in zip(less, more, strict=False)
    )


def told(session: SessionBundle) -> list[str]:
    lines = [text for one in session.events for text in (one.at, one.payload["text"])]
    return [*lines, *([session.outcome] if session.outcome else [])]


def expected(files: list[list[Bundle]]) -> tuple[set[Any], set[Any]]:
    """Return the entries and the sessions that no other says more than, by comparing all pairs."""
    all_of = [one for file in files for one in file]
    entries = {
        (job.uid, one.number, one.uid, one.at, one.payload["text"])
        for job in all_of
        if isinstance(job, JobBundle)
        for one in job.entries
    }
    journals = {
        (one.job or "", one.uid, tuple(told(one)), one.outcome)
        for each in all_of
        for one in (each.sessions if isinstance(each, JobBundle) else [each])
    }

    def lesser(one: Any, other: Any) -> bool:
        return (
            one != other
            and one[0] in ("", other[0])
            and one[1] == other[1]
            and no_more_than([*one[2]], [*other[2]])
        )

    return (
        {e for e in entries if e[4] != WITHHELD or not any(
            f[:4] == e[:4] and f != e for f in entries)},
        {j for j in journals if not any(lesser(j, other) for other in journals)},
    )  # fmt: skip


@settings(max_examples=25)
@given(files=FILES, order=st.permutations(range(10)))
def test_ten_benches_in_any_order_make_one_record(
    files: list[list[Bundle]], order: list[int], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever ten benches send, and in whatever order it comes, all of it makes one record."""
    one = taken_in(new_store(tmp_path_factory.mktemp("a")), files)
    other = taken_in(new_store(tmp_path_factory.mktemp("b")), [files[place] for place in order])
    assert record_in(one) == record_in(other)
    one.close()
    other.close()


IN_JOBS = st.lists(
    st.lists(JOBS.filter(lambda job: WITHHELD not in repr(job)), max_size=3),
    min_size=4,
    max_size=4,
)


@settings(max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(files=IN_JOBS, order=st.permutations(range(4)))
def test_a_server_makes_the_same_record_as_a_file(
    files: list[list[Bundle]], order: list[int], place: Place
) -> None:
    """What comes to a place in any order, then to a file and back, makes one record."""
    one, other = opened(place.new()), opened(place.new())
    taken_in(one, files)
    taken_in(other, [files[turn] for turn in order])
    assert record_in(one) == record_in(other)
    with closing(Store(place.new_file())) as own:
        taken_in(own, [list(bundles(one, *all_names(one)))])
        assert record_in(one) == record_in(own)
        back = Incoming(one, Jobs(one, index_of))
        back.take(bundles(own, *all_names(own)))
        assert (0, 0, []) == (back.new, back.grown, back.said)
    one.close()
    other.close()


@settings(max_examples=25)
@given(files=FILES)
def test_all_that_was_said_is_in_the_union(
    files: list[list[Bundle]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """The record is all entries and journals that came but those of which another says more."""
    store = taken_in(new_store(tmp_path_factory.mktemp("a")), files)
    found = list(bundles(store, *all_names(store)))
    jobs = [one for one in found if isinstance(one, JobBundle)]
    entries = [
        (job.uid, one.number, one.uid, one.at, one.payload["text"])
        for job in jobs
        for one in job.entries
    ]
    journals = [
        (one.job or "", one.uid, tuple(told(one)), one.outcome)
        for each in found
        for one in (each.sessions if isinstance(each, JobBundle) else [each])
    ]
    wanted = expected(files)
    assert (sorted(wanted[0]), sorted(wanted[1], key=repr)) == (
        sorted(entries), sorted(journals, key=repr),
    )  # fmt: skip
    store.close()


def test_a_withheld_text_is_filled_in_once(tmp_path: Path) -> None:
    """Of two texts for one that was withheld both are kept, whichever fills it in."""
    for turn, texts in enumerate((["left", "right"], ["right", "left"])):
        store = Store(tmp_path / f"{turn}.db")
        for one in (WITHHELD, *texts), (WITHHELD,):
            entries = tuple(
                JobEntry(1, UIDS[0], "noted", {"text": text, "more": text}, "t1") for text in one
            )
            taken_in(store, [[JobBundle(UIDS[0], "k7", "t1", entries[:1], ())]])
            taken_in(store, [[JobBundle(UIDS[0], "k7", "t1", entries[1:], ())]])
        (found,) = bundles(store, *all_names(store))
        assert isinstance(found, JobBundle)
        assert ["left", "right"] == sorted(entry.payload["text"] for entry in found.entries)
        store.close()


@settings(max_examples=25)
@given(files=FILES)
def test_there_and_back_changes_nothing(
    files: list[list[Bundle]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A record that goes to another bench and comes back leaves every row as it was."""
    one = taken_in(new_store(tmp_path_factory.mktemp("a")), files)
    before = rows_of(one)
    other = taken_in(new_store(tmp_path_factory.mktemp("b")), [
        list(bundles(one, *all_names(one)))
    ])  # fmt: skip
    back = Incoming(one, Jobs(one, index_of))
    back.take(bundles(other, *all_names(other)))
    assert (0, 0, []) == (back.new, back.grown, back.said)
    assert before == rows_of(one)
    assert record_in(one) == record_in(other)
    one.close()
    other.close()


@settings(max_examples=25)
@given(files=FILES, order=st.permutations(range(10)), gone=st.sets(st.sampled_from(UIDS)))
def test_what_was_erased_stays_erased_in_whatever_order_it_comes_again(
    files: list[list[Bundle]],
    order: list[int],
    gone: set[str],
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """Files that come again, in any order or by way of another bench, bring back nothing erased."""
    one = taken_in(new_store(tmp_path_factory.mktemp("a")), files)
    other = taken_in(new_store(tmp_path_factory.mktemp("b")), files)
    jobs = Jobs(one, index_of)
    for job, uid in one.rows("select id, uid from jobs"):
        if uid in gone:
            jobs.remove(job)
    before, left = rows_of(one), record_in(one)
    again = Incoming(one, jobs)
    again.take(bundle for place in order for bundle in files[place])
    again.take(bundles(other, *all_names(other)))
    assert (0, 0, []) == (again.new, again.grown, again.said)
    assert before == rows_of(one)
    taken_in(other, [list(bundles(one, *all_names(one)))])
    assert left == record_in(one)
    one.close()
    other.close()


@settings(max_examples=15)
@given(files=FILES, gone=st.sets(st.sampled_from(UIDS), min_size=1))
def test_what_was_erased_is_whole_again_when_it_is_wanted_anyway(
    files: list[list[Bundle]], gone: set[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Taken in anyway, an erased job is as it was, and from then on is a job like any other."""
    one = taken_in(new_store(tmp_path_factory.mktemp("a")), files)
    whole = record_in(one)
    jobs = Jobs(one, index_of)
    for job, uid in one.rows("select id, uid from jobs"):
        if uid in gone:
            jobs.remove(job)
    Incoming(one, jobs, anyway=True).take(bundle for file in files for bundle in file)
    assert (whole, []) == (record_in(one), one.rows("select uid from erased"))
    one.close()
