"""The options of `diag jobs`; what its commands do is imported only when they run."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Json, Plain, Text, commands, text_option

app = commands("jobs", "Keep jobs, find them, read them again and keep them safe.")

Job = Annotated[
    str, typer.Argument(metavar="JOB", help="The job, by its id, or by its unit's tag or serial.")
]
TextWords = Annotated[list[str], typer.Argument(metavar="TEXT...", help="What to write down.")]
Page = Annotated[Text, text_option("--page", "N", "Which page of fifty.")]
OpenOnly = Annotated[bool, typer.Option("--open", help="Open jobs only.")]
Customer = Annotated[Text, text_option("--customer", "NAME", "Whose it is.")]
Vehicle = Annotated[Text, text_option("--vehicle", "NAME", "In what it is fitted.")]
Tag = Annotated[Text, text_option("--tag", "TAG", "The unit's tag, as LIB-03.")]
Serial = Annotated[Text, text_option("--serial", "NUMBER", "The unit's serial number.")]
About = Annotated[Text, text_option("--about", "TEXT", "Anything else.")]
WhyText = Annotated[Text, text_option("--why", "TEXT", "The reason.")]
Yes = Annotated[bool, typer.Option("--yes", help="Do it without asking, for scripts.")]


@app.command("list")
def list_jobs(
    open_only: OpenOnly = False,
    unit: Annotated[
        Text, text_option("--unit", "TAG", "The jobs of one unit, by its tag or serial.")
    ] = None,
    page: Page = None,
    plain: Plain = False,
) -> None:
    """List the jobs, the one last worked on first."""
    with guarded():
        from diag.cli.jobs.listing import run_list

        raise SystemExit(run_list(open_only=open_only, unit=unit, page=page, plain=plain))


@app.command()
def search(
    words: Annotated[
        list[str], typer.Argument(metavar="WORDS...", help="All of them must be found.")
    ],
    open_only: OpenOnly = False,
    page: Page = None,
    plain: Plain = False,
) -> None:
    """List the jobs that hold some words in what was written down."""
    with guarded():
        from diag.cli.jobs.listing import run_search

        raise SystemExit(run_search(words, open_only=open_only, page=page, plain=plain))


@app.command()
def show(job: Job, plain: Plain = False) -> None:
    """Show all that is kept about a job."""
    with guarded():
        from diag.cli.jobs.show import run_show_job

        raise SystemExit(run_show_job(job, plain))


@app.command()
def session(
    name: Annotated[
        Text, typer.Argument(metavar="[SESSION]", help="The session; all if left out.")
    ] = None,
    plain: Plain = False,
) -> None:
    """Read a session again, finished or not, or list the latest."""
    with guarded():
        from diag.cli.jobs.sessions import run_session

        raise SystemExit(run_session(name, plain))


@app.command("open")
def open_job(
    unit: Annotated[Text, text_option("--unit", "UNIT", "The unit, as the rules name it.")] = None,
    complaint: Annotated[
        Text, text_option("--complaint", "WORDS", "What the owner says, in the owner's words.")
    ] = None,
    customer: Customer = None,
    vehicle: Vehicle = None,
    tag: Tag = None,
    serial: Serial = None,
    about: About = None,
) -> None:
    """Begin a job before its first session."""
    with guarded():
        from diag.cli.jobs.opening import run_open

        said = {"customer": customer, "vehicle": vehicle, "tag": tag, "serial": serial}
        raise SystemExit(run_open(unit, complaint, {**said, "about": about}))


@app.command()
def label(
    job: Job,
    customer: Customer = None,
    vehicle: Vehicle = None,
    tag: Tag = None,
    serial: Serial = None,
    about: About = None,
) -> None:
    """Write down whose heater it is and which, or show that."""
    with guarded():
        from diag.cli.jobs.opening import run_label

        said = {"customer": customer, "vehicle": vehicle, "tag": tag, "serial": serial}
        raise SystemExit(run_label(job, {**said, "about": about}))


@app.command()
def note(job: Job, text: TextWords) -> None:
    """Write down a remark."""
    with guarded():
        from diag.cli.jobs.run import run_note

        raise SystemExit(run_note(job, text))


@app.command()
def part(
    job: Job,
    name: Annotated[
        list[str], typer.Argument(metavar="NAME...", help="The part, its price behind it.")
    ],
    price: Annotated[Text, text_option("--price", "PRICE", "Its price, as you write it.")] = None,
    cause: Annotated[Text, text_option("--for", "CAUSE", "The fault that it repairs.")] = None,
) -> None:
    """Write down a part that was fitted."""
    with guarded():
        from diag.cli.jobs.run import run_part

        raise SystemExit(run_part(job, name, price, cause))


@app.command()
def work(
    job: Job,
    minutes: Annotated[str, typer.Argument(metavar="MINUTES", help="How long, as 20 or 1.5h.")],
    what: Annotated[
        list[str] | None, typer.Argument(metavar="[TEXT]...", help="What was done.")
    ] = None,
) -> None:
    """Write down minutes of work."""
    with guarded():
        from diag.cli.jobs.run import run_work

        raise SystemExit(run_work(job, minutes, what))


@app.command()
def offer(
    job: Job,
    what: Annotated[list[str], typer.Argument(metavar="TEXT...", help="What was offered.")],
    accepted: Annotated[bool, typer.Option("--accepted", help="The owner wants it.")] = False,
    declined: Annotated[bool, typer.Option("--declined", help="The owner does not.")] = False,
    why: WhyText = None,
) -> None:
    """Write down what the owner said to work that was offered."""
    with guarded():
        from diag.cli.jobs.run import run_offer

        raise SystemExit(run_offer(job, what, accepted, declined, why))


@app.command()
def attach(
    job: Job,
    file: Annotated[str, typer.Argument(metavar="FILE", help="A photograph, a log, any file.")],
) -> None:
    """Keep a file's path and checksum with a job."""
    with guarded():
        from diag.cli.jobs.safe import run_attach

        raise SystemExit(run_attach(job, file))


@app.command()
def strike(
    job: Job,
    number: Annotated[str, typer.Argument(metavar="N", help="The entry, as `show` numbers it.")],
) -> None:
    """Strike out an entry that was a mistake."""
    with guarded():
        from diag.cli.jobs.run import run_strike

        raise SystemExit(run_strike(job, number))


@app.command()
def close(
    job: Job,
    outcome: Annotated[
        list[str] | None,
        typer.Argument(metavar="[OUTCOME]...", help="How it ended; as its session if left out."),
    ] = None,
) -> None:
    """Close a job with its outcome."""
    with guarded():
        from diag.cli.jobs.run import run_close

        raise SystemExit(run_close(job, outcome))


@app.command()
def reopen(job: Job, why: WhyText = None) -> None:
    """Take a closed job up again."""
    with guarded():
        from diag.cli.jobs.run import run_reopen

        raise SystemExit(run_reopen(job, why))


@app.command()
def delete(
    job: Annotated[str, typer.Argument(metavar="JOB", help="The job, by its id.")],
    yes: Yes = False,
) -> None:
    """Erase a job, with every trace of it in the data folder."""
    with guarded():
        from diag.cli.jobs.safe import run_delete

        raise SystemExit(run_delete(job, yes))


@app.command()
def currency(
    name: Annotated[
        Text, typer.Argument(metavar="[CURRENCY]", help="A sign, or a code such as EUR.")
    ] = None,
) -> None:
    """Set the currency of prices that name none, or show it."""
    with guarded():
        from diag.cli.jobs.currency import run_currency

        raise SystemExit(run_currency(name))


@app.command()
def backup(
    file: Annotated[str, typer.Argument(metavar="FILE", help="The file to write.")],
) -> None:
    """Write all that is kept into a file."""
    with guarded():
        from diag.cli.jobs.safe import run_backup

        raise SystemExit(run_backup(file))


@app.command()
def check(
    file: Annotated[
        Text, typer.Argument(metavar="[FILE]", help="A backup; what is in use if left out.")
    ] = None,
) -> None:
    """Look through all that is kept for damage."""
    with guarded():
        from diag.cli.jobs.checking import run_check_kept

        raise SystemExit(run_check_kept(file))


@app.command()
def restore(
    file: Annotated[str, typer.Argument(metavar="FILE", help="The backup.")],
    yes: Yes = False,
) -> None:
    """Put a backup in the place of all that is kept."""
    with guarded():
        from diag.cli.jobs.safe import run_restore

        raise SystemExit(run_restore(file, yes))


@app.command()
def calibration(as_json: Json = False, plain: Plain = False) -> None:
    """Tell how often verdicts were right, as sure as they were."""
    with guarded():
        from diag.cli.jobs.calibration import run_calibration

        raise SystemExit(run_calibration(as_json, plain))
