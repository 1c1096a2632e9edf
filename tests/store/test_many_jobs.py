"""However many jobs are kept, a page of them and a unit's history cost the same."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from diag.jobs.record import index_of
from diag.store import Store
from diag.store.jobs import PAGE, Jobs
from tests.bench.jobs import build

FEW, MANY, EACH = 500, 5000, 20
ASKED: dict[str, Callable[[Jobs], object]] = {
    "first page": lambda jobs: jobs.jobs(),
    "open ones": lambda jobs: jobs.jobs(open_only=True, count=5),
    "history": lambda jobs: jobs.jobs(of_unit="LIB-0001"),
    "how their sessions ended": lambda jobs: jobs.latest_outcomes(
        [row.id for row in jobs.jobs(count=5)]
    ),
    "words that many hold": lambda jobs: jobs.jobs(words="small 12"),
}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Path]:
    """Return a file with few jobs and one with ten times as many."""
    paths = {count: tmp_path_factory.mktemp(f"{count}") / "s.db" for count in (FEW, MANY)}
    for count, path in paths.items():
        build(path, count)
    return paths


def steps(path: Path, ask: Callable[[Jobs], object]) -> int:
    """Return how many steps of its machine SQLite takes for a question, to the next `EACH`."""
    store, taken = Store(path), [0]

    def count() -> int:
        taken[0] += EACH
        return 0

    store._file.connection.set_progress_handler(count, EACH)
    ask(Jobs(store, index_of))
    store._file.connection.set_progress_handler(None, EACH)
    store.close()
    return taken[0]


@pytest.mark.parametrize("question", ASKED)
def test_ten_times_the_jobs_cost_no_more(question: str, kept: dict[int, Path]) -> None:
    """What a question costs SQLite hangs on what it answers, not on how much is kept."""
    few, many = (steps(kept[count], ASKED[question]) for count in (FEW, MANY))
    assert many <= 2 * few + 10 * EACH


def test_a_search_answers_with_all_that_holds_the_words(kept: dict[int, Path]) -> None:
    """It is what a look through every job by hand finds, the one last worked on first."""
    store = Store(kept[FEW])
    jobs = Jobs(store, index_of)
    for words in ("lib-0", "grille small", "GRILLE", "100%", "_", "a|b", "road crew 1"):
        wanted = [
            row.id
            for row in jobs.jobs(count=-1)
            if all(word in index_of(jobs.entries(row.id)).words for word in words.lower().split())
        ]
        assert wanted[:PAGE] == [row.id for row in jobs.jobs(words=words)]
        assert wanted[PAGE : 2 * PAGE] == [row.id for row in jobs.jobs(words=words, first=PAGE)]
    store.close()
