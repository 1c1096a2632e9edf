"""What keeps the jobs safe: files attached, backups, and what is erased for good."""

from __future__ import annotations

from diag.cli.guard import WrongUse
from diag.cli.jobs.finding import job_named, told_job
from diag.cli.jobs.shared import refuse_at_server
from diag.cli.places import history_file, new_file, path_of, sessions_file
from diag.cli.stored import open_jobs
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import at_keyboard, source_of
from diag.jobs.entries import Attached, entry_as_data
from diag.jobs.record import record_of
from diag.model.phrasing import printable
from diag.store.care import back_up, mark_to_sweep, put_back, sha256_of, sum_file, sweep


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
            f"`{printable(str(path), keep='')}` is attached to job {told_job(row)}. It stays where "
            "it is: `show` and `check` say if it goes missing or changes."
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
    refuse_at_server("backed up", "pg_dump --format=custom --file=FILE DATABASE", "backup")
    path = new_file(file)
    with open_jobs() as jobs:
        back_up(jobs.store, path)
        Screen().say(
            f"{_many(jobs.count(), 'job')} and all sessions are in `{path}`; "
            f"`diag jobs check {path}` looks through it, by `{sum_file(path).name}` too."
        )
    return 0


def run_restore(file: str, yes: bool) -> int:
    """Put a backup in the place of all that is kept; return the exit code."""
    refuse_at_server("put back", "pg_restore --dbname=DATABASE FILE", "restore")
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
