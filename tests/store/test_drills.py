"""Drills are kept as sessions are: act by act, in order, and never lost."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.store import Store, StoreError
from diag.store.drills import DrillMark, DrillRow, Drills
from diag.store.schema import MIGRATIONS, migrate

ACTS = st.lists(st.tuples(st.sampled_from(["look", "start"]), st.text(max_size=9)), max_size=8)


def _drills(path: Path) -> Drills:
    return Drills(Store(path, now=lambda: "t1"))


@settings(max_examples=20, deadline=None)
@given(acts=ACTS)
def test_acts_come_back_in_order(
    acts: list[tuple[str, str]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Acts come back, also from a second reader, as they were appended and in order."""
    path = tmp_path_factory.mktemp("store") / "s.db"
    drills = _drills(path)
    drill = drills.create(2, "small", "worn", drawn=(7, 3), rules="abc")
    for kind, words in acts:
        drills.append(drill, kind, {"words": words})
    expected = [(n, kind, {"words": words}) for n, (kind, words) in enumerate(acts, 1)]
    for each in (drills, _drills(path)):
        assert expected == [(one.number, one.kind, one.payload) for one in each.acts(drill)]
    assert DrillRow(drill, "t1", 2, "small", "worn", 7, 3, "abc") == drills.drill(drill)


def test_a_drill_that_is_over_takes_no_more(tmp_path: Path) -> None:
    """What is over or unknown is refused in a sentence; its marks are kept, the oldest first."""
    drills = _drills(tmp_path / "s.db")
    first, second = (
        drills.create(1, "small", "worn", drawn=(1, each), rules="") for each in range(2)
    )
    drills.end(first, "called", [("wheels", "worn tyre", 6.5)])
    assert (DrillMark(first, "wheels", "worn tyre", 6.5, "t1"),) == drills.marks()
    assert [second] == [row.id for row in drills.drills(open_only=True)]
    assert [second, first] == [row.id for row in drills.drills()]
    with pytest.raises(StoreError, match=f"drill `{first}` is over .called.: begin a new one"):
        drills.append(first, "look", {})
    with pytest.raises(StoreError, match="there is no drill `none`"):
        drills.acts("none")


def test_two_windows_on_one_drill(tmp_path: Path) -> None:
    """A drill that is open in one window is refused in another, a session of that name is not."""
    drills = _drills(tmp_path / "s.db")
    drill = drills.create(1, "small", "worn", drawn=(1, 1), rules="")
    with drills.lock(drill), pytest.raises(StoreError, match=f"drill `{drill}` is open in another"):
        drills.lock(drill)


def test_a_file_of_the_step_before_keeps_its_sessions(tmp_path: Path) -> None:
    """A file without drills gets their tables, and its sessions stay."""
    import sqlite3

    path = tmp_path / "s.db"
    with sqlite3.connect(path, isolation_level=None) as raw:
        migrate(raw, path, MIGRATIONS[:2])
        raw.execute("insert into sessions (id, started, header) values ('old', 't0', '{}')")
    raw.close()
    store = Store(path)
    assert ["old"] == [row.id for row in store.sessions()]
    assert () == Drills(store).drills()
