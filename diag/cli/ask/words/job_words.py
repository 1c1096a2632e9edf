"""`label`, `part` and `minutes` in a session: written down in the job that it belongs to."""

from __future__ import annotations

from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen
from diag.session.commands import Command
from diag.store.jobs import Jobs


class JobWords:
    """Writes down what is said of a session's job."""

    def __init__(self, screen: Screen, jobs: Jobs | None = None, job: str = "") -> None:
        """Take a job of the store; without one each word says that there is none."""
        self._screen, self._jobs, self._job = screen, jobs, job

    def obey(self, command: Command) -> None:
        """Write down what a word says; `WrongUse` says how it is typed."""
        from diag.cli.jobs.opening import LABEL_NAMES, label_of, say_differences, show_label
        from diag.cli.jobs.run import told_part, told_work
        from diag.cli.jobs.typed import part_of, worked_in
        from diag.jobs.entries import entry_as_data
        from diag.jobs.record import record_of

        if self._jobs is None:
            raise WrongUse("this session belongs to no job: nothing can be written down in one")
        if command.word == "part":
            part = part_of(command.argument)
            self._jobs.append(self._job, *entry_as_data(part))
            self._screen.say(f"{told_part(part)}. Kept in job {self._job}.")
        elif command.word == "minutes":
            work = worked_in(command.argument)
            self._jobs.append(self._job, *entry_as_data(work))
            self._screen.say(f"{told_work(work)}. Kept in job {self._job}.")
        else:
            name, _, text = command.argument.partition(" ")
            if name and (name.lower() not in LABEL_NAMES or not text.strip()):
                raise WrongUse(f"type `label`, then {', '.join(LABEL_NAMES)}, and what it is")
            if name:
                entry = label_of({name.lower(): text})
                self._jobs.append(self._job, *entry_as_data(entry))
                say_differences(self._screen, self._jobs, self._job)
            label = record_of(self._jobs.entries(self._job)).label
            self._screen.say(f"Job {self._job}:")
            show_label(self._screen, label)
