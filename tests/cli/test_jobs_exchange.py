"""Jobs go from bench to bench as files: nothing is lost, nothing that comes in is obeyed."""

from __future__ import annotations

import json
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from diag.cli import main
from diag.jobs.entries import Ended, Labelled, Opened, Remarked, entry_as_data
from diag.jobs.record import index_of, record_of
from diag.session.journal.events import Answered, Noted, as_record
from diag.store import Store
from diag.store.exchange.union import WITHHELD
from diag.store.jobs import Jobs

PEOPLE = Labelled(customer="A. Body", vehicle="library bus 3", tag="LIB-03", serial="0042")
UID = "ab" * 16


class Bench:
    """A bench with a data folder of its own."""

    def __init__(
        self, folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        self.folder, self._monkeypatch, self._capsys = folder, monkeypatch, capsys

    def run(self, *words: str) -> tuple[int, str]:
        """Run `diag jobs` here; return its exit code and what it said."""
        self._monkeypatch.setenv("DIAG_HOME", str(self.folder))
        self._monkeypatch.setattr(sys, "argv", ["diag", "jobs", *words])
        with pytest.raises(SystemExit) as left:
            main()
        told = self._capsys.readouterr()
        return int(left.value.code or 0), told.out + told.err

    def store(self) -> Store:
        return Store(self.folder / "sessions.db")

    def record(self) -> tuple[str, str]:
        """Keep a job with a session in it, and return their ids."""
        with closing(self.store()) as store:
            jobs = Jobs(store, index_of)
            job = jobs.open(*entry_as_data(Opened("small 12 V", "the cab of Ms Body", PEOPLE)))
            jobs.append(job, *entry_as_data(Remarked("call Ms Body")))
            session = store.create({"unit": "small 12 V", "complaint": "cycles"}, job)
            store.append(session, *as_record(Answered("outlets", "open", "seen")))
            store.append(session, *as_record(Noted("Ms Body drove it in")))
        return job, session

    def export(self, *words: str) -> Path:
        path = self.folder / "out.jsonl"
        path.unlink(missing_ok=True)
        assert 0 == self.run("export", "--output", str(path), *words)[0]
        return path

    def lines(self) -> list[Any]:
        return [json.loads(line) for line in self.export().read_text().splitlines()]


@pytest.fixture
def benches(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> tuple[Bench, Bench]:
    return tuple(Bench(tmp_path / name, monkeypatch, capsys) for name in "ab")  # type: ignore[return-value]


def line(**changed: Any) -> str:
    """Return a line of a file with a job in it, changed where said."""
    entry = {"number": 1, "uid": UID, "at": "t1", "kind": "noted", "payload": {"text": "x"}}
    job = {"job": UID, "id": "k7", "opened": "t1", "entries": [entry], "sessions": []}
    return json.dumps({**job, **changed}) + "\n"


def head(lines: int, version: int = 1) -> str:
    return json.dumps({"format": "diag jobs", "version": version, "lines": lines}) + "\n"


def test_there_and_back_changes_nothing(benches: tuple[Bench, Bench]) -> None:
    """A job that goes to another bench and comes back is as it was, ids and all."""
    one, other = benches
    one.record()
    before = one.lines()
    code, said = other.run("import", str(one.export()))
    assert (0, "1 new, 0 with more in them, 0 known already.") == (
        code,
        said.split(": ", 1)[1][:-1],
    )
    code, said = one.run("import", str(other.export()))
    assert (0, "0 new, 0 with more in them, 1 known already.") == (
        code,
        said.split(": ", 1)[1][:-1],
    )
    assert before == one.lines() == other.lines()


def test_a_session_goes_on_at_a_colleagues(benches: tuple[Bench, Bench]) -> None:
    """What a colleague adds to a session that was handed over comes back into it."""
    one, other = benches
    job, session = one.record()
    _code, said = one.run("export", session, "--output", str(one.folder / "for-you.jsonl"))
    assert f"Open in it: session {session}. Go on with a session at one bench at a time" in said
    other.run("import", str(one.folder / "for-you.jsonl"))
    with closing(other.store()) as store:
        store.append(session, *as_record(Noted("gone on")))
        store.close_session(session, "proved")
    _code, said = one.run("import", str(other.export()))
    assert "0 new, 1 with more in them" in said
    with closing(one.store()) as store:
        assert "gone on" == store.events(session)[-1].payload["text"]
        assert "proved" == store.session(session).outcome
        assert [session] == [row.id for row in Jobs(store, index_of).sessions(job)]


def test_a_session_gone_on_with_at_two_benches_is_kept_as_two(
    benches: tuple[Bench, Bench],
) -> None:
    """Where two benches went on with one session both are kept, and it is said so."""
    one, other = benches
    job, session = one.record()
    other.run("import", str(one.export()))
    for bench in benches:
        with closing(bench.store()) as store:
            store.append(session, *as_record(Noted(f"at {bench.folder.name}")))
    _code, said = one.run("import", str(other.export()))
    assert f"session `{session}` was gone on with at two benches: both are kept" in said
    other.run("import", str(one.export()))
    ends = []
    for bench in benches:
        with closing(bench.store()) as store:
            rows = Jobs(store, index_of).sessions(job)
            ends.append({store.events(row.id)[-1].payload["text"] for row in rows})
    assert [{"at a", "at b"}] * 2 == ends


def test_a_session_in_a_window_is_left_alone(benches: tuple[Bench, Bench]) -> None:
    """What came in for a session that is open here waits until it is closed, and is said."""
    one, other = benches
    _, session = one.record()
    other.run("import", str(one.export()))
    with closing(other.store()) as store:
        store.append(session, *as_record(Noted("gone on")))
    with closing(one.store()) as store, store.lock(session):
        _code, said = one.run("import", str(other.export()))
        assert f"session `{session}` is open in a window and stays as it is there" in said
        assert 2 == len(store.events(session))
    one.run("import", str(other.export()))
    with closing(one.store()) as store:
        assert 3 == len(store.events(session))


def test_without_people_no_name_leaves(benches: tuple[Bench, Bench]) -> None:
    """Without people a file holds no name that was typed, and a full file fills them in."""
    one, other = benches
    job, _session = one.record()
    bare = one.export("--without-people").read_text()
    assert "Body" not in bare
    assert "library bus" not in bare
    assert "LIB-03" in bare
    other.run("import", str(one.folder / "out.jsonl"))
    with closing(other.store()) as store:
        record = record_of(Jobs(store, index_of).entries(job))
        assert (WITHHELD, WITHHELD, "LIB-03") == (
            record.label.customer, record.complaint, record.label.tag,
        )  # fmt: skip
    assert "0 new, 0 with more in them" in one.run("import", str(other.export()))[1]
    other.run("import", str(one.export()))
    assert one.lines() == other.lines()


def test_an_id_that_is_taken_is_told(benches: tuple[Bench, Bench]) -> None:
    """A job whose short id is another's here gets a fresh one, and it is said."""
    one, other = benches
    job, _ = one.record()
    path = other.folder.parent / "in.jsonl"
    path.write_text(head(1) + line(id=job))
    _code, said = one.run("import", str(path))
    assert f"`{job}` is another job here: the one that came in is `" in said
    with closing(one.store()) as store:
        assert 2 == len(Jobs(store, index_of).jobs())


def test_an_entry_with_another_content_is_kept_beside(benches: tuple[Bench, Bench]) -> None:
    """Of two contents under one number both are kept, in whatever order they come."""
    one, other = benches
    path = one.folder.parent / "in.jsonl"
    entry = {"number": 1, "uid": UID, "at": "t1", "kind": "noted", "payload": {"text": "y"}}
    for bench, lines in ((one, (line(), line(entries=[entry]))),
                         (other, (line(entries=[entry]), line()))):  # fmt: skip
        path.write_text(head(2) + "".join(lines))
        code, said = bench.run("import", str(path))
        assert (0, True) == (code, "an entry of job `k7` came with another content: both" in said)
    assert one.lines() == other.lines()
    assert ["x", "y"] == [e["payload"]["text"] for e in one.lines()[1]["entries"]]


WRONG = [
        (line(), "is no file of exported jobs, its first line does not say so"),
        ("", "in.jsonl` is empty: nothing is taken in"),
        ("[" * 100_000 + "\n", "is no file of exported jobs, its first line does not say so"),
        (head(1, version=2) + line(), "was written by a newer version (its format is 2, this"),
        (head(1, version=0) + line(), "was written by another version (its format is 0, this"),
        (head(1) + line(entries="9" * 9999).replace('"9', "9").replace('9"', "9"),
         "line 2 is no job (a number of 9999 digits is none of ours): it is left out"),
        (head(2) + line(), "line 3 is missing: the file was cut off, ask for it again"),
        (head(3) + line(), "line 3 is missing, and 1 more: the file was cut off"),
        (head(1) + line()[:60], "line 2 is cut off, the file ends in the middle of it"),
        (head(1) + "volts: 12.4\n", "line 2 is no JSON: it is left out"),
        (head(1) + "[" * 100_000 + "\n", "line 2 is nested too deeply: it is left out"),
        (head(1) + '{"job": NaN}\n', "line 2 is no job (`NaN` is no number): it is left out"),
        (head(1) + "[1]\n", "line 2 is no job (it is no job and no session): it is left out"),
        (head(1) + line(job="../../x"), "line 2 is no job (`job` is missing or is not what it"),
        (head(1) + line(id="\u202ek7"), "line 2 is no job (`id` is missing or is not what it"),
        (head(1) + line(opened="\x1b[2J"), "line 2 is no job (`opened` is missing or is not"),
        (head(1) + line(entries=[{}] * 3), "line 2 is no job (`payload` is no set of named"),
        (head(1) + line(sessions="x"), "line 2 is no job (`sessions` is no list of records)"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "told"), WRONG, ids=range(len(WRONG)))
def test_what_is_wrong_with_a_file_is_one_sentence(
    text: str, told: str, benches: tuple[Bench, Bench]
) -> None:
    """A file or a line that is no record is told in a sentence, and the exit code is 1."""
    path = benches[0].folder.parent / "in.jsonl"
    path.write_text(text)
    code, said = benches[0].run("import", str(path))
    assert 1 == code
    assert told in said
    assert "Traceback" not in said


def test_a_bad_line_leaves_the_others_in(benches: tuple[Bench, Bench]) -> None:
    """The sound lines of a file are taken in, and the bad ones are told by their numbers."""
    path = benches[0].folder.parent / "in.jsonl"
    second = line(job="cd" * 16, id="m4")
    path.write_text(head(3) + line() + "{}\n" + second)
    code, said = benches[0].run("import", str(path))
    assert 1 == code
    assert "line 3 is no job (`job` is missing" in said
    assert "2 new" in said
    assert "2 known already" in benches[0].run("import", str(path))[1]


HOSTILE = [
    "\x1b]0;owned\x07\x1b[2J",
    "[bold red]x[/]",
    "<script>alert(1)</script>",
    "\u202egnp.exe",
    "\ud800",
    "nul \0 in it",
    "'); drop table jobs; --",
    "x" * 3_000_000,
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_text_stays_a_text(text: str, benches: tuple[Bench, Bench]) -> None:
    """Whatever a label or a remark says, it is kept as it is, and nothing in it is obeyed."""
    opened = entry_as_data(Opened(text, text, Labelled(text, text, text, text, text)))
    entries = [
        {"number": number, "uid": f"{number:032x}", "at": "t1", "kind": kind, "payload": payload}
        for number, (kind, payload) in enumerate(
            [
                opened,
                entry_as_data(Remarked(text)),
                entry_as_data(Ended(text)),
                ("later kind", {"a": text}),
            ],
            1,
        )
    ]
    one, other = benches
    path = one.folder.parent / "in.jsonl"
    path.write_text(head(1) + line(entries=entries))
    code, said = one.run("import", str(path))
    assert (0, True) == (code, "1 new" in said)
    assert "\x1b" not in said
    other.run("import", str(one.export()))
    assert one.lines() == other.lines()
    assert text == other.lines()[1]["entries"][1]["payload"]["text"]
    with closing(other.store()) as store:
        (row,) = Jobs(store, index_of).jobs()
        assert len(row.title) <= 200


def test_a_file_that_is_there_is_not_written_over(benches: tuple[Bench, Bench]) -> None:
    """An export does not take the place of another file."""
    one, _ = benches
    one.record()
    path = one.folder / "mine.txt"
    path.write_text("mine")
    code, said = one.run("export", "--output", str(path))
    assert (1, f"`{path}` is there already: name another file\n") == (code, said)
    assert "mine" == path.read_text()


def test_an_unknown_job_is_told(benches: tuple[Bench, Bench]) -> None:
    """A name that is no job and no session is refused, and the latest jobs are named."""
    job, _ = benches[0].record()
    code, said = benches[0].run("export", "nothing")
    assert (1, f"there is no job `nothing`: the latest are `{job}`\n") == (code, said)


def test_an_erased_job_comes_back_only_when_it_is_wanted_anyway(
    benches: tuple[Bench, Bench],
) -> None:
    """An import leaves out what was erased here, and says so; `--anyway` takes it in for good."""
    one, other = benches
    job, session = one.record()
    other.run("import", str(one.export()))
    full = str(other.export())
    code, said = one.run("delete", job, "--yes")
    assert 0 == code
    assert "An import leaves it out here from now on." in " ".join(said.split())
    code, said = one.run("import", full)
    left_out = (
        f"`{full}`: 0 new, 0 with more in them, 0 known already.\n"
        "Erased here before, and left out: 1. `--anyway` takes in what was erased.\n"
    )
    assert (0, left_out) == (code, said)
    assert [] == one.lines()[1:]
    code, said = one.run("import", "--anyway", full)
    assert (0, f"`{full}`: 1 new, 0 with more in them, 0 known already.\n") == (code, said)
    code, said = one.run("import", full)
    assert (0, f"`{full}`: 0 new, 0 with more in them, 1 known already.\n") == (code, said)
    with closing(one.store()) as store:
        assert job == store.session(session).job


def test_a_session_of_an_erased_job_does_not_come_back_alone(benches: tuple[Bench, Bench]) -> None:
    """A session that was handed over before it had a job is erased with the job it was given to."""
    one, other = benches
    with closing(one.store()) as store:
        session = store.create({"unit": "small 12 V", "complaint": "cycles"})
        store.append(session, *as_record(Noted("Ms Body drove it in")))
    other.run("import", str(one.export()))
    with closing(one.store()) as store:
        job = Jobs(store, index_of).open(*entry_as_data(Opened("small 12 V", "cold", PEOPLE)))
        store.give_to_job(session, job)
    one.run("delete", job, "--yes")
    assert "Erased here before, and left out: 1." in one.run("import", str(other.export()))[1]
    assert [] == one.lines()[1:]


def test_a_job_comes_in_by_standard_input(
    benches: tuple[Bench, Bench], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What one bench exports to its output another takes from its input."""
    one, other = benches
    one.record()
    with one.export().open() as file:
        monkeypatch.setattr(sys, "stdin", file)
        code, said = other.run("import", "-")
    told = "`standard input`: 1 new, 0 with more in them, 0 known already.\n"
    assert (0, told) == (code, said)
    assert one.lines() == other.lines()
