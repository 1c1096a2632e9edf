"""What keeps the jobs safe: files attached, backups, the check, and what is erased for good."""

from __future__ import annotations

from collections.abc import Iterator

from diag.cli.guard import WrongUse
from diag.cli.jobs.finding import job_named, told_job
from diag.cli.jobs.show import bad_files
from diag.cli.places import data_folder, history_file, path_of, sessions_file
from diag.cli.stored import open_jobs
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import at_keyboard, source_of
from diag.jobs.entries import Attached, entry_as_data
from diag.jobs.record import record_of
from diag.store.care import back_up, faults_in, mark_to_sweep, put_back, sha256_of, sum_file, sweep
from diag.store.jobs import Jobs

FOUND = 1
"""Exit code of a check that finds something."""


def run_attach(job: str, file: str) -> int:
    """Keep a file's path and what it held beside a job; return the exit code."""
    path = path_of(file)
    if not path.is_file():
        raise WrongUse(f"there is no file `{file[:200]}` to attach")
    path = path.resolve()
    entry = Attached(str(path), sha256_of(path), path.stat().st_size)
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        jobs.append(row.id, *entry_as_data(entry))
        Screen().say(
            f"`{path}` is attached to job {told_job(row)}. It stays where it is: `show` and "
            "`check` say if it goes missing or changes."
        )
    return 0


def run_delete(job: str, yes: bool) -> int:
    """Erase a job and every trace of it in the data folder; return the exit code."""
    screen = Screen()
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        if row.id != job.strip().lower():
            raise WrongUse(f"to erase {told_job(row)}, name it by its id: {row.id}")
        record, sessions = record_of(jobs.entries(row.id)), jobs.sessions(row.id)
        what = f"job {told_job(row)} with {_many(len(sessions), 'session')}"
        if not confirmed(screen, f"Erase {what}? It cannot be got back.", yes):
            screen.say("Nothing is erased.")
            return 0
        mark_to_sweep(jobs.store)
        for name in jobs.remove(row.id):
            history_file(name).unlink(missing_ok=True)
        screen.say(f"Erased: {what}.")
        if not jobs.store.in_file:
            screen.say("The server's disk holds traces of it until its keeper runs `vacuum full`.")
        elif not sweep(jobs.store):
            screen.say(
                "Another window reads the file just now, so it still holds traces of it: the next "
                "`diag jobs` command clears them away."
            )
        if record.attached:
            screen.say(f"Left as they are: {_many(len(record.attached), 'attached file')}.")
        screen.say(
            "Backups and exports made before still hold it, as do other benches that have it. An "
            "import leaves it out here from now on."
        )
    return 0


def confirmed(screen: Screen, question: str, yes: bool) -> bool:
    """Tell whether what cannot be undone is to be done; `WrongUse` where nobody can be asked."""
    if yes:
        return True
    if not at_keyboard():
        raise WrongUse("nobody is here to be asked: add --yes if it is meant")
    screen.say(f"{question} [yes/no]", bold=True)
    answer = source_of(screen).read("")
    return answer is not None and answer.strip().lower() in ("yes", "y")


def run_backup(file: str) -> int:
    """Write all that is kept into a file; return the exit code."""
    path = path_of(file)
    if path.is_dir():
        raise WrongUse(f"`{file[:200]}` is a folder: name the file to write")
    with open_jobs() as jobs:
        back_up(jobs.store, path)
        Screen().say(
            f"{_many(jobs.count(), 'job')} and all sessions are in `{path}`; "
            f"`diag jobs check {path}` looks through it, by `{sum_file(path).name}` too."
        )
    return 0


def run_check_kept(file: str | None) -> int:
    """Look through all that is kept, or a backup; return 1 where something is wrong."""
    screen, path = Screen(), path_of(file) if file else sessions_file()
    if not file and not path.exists():
        screen.say(f"Nothing is kept yet in `{data_folder()}`.")
        return 0
    faults = faults_in(path)
    if not file and not faults:
        with open_jobs() as jobs:
            faults = list(_wrong_in(jobs))
    for fault in faults:
        screen.say(f"{fault[:1].upper()}{fault[1:]}.")
    if not faults:
        screen.say(f"`{path}` is sound: every page, every key, and every row by its sum.")
        return 0
    screen.say(f"`diag jobs restore FILE` puts a backup in the place of `{path}`.")
    return FOUND


def _wrong_in(jobs: Jobs) -> Iterator[str]:
    """Yield what is wrong with single jobs: how they are found, and their files."""
    rows = jobs.jobs(count=-1)
    with progress("Looking at each job") as done:
        for at, row in enumerate(rows):
            done(at / len(rows))
            entries = jobs.entries(row.id)
            if jobs.is_misfiled(row.id, entries):
                yield f"job `{row.id}` is not found by what it says"
            for told in bad_files(record_of(entries)):
                yield f"job `{row.id}`: {told}"


def run_restore(file: str, yes: bool) -> int:
    """Put a backup in the place of all that is kept; return the exit code."""
    screen, source, path = Screen(), path_of(file), sessions_file()
    if not source.is_file():
        raise WrongUse(f"there is no file `{file[:200]}`")
    if path.exists() and source.samefile(path):
        raise WrongUse(f"`{file[:200]}` is the file in use: name a backup")
    question = f"Put `{source}` in the place of all that is kept now?"
    if path.exists() and not confirmed(screen, question, yes):
        screen.say("Nothing is changed.")
        return 0
    kept = put_back(path, source)
    with open_jobs() as jobs:
        screen.say(f"`{source}` is put back, with {_many(jobs.count(), 'job')}.")
    if kept is not None:
        screen.say(f"What was there before is in `{kept}`.")
    return 0


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
