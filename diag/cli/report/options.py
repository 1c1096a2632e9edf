"""The options of `diag report`; what it does is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Plain, Text, commands, text_option

JobId = Annotated[str, typer.Argument(metavar="JOB", help="The job, by its id.")]
ReportForm = Annotated[
    str, text_option("--format", "FORM", "text, markdown or html; text if left out.")
]
Output = Annotated[
    Text, text_option("--output", "FILE", "Write it to a file; never over one that is there.")
]
Overwrite = Annotated[
    bool, typer.Option("--overwrite", help="Let --output replace a file that is there.")
]
For = Annotated[str, text_option("--for", "READER", "owner, file or both; both if left out.")]
Quote = Annotated[
    bool, typer.Option("--quote", help="A quote before the work, in place of the report.")
]
RulesFolder = Annotated[Text, text_option("--rules", "DIR", "Another folder of rules.")]

app = commands("report")


@app.command()
def report(
    job: JobId,
    form: ReportForm = "text",
    output: Output = None,
    overwrite: Overwrite = False,
    reader: For = "both",
    quote: Quote = False,
    rules: RulesFolder = None,
    plain: Plain = False,
) -> None:
    """Write what a job came to, for the owner and for the file."""
    with guarded():
        from diag.cli.report.run import ReportWanted, run_report

        wanted = ReportWanted(form, reader, quote, output, overwrite)
        raise SystemExit(run_report(job, wanted, rules, plain))
