"""A job is what its entries make of it, in their order, whatever the clock said."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.jobs.entries import (
    ENTRIES,
    Attached,
    Ended,
    Labelled,
    Opened,
    PartUsed,
    Remarked,
    Reopened,
    Unreadable,
    Written,
    entry_as_data,
    entry_from_data,
)
from diag.jobs.record import index_of, record_of
from diag.store import StoreError
from diag.store.jobs import Jobs
from tests.store.places import Place

LIB_03 = Opened("truck 4 kW", "goes out after a minute", Labelled(tag="LIB-03", serial="0042"))


def jobs_in(place: Place) -> Jobs:
    return Jobs(place.store(), index_of)


FIELDS: dict[str, st.SearchStrategy[Any]] = {
    "str": st.text(),
    "str | None": st.none() | st.text(),
    "int": st.integers(0),
    "float": st.floats(0, 1e4),
    "bool": st.booleans(),
}


def drawn(kind: type) -> st.SearchStrategy[Any]:
    """Draw entries of a kind, each field by its type."""
    return st.builds(
        kind,
        **{
            one.name: drawn(Labelled) if one.type == "Labelled" else FIELDS[str(one.type)]
            for one in fields(kind)
        },
    )


@given(st.sampled_from(list(ENTRIES.values())).flatmap(drawn))
def test_an_entry_comes_back_as_it_was_stored(entry: Written) -> None:
    """What is stored of any kind of entry reads back as the same entry."""
    assert entry == entry_from_data(*entry_as_data(entry))


@pytest.mark.parametrize("kind", ["opened", "remarked", "from the future"])
def test_what_cannot_be_read_stays_in_the_record(kind: str) -> None:
    """An entry that this version cannot read is kept and said to be so."""
    assert Unreadable(kind) == entry_from_data(kind, {"text": 3})


def test_a_job_is_its_entries(place: Place) -> None:
    """Labels take the place of earlier ones field by field; the rest adds up."""
    jobs = jobs_in(place)
    job = jobs.open(*entry_as_data(LIB_03))
    for entry in (
        Labelled(vehicle="library bus 3"),
        Remarked("Dust in the INLET"),
        PartUsed("filter", "4.50"),
        Attached("plug.jpg", "0" * 64, 12),
        Ended("put right"),
    ):
        jobs.append(job, *entry_as_data(entry))
    record = record_of(jobs.entries(job))
    assert Labelled(tag="LIB-03", serial="0042", vehicle="library bus 3") == record.label
    assert "put right" == record.outcome
    assert [PartUsed("filter", "4.50")] == [one.entry for one in record.parts]
    row = jobs.job(job)
    assert ("LIB-03", "0042", "put right") == (row.tag, row.serial, row.outcome)
    jobs.append(job, *entry_as_data(Reopened("it came back")))
    assert [job] == [one.id for one in jobs.jobs(open_only=True)]


def test_the_list_goes_by_use_not_by_the_clock(place: Place) -> None:
    """The job last written to comes first, though the clock was set back."""
    clock = iter(f"20{year}-01-01T00:00:00+00:00" for year in range(60, 10, -1))
    jobs = Jobs(place.store(now=lambda: next(clock)), index_of)
    first, second = (jobs.open(*entry_as_data(LIB_03)) for _ in range(2))
    assert [second, first] == [one.id for one in jobs.jobs()]
    jobs.append(first, *entry_as_data(Remarked("again")))
    assert [first, second] == [one.id for one in jobs.jobs()]


def test_an_unknown_job_is_told(place: Place) -> None:
    """An entry for a job that there is not is refused, and the latest jobs are named."""
    jobs = jobs_in(place)
    job = jobs.open(*entry_as_data(LIB_03))
    with pytest.raises(StoreError, match=f"no job `nothing`: the latest are `{job}`"):
        jobs.append("nothing", *entry_as_data(Remarked("lost")))


def test_a_session_may_belong_to_a_job(place: Place) -> None:
    """A job's sessions come in the order in which they were begun; others do not."""
    store = place.store()
    jobs = Jobs(store, index_of)
    job = jobs.open(*entry_as_data(LIB_03))
    store.create({"unit": "another"})
    begun = [store.create({"unit": "truck 4 kW"}, job) for _ in range(2)]
    assert begun == [one.id for one in jobs.sessions(job)]
