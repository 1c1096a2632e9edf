"""`diag jobs` as its user meets it: written down, found, read again, closed, erased, kept safe."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from diag.cli import main
from diag.cli.stored import jobs_of
from diag.store import Store
from diag.store.care import mark_to_sweep
from tests.cli.terminals import terminal, widest
from tests.store.test_care import traces

Diag = Callable[..., str]
HOSTILE = "[red]\x1b[2J\x07‮abc‬\u200e\tend\x00\x9b31m[/red]"
"""Markup, an escape, a bell, right-to-left overrides, a tab and other control characters."""


@pytest.fixture
def diag(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Diag:
    """Run a command in this process; return what it says, lines joined, and check its exit code."""
    monkeypatch.setenv("DIAG_HOME", str(tmp_path / "home"))

    def run(*words: str, code: int = 0, lines: str = "") -> str:
        monkeypatch.setattr("sys.argv", ["diag", *words])
        source = tmp_path / "typed.txt"
        source.write_text(lines, encoding="utf-8")
        with source.open(encoding="utf-8") as typed:
            monkeypatch.setattr("sys.stdin", typed)
            with pytest.raises(SystemExit) as left:
                main()
        said = capsys.readouterr()
        assert code == (left.value.code or 0), said.out + said.err
        assert "Traceback" not in said.err
        assert "fault in diag" not in said.err
        assert not (code and said.err.strip().count("\n")), said.err
        return " ".join((said.out + said.err).split())

    return run


def opened(diag: Diag, *words: str) -> str:
    said = diag("jobs", "open", "--unit", "small 12 V", *words)
    return said.split()[1]


def test_a_job_from_its_opening_to_its_end(diag: Diag, tmp_path: Path) -> None:
    """All that was written down is shown, and it is found by each of its words."""
    job = opened(
        diag, "--complaint", "goes out after a minute", "--customer", "Road crew north",
        "--tag", "LIB-07", "--serial", "0042", "--vehicle", "library bus 7",
    )  # fmt: skip
    photograph = tmp_path / "plug.jpg"
    photograph.write_bytes(b"soot")
    assert "Part: fuel filter, 12.50." in diag("jobs", "part", "LIB-07", "fuel", "filter", "12.50")
    diag("jobs", "currency", "EUR")
    diag("jobs", "work", job, "1.5 h", "cleaned the burner")
    diag("jobs", "offer", job, "new battery", "--declined", "--why", "too dear")
    diag("jobs", "note", job, "mind", "the", "dog")
    diag("jobs", "attach", job, str(photograph))
    shown = diag("jobs", "show", "lib-07")
    for told in (
        "Road crew north", "library bus 7", "0042", '"goes out after a minute"', "small 12 V",
        "fuel filter, 12.50 EUR", "90 min, cleaned the burner", "90 min in all",
        "new battery; declined, too dear", "mind the dog", ", 4 bytes",
    ):  # fmt: skip
        assert told in shown
    for words in (["DOG"], ["minute", "north"], ["lib-07"], ["0042"]):
        assert job in diag("jobs", "search", *words)
    assert "No job holds `cat%`" in diag("jobs", "search", "cat%")
    diag("jobs", "close", job, "put right")
    assert "put right" in diag("jobs", "list")
    assert "There is no open job yet." in diag("jobs", "list", "--open")
    diag("jobs", "reopen", job, "--why", "it came back")
    assert job in diag("jobs", "list", "--open")


def test_an_entry_that_was_a_mistake_is_struck_out(diag: Diag) -> None:
    """It counts no more and is not shown; what cannot be struck out is told."""
    job = opened(diag)
    diag("jobs", "part", job, "pump", "--price", "90", "--for", "pump worn")
    assert "pump, 90, for pump worn" in diag("jobs", "show", job)
    assert "has no entry `1` that can be struck out" in diag("jobs", "strike", job, "1", code=2)
    diag("jobs", "strike", job, "2")
    assert "pump, 90" not in diag("jobs", "show", job)
    assert "there is none" in diag("jobs", "strike", job, "2", code=2)


def test_files_that_changed_or_are_gone_are_told(diag: Diag, tmp_path: Path) -> None:
    """`show` and `check` say so, and the check's exit code is 1."""
    job = opened(diag)
    kept, changed, gone = (tmp_path / f"{name}.jpg" for name in ("kept", "changed", "gone"))
    for file in (kept, changed, gone):
        file.write_bytes(b"soot")
        diag("jobs", "attach", job, str(file))
    assert "is sound" in diag("jobs", "check")
    changed.write_bytes(b"dust")
    gone.unlink()
    for said in (diag("jobs", "show", job), diag("jobs", "check", code=1)):
        assert f"{kept}, 4 bytes:" not in said
        assert "CHANGED since it was attached" in said
        assert "MISSING, it is no longer there" in said
    assert "there is no file" in diag("jobs", "attach", job, str(gone), code=2)


def test_a_unit_that_is_known_otherwise_is_told(diag: Diag) -> None:
    """Another unit or serial under a known tag, or another tag for a serial, is never silent."""
    first = opened(diag, "--tag", "ROAD-11", "--serial", "77")
    said = diag("jobs", "open", "--unit", "small 24 V", "--tag", "road-11", "--serial", "78")
    assert f"Tag road-11 is a `small 12 V` in job {first}, and a `small 24 V` here." in said
    assert f"Tag road-11 has the serial 77 in job {first}, and 78 here." in said
    other = diag("jobs", "open", "--unit", "small 12 V", "--tag", "ROAD-12", "--serial", "77")
    assert f"Serial 77 has the tag ROAD-11 in job {first}, and ROAD-12 here." in other
    same = diag("jobs", "open", "--tag", "ROAD-12")
    assert "is a" not in same
    assert "There is a unit `LIB-03`" in diag(
        "jobs", "open", "--unit", "small 12 V", "--tag", "LIB-03"
    )


def test_the_history_of_a_unit(diag: Diag) -> None:
    """All jobs of a tag or serial are listed, and no others; several are not one."""
    jobs = [opened(diag, "--tag", tag, "--serial", "5") for tag in ("A-1", "B-2", "A-1")]
    said = diag("jobs", "list", "--unit", "a-1")
    assert [True, False, True] == [job in said for job in jobs]
    assert all(job in diag("jobs", "list", "--unit", "5") for job in jobs)
    assert "`A-1` has several jobs: name one by its id" in diag("jobs", "show", "A-1", code=2)


def test_pages_of_fifty(diag: Diag) -> None:
    """Each job stands on one page, the one last written to first; there is no page behind."""
    jobs = [opened(diag, "--about", f"visit {n}") for n in range(51)]
    first, second = diag("jobs", "list"), diag("jobs", "list", "--page", "2")
    assert "Page 1 of 2, 51 jobs. `--page 2` shows the next." in first
    assert jobs[:0:-1] == [word for word in first.split() if word in jobs]
    assert [jobs[0]] == [word for word in second.split() if word in jobs]
    assert "there are 2 pages of jobs" in diag("jobs", "list", "--page", "3", code=2)
    assert "There are more" in diag("jobs", "search", "visit")
    assert jobs[0] in diag("jobs", "search", "visit", "--page", "2")


@pytest.mark.parametrize("columns", [40, 80])
def test_hostile_words_are_shown_and_never_obeyed(columns: int, diag: Diag, tmp_path: Path) -> None:
    """No control character, mark of direction or markup does anything on the screen."""
    job = opened(diag, "--customer", HOSTILE, "--complaint", HOSTILE, "--about", HOSTILE)
    diag("jobs", "note", job, HOSTILE)
    diag("jobs", "part", job, HOSTILE, "--price", "4.50")
    for words in (["list"], ["show", job], ["search", "[red]"], ["label", job], ["close", job]):
        with pytest.MonkeyPatch.context() as patch, terminal(columns) as out:
            os.environ["DIAG_HOME"] = str(tmp_path / "home")
            patch.setattr("sys.argv", ["diag", "jobs", *words])
            with pytest.raises(SystemExit):
                main()
        said = out.getvalue()
        assert set() == {each for each in said if not each.isprintable()} - {"\n"}
        assert "[red]" in "".join(said.split())
        assert widest(said) < columns


def test_words_that_cannot_be_kept(diag: Diag) -> None:
    """What is empty, too long, no price, no time or no job is one sentence; nothing is kept."""
    job = opened(diag)
    for words, told in (
        (("note", job, " "), "the note is empty"),
        (("note", job, "x" * 5000), "the note is 5000 characters long: write at most 4000"),
        (("label", job, "--customer", "x" * 300), "the customer is 300 characters long"),
        (("part", job, "hose", "--price", "dear"), "`dear` is no price"),
        (("work", job, "soon"), "`soon` is not a number with a unit"),
        (("work", job, "0"), "`0` is no time of work"),
        (("offer", job, "pump"), "say what the owner answered: --accepted or --declined"),
        (("currency", "moon"), "`moon` is no currency"),
        (("list", "--page", "0"), "`0` is no page"),
        (("open", "--unit", "moon"), "there is no unit `moon`"),
        (("open",), "name the unit with --unit"),
        (("reopen", job), f"job {job} is open"),
        (("delete", job), "add --yes if it is meant"),
    ):  # fmt: skip
        assert told in diag("jobs", *words, code=2)
    for words in (("show", "moon"), ("note", "moon", "x"), ("delete", "moon", "--yes")):
        assert f"there is no job `moon`: the latest are `{job}`" in diag("jobs", *words, code=1)
    bad = os.fsdecode(b"caf\xe9")
    diag("jobs", "label", job, "--customer", bad)
    assert "caf\ufffd" in diag("jobs", "list")


def test_what_is_erased_leaves_no_trace(diag: Diag, tmp_path: Path) -> None:
    """No file of the data folder holds a name of an erased job, a session's history included."""
    job = opened(diag, "--customer", "Wilhelmina Appleyard", "--tag", "LIB-07")
    stays = opened(diag, "--customer", "Ferdinand Quarrington")
    lines = "none\nlabel about Wilhelmina Appleyard rang\nnote appleyard\nleave\n"
    diag("ask", "--job", job, "--complaint", "noise", lines=lines)
    diag("jobs", "label", job, "--customer", "W. Appleyard and son")
    home = tmp_path / "home"
    (home / "history").mkdir()
    with_names = ("Wilhelmina", "wilhelmina", "Appleyard", "appleyard", job)
    session = diag("jobs", "session").split()[0]
    (home / "history" / session).write_text("label about Appleyard\n", encoding="utf-8")
    assert traces(home, with_names)
    diag("jobs", "delete", job, "--yes")
    assert [] == traces(home, (*with_names, session))
    assert stays in diag("jobs", "list")
    assert "is sound" in diag("jobs", "check")


def test_what_a_kill_left_of_an_erased_job_goes_with_the_next_command(
    diag: Diag, tmp_path: Path
) -> None:
    """Killed between erasing and clearing away, the traces are cleared away soon."""
    job = opened(diag, "--customer", "Wilhelmina Appleyard")
    home = tmp_path / "home"
    store = Store(home / "sessions.db")
    mark_to_sweep(store)
    jobs_of(store).remove(job)
    store.close()
    assert "There is no job yet." in diag("jobs", "list")
    assert [] == traces(home, ("Appleyard", "appleyard", job))


def test_names_that_are_no_text(diag: Diag, tmp_path: Path) -> None:
    """Bytes that are no text, and control characters in a file's name, break and obey nothing."""
    odd = os.fsdecode(b"caf\xe9")
    job = opened(diag, "--tag", odd)
    assert job in diag("jobs", "list", "--unit", odd)
    assert "No job holds" in diag("jobs", "search", f"{odd}s")
    assert job in diag("jobs", "show", odd)
    file = tmp_path / os.fsdecode(b"\x1b[31m\xe9.log")
    file.write_bytes(b"soot")
    assert "is attached to job" in diag("jobs", "attach", job, str(file))
    assert "\\x1b[31m\\udce9.log" in "".join(diag("jobs", "show", job).split())
    assert "is sound" in diag("jobs", "check")
    diag("jobs", "label", job, "--tag", "")
    assert "tag" not in diag("jobs", "label", job)


def test_an_answer_is_wanted_before_anything_is_erased(
    diag: Diag, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At a keyboard a no leaves all as it was, and a yes erases."""
    job = opened(diag)
    monkeypatch.setattr("diag.cli.jobs.safe.at_keyboard", lambda: True)
    assert "Nothing is erased." in diag("jobs", "delete", job, lines="no\n")
    assert job in diag("jobs", "list")
    assert "Erased: " in diag("jobs", "delete", job, lines="yes\n")
    assert job not in diag("jobs", "list")


def test_a_backup_comes_back(diag: Diag, tmp_path: Path) -> None:
    """What was erased or written since is as it was; a flipped bit is found in either file."""
    job = opened(diag, "--customer", "Road crew north")
    kept = tmp_path / "kept.db"
    assert "1 job and all sessions" in diag("jobs", "backup", str(kept))
    assert "is there already" in diag("jobs", "backup", str(kept), code=1)
    assert "is sound" in diag("jobs", "check", str(kept))
    diag("jobs", "delete", job, "--yes")
    assert "add --yes" in diag("jobs", "restore", str(kept), code=2)
    diag("jobs", "restore", str(kept), "--yes")
    assert "Road crew north" in diag("jobs", "show", job)
    for file, words in ((kept, [str(kept)]), (tmp_path / "home" / "sessions.db", [])):
        whole = bytearray(file.read_bytes())
        whole[len(whole) // 3] ^= 4
        file.write_bytes(whole)
        then = "take another backup" if words else "`diag jobs restore FILE` puts a backup"
        assert then in diag("jobs", "check", *words, code=1)
    assert "is not put back" in diag("jobs", "restore", str(kept), "--yes", code=1)
    assert "there is no file" in diag("jobs", "restore", str(tmp_path / "moon"), code=2)


def test_the_clock_may_go_back_and_times_are_local(
    diag: Diag, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Order goes by what came after what; a time is shown as the clock on the wall here has it."""
    first, second = opened(diag), opened(diag)
    store = Store(tmp_path / "home" / "sessions.db", now=lambda: "1999-12-31T23:30:00+00:00")
    jobs_of(store).append(first, "remarked", {"text": "long ago"})
    store.close()
    listed = diag("jobs", "list")
    assert listed.index(first) < listed.index(second)
    monkeypatch.setenv("TZ", "Etc/GMT-5")
    time.tzset()
    try:
        assert "long ago (2000-01-01 04:30)" in diag("jobs", "show", first)
    finally:
        monkeypatch.undo()
        time.tzset()


def test_a_data_folder_that_cannot_be_used(
    diag: Diag, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file in its place, or a database of something else, is one sentence and stays as it is."""
    (tmp_path / "home").write_text("moon", encoding="utf-8")
    assert "the data folder" in diag("jobs", "list", code=1)
    monkeypatch.setenv("DIAG_HOME", str(tmp_path / "other"))
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "sessions.db").write_text(json.dumps({}) * 900, encoding="utf-8")
    for words in (["list"], ["check"], ["note", "x", "y"]):
        assert "s not a file of stored sessions" in diag("jobs", *words, code=1)


def test_a_session_belongs_to_a_job(diag: Diag) -> None:
    """One begun without a job opens one, in the owner's own words; `--job` begins one of a job."""
    begin = ("ask", "--unit", "small 12 V", "--complaint", "heater wont fire up, no life at all")
    said = diag(*begin, lines="yes\nnone\nleave\n")
    session, job = said.partition("Session ")[2].split()[0], said.partition("of job ")[2][:7]
    shown = diag("jobs", "show", job)
    assert '"heater wont fire up, no life at all"' in shown
    assert f"Session {session}," in shown
    assert "co alarm no told" in shown
    again = diag("ask", "--job", job, lines="yes\nleave\n")
    assert f"of job {job}: " in again
    other = again.partition("Session ")[2].split()[0]
    both = diag("jobs", "show", job)
    assert both.index(f"Session {session},") < both.index(f"Session {other},")
    assert f"Session {other} of job {job}" in diag("ask", "--resume", lines="leave\n")
    assert f"Session {other} of job {job}" in diag("ask", "--resume", job, lines="leave\n")
    diag("jobs", "label", job, "--tag", "LIB-07", "--customer", "Road crew north")
    assert "LIB-07, Road crew north, small 12 V, will not start" in diag("ask", "--list")


def test_an_open_job_of_the_same_heater_is_told(diag: Diag) -> None:
    """A heater with a unit file of its own has that name for a tag; a second open job is told."""
    diag("units", "new", "CREW-04", "--based-on", "small 12 V")
    begin = ("ask", "--unit", "CREW-04", "--complaint", "noise")
    first = diag(*begin, lines="leave\n")
    job = first.partition("of job ")[2][:7]
    assert "has an open job already" not in first
    assert f"CREW-04 has an open job already, {job};" in diag(*begin, lines="leave\n")
    diag("jobs", "close", job)
    listed = diag("jobs", "list", "--unit", "crew-04", "--open").split()
    assert f"CREW-04 has an open job already, {listed[0]};" in diag(*begin, lines="leave\n")


def test_what_is_said_in_a_session_is_written_in_its_job(diag: Diag) -> None:
    """Label, parts and minutes typed at a prompt stand in the job, and say that they do."""
    job = opened(diag, "--complaint", "noise")
    lines = (
        "none\nlabel tag LIB-09\npart fuel filter 12,50 EUR\npart of the story\n"
        "minutes 20 cleaned it\nminutes\nlabel colour red\nlabel\nleave\n"
    )
    said = diag("ask", "--job", job, lines=lines)
    for told in (
        f"Job {job}: tag LIB-09", f"Part: fuel filter, 12,50 EUR. Kept in job {job}.",
        "To tell something, type `say`", f"Work: 20 min, cleaned it. Kept in job {job}",
        "Type how long, such as `minutes 20`", "Type `label`, then customer, vehicle, tag,",
    ):  # fmt: skip
        assert told in said
    shown = diag("jobs", "show", job)
    assert "tag LIB-09" in shown
    assert "fuel filter, 12,50 EUR" in shown
    assert "20 min, cleaned it" in shown


def test_readings_from_a_file_belong_to_a_job_too(diag: Diag, tmp_path: Path) -> None:
    """A session begun by a file has a job, and is read again with all its readings."""
    file = tmp_path / "readings.yaml"
    file.write_text("co alarm: no\nvolts at rest: 12.6 V\n", encoding="utf-8")
    job = opened(diag, "--complaint", "will not start", "--tag", "LIB-07")
    said = diag("ask", "--job", "LIB-07", "--readings", str(file))
    assert f"of job {job}." in said
    session = said.partition("Session ")[2].split()[0]
    assert "volts at rest 12.6 V measured" in diag("jobs", "session", session)
    alone = diag(
        "ask", "--unit", "small 12 V", "--complaint", "noise", "--readings", "-",
        lines="co alarm: no\n",
    )  # fmt: skip
    other = alone.partition("of job ")[2][:7]
    assert other != job
    assert '"noise"' in diag("jobs", "show", other)


def test_a_job_that_takes_no_session(diag: Diag) -> None:
    """One that is closed, unknown or of another unit is refused in a sentence."""
    job = opened(diag, "--complaint", "noise")
    assert "leave --unit out" in diag("ask", "--job", job, "--unit", "small 24 V", code=2)
    assert "there is no job `moon`" in diag("ask", "--job", "moon", code=1)
    assert f"has no open session; begin one: diag ask --job {job}" in diag(
        "ask", "--resume", job, code=2
    )
    diag("jobs", "close", job)
    assert f"`diag jobs reopen {job}` takes it up again" in diag("ask", "--job", job, code=2)


def test_a_finished_session_is_handed_over_and_read_again(diag: Diag) -> None:
    """At its end a session says how to hand it over; afterwards all of it is read again."""
    answers = (
        *("bang at light-up", "done", "yes", "pooled", "done", "done", "none", "brief", "yes"),
        "clear",
    )  # a worked case of ten starts in the frost
    said = diag(
        "ask", "--unit", "small 12 V", "--complaint", "white smoke", "--profile", "workshop",
        lines="\n".join(answers),
    )  # fmt: skip
    session, job = said.partition("Session ")[2].split()[0], said.partition("of job ")[2][:7]
    assert said.endswith(f"To hand it over: diag report {job}")
    shown = diag("jobs", "show", job)
    assert f"Session {session}," in shown
    assert "Proved: the repair holds, and the complaint is gone." in shown
    before, _, after = shown.partition("After the repair: ")
    assert "bang at light-up yes" in before
    assert "exhaust after warm-up clear" in after
    assert "raised by `bang at light-up`" in after
    assert "released by" in after
    assert "made, holds, and cured it" in after
    diag("jobs", "close", job)
    assert f"{job} " in diag("jobs", "list")
    assert "proved" in diag("jobs", "list")


def test_a_session_of_before_there_were_jobs_gets_one(diag: Diag, tmp_path: Path) -> None:
    """Gone on with, it opens a job of its own; before that it can be read all the same."""
    (tmp_path / "home").mkdir()
    store = Store(tmp_path / "home" / "sessions.db")
    session = store.create({"unit": "small 12 V", "complaint": "noise", "rulebook": ""})
    store.close()
    assert f"{session} " in diag("jobs", "session")
    assert "no job" in diag("jobs", "session")
    assert "Of small 12 V, noise." in diag("jobs", "session", session)
    said = diag("ask", "--resume", session, lines="leave\n")
    job = said.partition("of job ")[2][:7]
    assert session in diag("jobs", "show", job)


def test_a_session_whose_rules_are_gone_is_read_all_the_same(diag: Diag, tmp_path: Path) -> None:
    """Its readings are listed from the journal alone, and it is said that nothing is judged."""
    (tmp_path / "home").mkdir()
    store = Store(tmp_path / "home" / "sessions.db")
    session = store.create({"unit": "kettle", "complaint": "cold"})
    store.append(session, "answered", {"finding": "lid", "value": "open", "how": "seen"})
    store.close()
    said = diag("jobs", "session", session)
    assert "lid open seen" in said
    assert "nothing is judged" in said
