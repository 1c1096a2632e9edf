"""`diag report`: what a job's record and its sessions come to, written as it was asked for."""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass, replace
from io import StringIO
from typing import cast

from diag.cli.book import load_book
from diag.cli.guard import WrongUse
from diag.cli.jobs.currency import in_currency
from diag.cli.jobs.finding import job_named
from diag.cli.places import path_of
from diag.cli.report.drawings import rows_of
from diag.cli.report.text import show_report
from diag.cli.stored import open_store
from diag.cli.terminal.screen import Screen
from diag.jobs.entries import PartUsed
from diag.jobs.history.sessions import job_history
from diag.jobs.pictures.svg import library, svg_of
from diag.jobs.record import At, JobRecord, index_of, record_of
from diag.jobs.report.building import Audience, report_of
from diag.jobs.report.document import Report
from diag.jobs.report.markdown import WIDTH, report_markdown
from diag.jobs.report.material import JobMaterial, local_time
from diag.jobs.report.page import as_page, drawn_in_text
from diag.model.phrasing import printable
from diag.store.jobs import Jobs

FORMS, READERS = ("text", "markdown", "html"), ("owner", "file", "both")
NO_LIBRARY = (
    "The pictures are drawn in characters: `pip install 'diag[report]'` adds the package that "
    "draws them."
)


@dataclass(frozen=True, slots=True)
class ReportWanted:
    """What was asked for: a form, a reader, a quote or not, and where it goes."""

    form: str
    reader: str
    quote: bool
    output: str | None
    overwrite: bool

    def check(self) -> None:
        """Raise `WrongUse` for what there is not, before anything is read."""
        for what, said, known in (
            ("--format", self.form, FORMS),
            ("--for", self.reader, READERS),
        ):
            if said not in known:
                raise WrongUse(f"`{what} {said[:40]}` is not known; give {' or '.join(known)}")
        if self.output is not None and path_of(self.output).exists() and not self.overwrite:
            raise WrongUse(
                f"`{self.output}` is there already, and nothing was written; name another file, or "
                "add --overwrite to replace it"
            )


def run_report(
    job: str, wanted: ReportWanted, rules: str | None = None, plain: bool = False
) -> int:
    """Write the report of a job; `StoreError` for one that there is not."""
    wanted.check()
    with closing(open_store()) as store:
        jobs = Jobs(store, index_of)
        row = job_named(jobs, job)
        record = _in_currency(record_of(jobs.entries(row.id)))
        stored = [(one, store.events(one.id)) for one in jobs.sessions(row.id)]
    book = load_book(rules)
    material = JobMaterial(row.id, record, job_history(book, stored), book, local_time(None))
    report = report_of(material, cast(Audience, wanted.reader), quote=wanted.quote)
    if wanted.form == "text":
        _text(report, wanted, plain)
    else:
        lines = _page(report) if wanted.form == "html" else list(report_markdown(report, rows_of))
        _document(lines, wanted, plain)
    return 0


def _in_currency(record: JobRecord) -> JobRecord:
    """Return a record whose prices that name no currency are in the one that was set."""
    return replace(record, parts=tuple(map(_priced, record.parts)))


def _priced(one: At) -> At:
    if not isinstance(one.entry, PartUsed):
        return one
    return replace(one, entry=replace(one.entry, price=in_currency(one.entry.price)))


def _text(report: Report, wanted: ReportWanted, plain: bool) -> None:
    if wanted.output is None:
        show_report(Screen(plain=plain), report)
        return
    text = StringIO()
    show_report(Screen(text, plain=True), report)
    _write(wanted, text.getvalue())


def _page(report: Report) -> list[str]:
    """Return the page, with pictures as SVG where the package that draws them is there."""
    drawing = library()
    if drawing is None:
        return list(as_page(report, lambda one, _: drawn_in_text(rows_of(one, WIDTH)), NO_LIBRARY))
    return list(as_page(report, lambda one, beside: svg_of(one, drawing, beside)))


def _document(lines: list[str], wanted: ReportWanted, plain: bool) -> None:
    if wanted.output is not None:
        _write(wanted, "\n".join(lines) + "\n")
    elif wanted.form == "html":
        print("\n".join(lines))
    else:
        screen = Screen(plain=plain)
        for line in lines:
            screen.document(line)


def _write(wanted: ReportWanted, text: str) -> None:
    """Write a file: a new one, or whole in the place of an old one where that was asked for.

    Where it cannot be written whole, what was there before stays, and no half is left.
    """
    assert wanted.output is not None
    path = path_of(wanted.output)
    if path.exists() and not path.is_file():
        path.write_text(text, encoding="utf-8")  # a pipe or a device: nothing of it to be kept
        return
    made = path.with_name(f"{path.name}.part") if path.exists() else path
    try:
        with made.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise
    except OSError:
        made.unlink(missing_ok=True)
        raise
    made.replace(path)
    print(printable(str(path)))
