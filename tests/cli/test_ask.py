"""`diag ask` as its user meets it: over a pipe, left and resumed, killed, and fed with nonsense."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

DIAG = (sys.executable, "-c", "from diag.cli import main; main()")
BEGIN = ("ask", "--unit", "small 12 V", "--complaint", "will not start")
READ = ("--unit", "small 12 V", "--complaint", "will not start", "--readings")


def diag(
    home: Path, *words: str, lines: str = "", code: int = 0
) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [*DIAG, *words],
        input=lines,
        capture_output=True,
        text=True,
        env={**os.environ, "DIAG_HOME": str(home)},
        cwd=Path(__file__).parent.parent.parent,
        check=False,
        timeout=120,
    )
    assert "Traceback" not in done.stderr
    assert done.returncode == code, done.stdout + done.stderr
    return done


def test_the_demonstration_runs_through_by_itself(tmp_path: Path) -> None:
    """Without a terminal the demonstration goes from complaint to proved repair."""
    said = diag(tmp_path, "ask", "--demo").stdout
    assert "Found: Battery worn out" in said
    assert "Proved: the repair holds, and the complaint is gone." in " ".join(said.split())
    assert max(map(len, said.splitlines())) <= 79


def test_a_piped_session_is_saved_and_resumed(tmp_path: Path) -> None:
    """What was answered before the input ended is there when the session goes on."""
    first = diag(tmp_path, *BEGIN, lines="none\nlit\n").stdout
    assert "Saved. Go on with: diag ask --resume" in first
    session = first.split("--resume ")[1].split()[0]
    assert session in diag(tmp_path, "ask", "--list").stdout
    again = diag(tmp_path, "ask", "--resume", session, lines="where\n").stdout
    assert "panel" in again
    assert "lit" in again
    assert "co alarm" in again


def test_a_danger_that_holds_is_told_again_when_a_session_goes_on(tmp_path: Path) -> None:
    """Heeded yesterday it still holds: whoever goes on reads it before the next question, once the
    list tells the session by unit and complaint."""
    first = diag(tmp_path, *BEGIN, lines="3\ny\nok\n\ndone\nleave\n").stdout
    assert 2 == first.count("STOP: Fuel leak")  # at the start, and asked for again by Enter
    session = first.split("--resume ")[1].split()[0]
    assert "small 12 V, will not start" in diag(tmp_path, "ask", "--list").stdout
    again = diag(tmp_path, "ask", "--resume", session, lines="leave\n").stdout
    assert "DANGER holds: Fuel leak" in again
    assert again.index("Readings") < again.index("DANGER holds: Fuel leak")


def test_a_correction_is_told_and_kept(tmp_path: Path) -> None:
    """`change` names the old answer and the new one."""
    said = diag(tmp_path, *BEGIN, lines="none\nlit\nchange panel = dark\n").stdout
    assert "`panel` was lit, now dark." in said


def test_nothing_to_count_is_an_answer(tmp_path: Path) -> None:
    """A code that may be none says so, and takes `none` for it."""
    said = diag(tmp_path, *BEGIN, lines="none\nlit\nfault\nnone\nwhere\n").stdout
    assert "between two pauses? [0 if none]" in " ".join(said.split())
    assert "flash count 0 seen" in " ".join(said.split())


def test_the_ways_out_are_told_at_the_second_refusal(tmp_path: Path) -> None:
    """One slip gets its sentence alone; who is refused again learns how to go on."""
    hint = "`skip check`"
    assert hint not in diag(tmp_path, *BEGIN, lines="none\nblue\n").stdout
    said = diag(tmp_path, *BEGIN, lines="none\nblue\ngreen\nDon’t know\nundo\nquit\n").stdout
    assert said.count(hint) == 1
    assert "there is no answer" not in said
    assert "Saved. Go on with: diag ask --resume" in said


def _begun(home: Path) -> subprocess.Popen[str]:
    """Return a session in a process of its own, which waits for what is written to it."""
    return subprocess.Popen(
        [*DIAG, *BEGIN],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "DIAG_HOME": str(home)},
        cwd=Path(__file__).parent.parent.parent,
    )


def test_killed_between_two_answers_nothing_is_lost(tmp_path: Path) -> None:
    """After kill -9 every accepted answer is there, and no lock is left behind."""
    with _begun(tmp_path) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("none\nlit\n")
        process.stdin.flush()
        for line in process.stdout:
            if line.startswith("> lit"):
                break
        _wait_for_the_next_question(process)
        process.send_signal(signal.SIGKILL)
    again = diag(tmp_path, "ask", "--resume").stdout
    assert "lit" in again


def _wait_for_the_next_question(process: subprocess.Popen[str]) -> None:
    assert process.stdout is not None
    for line in process.stdout:
        if "1 heating" in line or "1 " in line[:5]:
            return
    time.sleep(0)


def test_two_processes_on_one_session_are_refused(tmp_path: Path) -> None:
    """The second process is told that the session is in use."""
    with _begun(tmp_path) as process:
        assert process.stdout is not None
        for line in process.stdout:
            if "look round for danger" in line:
                break
        second = diag(tmp_path, "ask", "--resume", code=1)
        assert len(second.stderr.strip().splitlines()) == 1
        process.kill()


def test_readings_from_a_file_give_one_json_object(tmp_path: Path) -> None:
    """`--json` prints one object with all that the readings lead to."""
    file = tmp_path / "readings.yaml"
    file.write_text("volts at rest: 12,5 V\npanel: lit\n", encoding="utf-8")
    found = json.loads(diag(tmp_path, "ask", *READ, str(file), "--json").stdout)
    assert {
        "rulebook", "unit", "complaint", "complaints", "readings", "facts", "dangers", "causes",
        "pairs", "nothing_wrong", "unknown", "first", "next", "does_not_fit", "verdict",
    } == set(found)  # fmt: skip
    assert {"finding": "volts at rest", "value": "12.5 V", "how": "measured"} in found["readings"]
    assert found["facts"][0]["supports"][0]["rule"]


DEEP = "[" * 10_000
BOMB = "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "holds no readings"),
        ("volts at rest: 12 A\n", "`12 A`"),
        ("volts at rest: nan\n", "`nan`"),
        ("volts at rest: 1e999\n", "1e999"),
        ("volts at rset: 12 V\n", "volts at rest"),
        ("volts at rest: 12 V\nvolts at rest: 13 V\n", "volts at rest"),
        (BOMB, "&a"),
        (DEEP, "nesting depth"),
        ("volts at rest: 120 V\n", "120 V"),
        ("panel: '[red]x'\n", "[red]x"),
        ("volts at rest: " + "9" * 10_000 + " V\n", "volts"),
    ],
)
def test_bad_readings_get_a_sentence_and_exit_code_1(tmp_path: Path, text: str, part: str) -> None:
    """What is wrong with a readings file is told, with its place, never as a traceback."""
    file = tmp_path / "r.yaml"
    file.write_text(text, encoding="utf-8")
    done = diag(tmp_path, "ask", *READ, str(file), "--json", code=1)
    assert done.stdout == ""
    assert part in done.stderr
    assert len(done.stderr) < 2_000


def test_readings_that_are_not_there_or_not_text(tmp_path: Path) -> None:
    """A missing file and a folder are wrong use; bytes that are no text are wrong content."""
    missing = diag(tmp_path, "ask", *READ, str(tmp_path / "none.yaml"), "--json", code=2)
    assert "there is no file" in missing.stderr
    folder = diag(tmp_path, "ask", *READ, str(tmp_path), "--json", code=2)
    assert "is a folder" in folder.stderr
    file = tmp_path / "latin.yaml"
    file.write_bytes(b"panel: \xff\xfe\n")
    assert "not UTF-8" in diag(tmp_path, "ask", *READ, str(file), "--json", code=1).stderr


def test_misspelt_names_are_told_with_the_nearest(tmp_path: Path) -> None:
    """An unknown unit or complaint is wrong use, with names near it."""
    unit = diag(tmp_path, "ask", "--unit", "smal 12 V", "--complaint", "noise", code=2)
    assert "`small 12 V`" in unit.stderr
    said = diag(tmp_path, "ask", "--unit", "small 12 V", "--complaint", "noi", code=2)
    assert "`noise`" in said.stderr


def test_a_data_folder_that_cannot_be_used_is_told(tmp_path: Path) -> None:
    """A file where the data folder should be gets one sentence."""
    blocked = tmp_path / "blocked"
    blocked.write_text("x", encoding="utf-8")
    done = diag(blocked, *BEGIN, code=1)
    assert "DIAG_HOME" in done.stderr


def test_what_is_told_in_free_text_is_read_back(tmp_path: Path) -> None:
    """Free text at the start is heard, read back, and counts only when confirmed."""
    lines = "small 12 V\nwhite smoke, 10.1 V at the heater\nno\nyes\nno\nwhere\n"
    said = diag(tmp_path, "ask", lines=lines).stdout
    assert "You said: white smoke, 10.1 V at the heater\n" in said
    assert 2 == said.count("  White smoke.\n") + said.count("I heard: White smoke.\n")
    assert "while the glow plug heats? 10.1 V\n" in " ".join(said.split("  ")).replace("\n ", " ")
    assert "12 V; White smoke." in said
    assert "10.1 V" not in said.partition("Session ")[2]


def test_a_broken_rule_is_told_after_the_unit_is_named(tmp_path: Path) -> None:
    """The units are listed first; what is wrong in the workshop's own rules is told then."""
    rules = tmp_path / "rules" / "supply"
    rules.mkdir(parents=True)
    text = "cause: draft\nstatus: trial\nsharee: common\n"
    (rules / "draft.yaml").write_text(text, encoding="utf-8")
    done = diag(tmp_path, "ask", lines="small 12 V\n", code=1)
    assert "Which unit?" in done.stdout
    assert "`sharee` is not a key of a cause" in done.stderr


def test_a_draft_takes_no_part_and_breaks_nothing(tmp_path: Path) -> None:
    """A cause that is still being written stops no session; `rules check` alone reads it."""
    rules = tmp_path / "rules" / "supply"
    rules.mkdir(parents=True)
    text = "cause: draft\nstatus: draft\nsharee: common\n"
    (rules / "draft.yaml").write_text(text, encoding="utf-8")
    assert "Which unit?" in diag(tmp_path, "ask", lines="small 12 V\nleave\n").stdout
    assert "`sharee` is not a key" in diag(tmp_path, "rules", "check", code=1).stderr


@pytest.mark.parametrize("command", ["ask", "heat"])
def test_what_is_no_file_of_readings_is_refused_at_once(command: str, tmp_path: Path) -> None:
    """A device, a pipe without a writer, a folder and a huge file each get one sentence."""
    os.mkfifo(tmp_path / "pipe")
    with (tmp_path / "huge").open("wb") as huge:
        huge.truncate(16_000_001)
    words = (*READ,) if command == "ask" else ("compare", "--file")
    for path, said in {
        "/dev/zero": "is no plain file; name a file that lies on a disk",
        str(tmp_path / "pipe"): "is no plain file; name a file that lies on a disk",
        str(tmp_path): "is a folder; name a file in it",
        str(tmp_path / "none"): "there is no file",
        str(tmp_path / "huge"): "holds 16000001 bytes, the most that is read is 16000000 bytes",
    }.items():
        done = diag(tmp_path / "home", command, *words, path, code=2)
        assert said in done.stderr
        assert 1 == len(done.stderr.splitlines())


def test_rules_without_a_unit_are_no_start(tmp_path: Path) -> None:
    """Where no unit can be named, one sentence says how to come by one."""
    (tmp_path / "shop").mkdir()
    text = "source: invented\ncautions: {mind: Mind the step.}\n"
    (tmp_path / "shop" / "own.yaml").write_text(text, encoding="utf-8")
    done = diag(tmp_path, "ask", "--rules", str(tmp_path / "shop"), code=2)
    assert done.stderr == (
        "these rules hold no unit to work on; add a file with a line `unit: ...`\n"
    )


def test_a_session_begun_by_phone_goes_on_at_the_vehicle(tmp_path: Path) -> None:
    """By phone it ends in what to bring; the same session goes on with the tools that are there."""
    lines = "none\nlit\nfault\n" + "cannot\n" * 20
    first = diag(tmp_path, *BEGIN, "--profile", "phone", lines=lines).stdout
    said = " ".join(first.partition("The end of this session")[2].split())
    assert said.startswith("This is as far as it goes from here")
    assert said.count("%") == 3
    assert "Do first: " in said
    assert "Wanted for that, and not here: multimeter" in said
    session = first.split("--resume ")[1].split()[0]
    again = diag(tmp_path, "ask", "--resume", session, "--profile", "vehicle").stdout
    assert "Here: a fitter at the vehicle" in again
    asked = again.partition("Here: a fitter at the vehicle")[2]
    assert "?" in asked


def test_a_tool_that_nobody_knows_is_refused(tmp_path: Path) -> None:
    """Options name tools and profiles that there are; else the nearest are told, exit code 2."""
    said = diag(tmp_path, *BEGIN, "--without", "clamp", code=2).stderr
    assert "no check knows the tool `clamp`; near it are" in said
    assert "`clamp meter`" in said
    said = diag(tmp_path, *BEGIN, "--profile", "moon", code=2).stderr
    assert "there is no profile `moon`; known are `bench`, `phone`" in said


def test_a_profile_that_leaves_nothing_to_ask_says_what_would_help(tmp_path: Path) -> None:
    """Where no check can be made with what is at hand, the session does not begin."""
    rules = tmp_path / "rules"
    rules.mkdir()
    for file in (Path(__file__).parents[1] / "books" / "bicycle").glob("*.yaml"):
        text = file.read_text(encoding="utf-8")
        (rules / file.name).write_text(text, encoding="utf-8")
    (rules / "profiles.yaml").write_text(
        "profiles:\n  nobody: {title: Nobody, reaches: []}\n", encoding="utf-8"
    )
    said = diag(tmp_path, "rules", "check", str(rules), code=1).stderr
    assert "this profile leaves nothing to ask" in said
    assert "would help most" in said


def test_a_file_of_readings_begins_a_session_that_goes_on(tmp_path: Path) -> None:
    """What the file tells is stored, the next check is told, and the session can be resumed."""
    file = tmp_path / "bench.yaml"
    file.write_text("panel: lit\nvolts at rest: 12.6 V\n", encoding="utf-8")
    said = diag(tmp_path, "ask", *READ, str(file)).stdout
    assert "12.6 V" in said
    assert "Is any of these true" in said
    session = said.split("--resume ")[1].split()[0]
    again = diag(tmp_path, "ask", "--resume", session, lines="none\n").stdout
    assert "volts at rest" in again
    assert "12.6 V" in again


def test_a_file_that_cannot_be_read_begins_nothing(tmp_path: Path) -> None:
    """A mistake in the file is told, and no session is left behind."""
    file = tmp_path / "bench.yaml"
    file.write_text("volts at rest: many\n", encoding="utf-8")
    diag(tmp_path, "ask", *READ, str(file), code=1)
    assert "No session is open." in diag(tmp_path, "ask", "--list").stdout


def test_a_table_is_judged_line_by_line(tmp_path: Path) -> None:
    """Each reading is told with what follows from it; a line that is none is told and left out."""
    lines = "none\nenter\nvolts at rest: 12.6 V\nmoon: 3\npanel = lit\n\nwhere\n"
    said = " ".join(diag(tmp_path, *BEGIN, lines=lines).stdout.split())
    assert "There is no finding `moon`" in said
    assert "Left out." in said
    assert "`volts at rest`: 12.6 V. So: charge at rest: charged." in said
    assert "`panel`: lit." in said


def test_a_danger_ends_the_table(tmp_path: Path) -> None:
    """A reading that raises a danger stops the work at once, whatever stands below it."""
    lines = "none\nenter\nfumes inside: yes\nvolts at rest: 12.6 V\n"
    said = diag(tmp_path, *BEGIN, lines=lines).stdout
    table = said.partition("FINDING: ANSWER")[2]
    assert "STOP: " in table
    assert "`volts at rest`: 12.6 V" not in table


def test_free_words_are_told_over_a_pipe(tmp_path: Path) -> None:
    """A number of the list is the list's, other words are read back, `no` takes nothing down."""
    lines = "none\n2\nthe pump is silent\nno\n0\npump is silent, fuse blown\nyes\nwhere\nleave\n"
    begin = ("ask", "--unit", "small 12 V", "--complaint", "heater wont fire up, no life at all")
    said = diag(tmp_path, *begin, lines=f"yes\n{lines}").stdout
    opening, _, session = said.partition("Session ")
    assert "I heard:\n  It does not start at all.\nIs that so? [yes/no]\n" in opening
    assert "Nothing is taken down." in session
    readings = session.split("\nReadings\n")[-1]
    assert "flickers" in readings
    assert "silent" in readings
    assert "blown" in readings


def test_what_is_told_before_the_complaint_is_kept(tmp_path: Path) -> None:
    """A reading in the place of the complaint is read back and kept, and the complaint asked."""
    lines = "yeah\nwill not start\nnone\nwhere\n"
    begin = ("ask", "--unit", "small 12 V", "--complaint", "locked out after three tries")
    said = diag(tmp_path, *begin, lines=lines).stdout
    assert "That is kept; say now what is complained of.\nWhat does the owner say" in said
    assert "panel shows" in said.split("\nReadings\n")[-1]
