"""`diag report` as its users meet it."""

from __future__ import annotations

import re
import resource
import signal
import sys
from pathlib import Path
from typing import Any

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from diag.cli.app import app
from diag.cli.report.run import NO_LIBRARY
from diag.cli.report.text import show_report
from diag.cli.stored import open_store
from diag.cli.terminal.screen import Screen
from diag.jobs.entries import PartUsed
from diag.jobs.report.building import report_of
from diag.store import Store
from tests.cli.terminals import terminal, widest
from tests.dangers import shipped
from tests.jobs.demo import LIB_03, add, demo_stages, drive, finished, opened, store_in
from tests.jobs.shipped_jobs import material
from tests.jobs.test_page import KINDS, said_by, words_of_people


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a data folder with a job that is done, and one that is open."""
    folder = tmp_path_factory.mktemp("home")
    store = store_in(folder)
    finished(store, shipped.book())
    _, job = opened(store, LIB_03, "dies again")
    drive(store, shipped.book(), demo_stages(shipped.book()), job, most=18)
    store.close()
    return folder


@pytest.fixture(autouse=True)
def _at_home(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DIAG_HOME", str(home))


DONE, OPEN = "d000001", "d000003"


def _run(*words: str) -> Result:
    return CliRunner().invoke(app, ["report", *words])


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_every_form_tells_the_same_report(form: str) -> None:
    """Whatever the form, the cause, both readings, the proof and the declined work are told."""
    found = _run(DONE, "--format", form)
    assert (0, "") == (found.exit_code, found.stderr)
    flat = " ".join(found.stdout.replace("*", "").split())
    for words in (
        "Battery worn out",
        "10.6 V",
        "12.45 V",
        "152.30 EUR",
        "DECLINED",
        "not this year",
        "copper of 4 mm2 or more for 4.5 m one way",
        "Fuse: 11.4 A or more",
    ):
        assert words in flat


def test_a_report_is_written_to_a_file_and_never_over_one(tmp_path: Path) -> None:
    """A file that is there stays as it is, unless it is said that it may be replaced."""
    path = tmp_path / "report.html"
    words = (DONE, "--format", "html", "--output", str(path))
    assert f"{path}\n" == _run(*words).stdout
    written = path.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(written)
    path.write_text("mine", encoding="utf-8")
    refused = _run(*words)
    assert 2 == refused.exit_code
    assert "is there already" in refused.stderr
    assert "mine" == path.read_text(encoding="utf-8")
    assert 0 == _run(*words, "--overwrite").exit_code
    assert written == path.read_text(encoding="utf-8")


def test_a_price_without_a_currency_is_in_the_one_that_was_set(home: Path) -> None:
    """10 and 5.50, typed bare, are 15.50 of no currency, and of GBP once that is set."""
    store = store_in(home / "bare")
    jobs, job = opened(store, LIB_03, "dies")
    add(jobs, job, PartUsed("fuse", "10"), PartUsed("clamp", "5.50"))
    store.close()
    runner, at = CliRunner(), {"DIAG_HOME": str(home / "bare")}
    bare = runner.invoke(app, ["report", job], env=at).stdout
    assert re.search(r"Total of the parts +15\.50$", bare, re.M)
    assert 0 == runner.invoke(app, ["jobs", "currency", "GBP"], env=at).exit_code
    said = runner.invoke(app, ["report", job], env=at).stdout
    assert re.search(r"Total of the parts +15\.50 GBP$", said, re.M)
    assert re.search(r"^ +fuse +10 GBP$", said, re.M)


def test_a_disk_that_is_full_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a report cannot be written whole, the old one stays and no half is left beside it."""
    path = tmp_path / "report.html"
    words = (DONE, "--format", "html", "--output", str(path), "--overwrite")
    path.write_text("mine", encoding="utf-8")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    ignored = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    monkeypatch.setattr("diag.cli.report.run.open_store", lambda: _Short(open_store(), before[1]))
    try:
        found = _run(*words)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, ignored)
    assert 1 == found.exit_code
    assert "cannot be used" in found.stderr
    assert {path} == set(tmp_path.iterdir())
    assert "mine" == path.read_text(encoding="utf-8")


class _Short:
    """A store after whose end files are held to four kilobytes."""

    def __init__(self, store: Store, most: int) -> None:
        self._store, self._most = store, most

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)

    def close(self) -> None:
        self._store.close()
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, self._most))


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("nosuch",), 1, "there is no job `nosuch`: the latest are"),
        ((DONE, "--format", "pdf"), 2, "give text or markdown or html"),
        ((DONE, "--for", "everyone"), 2, "give owner or file or both"),
        ((DONE, "--output", "/nowhere/at/all.html", "--format", "html"), 1, "cannot be used"),
    ],
)
def test_wrong_use_is_one_sentence(words: tuple[str, ...], code: int, said: str) -> None:
    """An unknown job, form or reader, and a place that cannot be written to."""
    found = _run(*words)
    assert code == found.exit_code
    assert said in found.stderr
    assert 1 == len(found.stderr.strip().splitlines())


def test_an_open_job_and_its_quote_are_told() -> None:
    """The report of an open job says so; its quote has what is suspected."""
    assert "This job is OPEN" in _run(OPEN).stdout
    quote = " ".join(_run(OPEN, "--quote").stdout.split())
    assert quote.startswith("Quote: LIB-03")
    assert "Fed through a distribution box" in quote


def test_without_the_drawing_package_the_page_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pictures are then characters, and one line says how they would be drawn."""
    with_it = _run(DONE, "--format", "html").stdout
    assert "<svg" in with_it
    assert "pip install" not in with_it
    monkeypatch.setitem(sys.modules, "drawsvg", None)
    without = _run(DONE, "--format", "html").stdout
    html5lib.HTMLParser(strict=True).parse(without)
    assert "<svg" not in without
    assert 1 == without.count(NO_LIBRARY.replace("'", "&#x27;"))
    assert re.search(r"<pre>.*- lost in the battery +1\.90 V +#", without, re.S)


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=12)
@given(columns=st.integers(40, 200), quote=st.booleans())
def test_it_fits_terminals_from_40_to_200_columns(kind: str, columns: int, quote: bool) -> None:
    """No line of a report is wider than the terminal."""
    report = report_of(material(kind), quote=quote)
    with terminal(columns) as out:
        show_report(Screen(), report)
    assert widest(out.getvalue()) <= columns


@settings(max_examples=15)
@given(people=words_of_people, columns=st.integers(40, 200))
def test_what_people_write_is_never_obeyed_by_the_terminal(people: str, columns: int) -> None:
    """No control or direction character of a label, note or part reaches the terminal."""
    with terminal(columns) as out:
        show_report(Screen(), report_of(said_by(people)))
    text = out.getvalue()
    assert [] == [one for one in text if one != "\n" and not one.isprintable()]
    assert widest(text) <= columns
