"""The examples of all commands."""

from __future__ import annotations

from collections.abc import Mapping

from diag.cli.examples import Examples
from diag.cli.examples.bench import BENCH_EXAMPLES
from diag.cli.examples.jobs import JOB_EXAMPLES
from diag.cli.examples.rules import RULE_EXAMPLES
from diag.cli.examples.work import WORK_EXAMPLES

COMMAND_EXAMPLES: Mapping[str, Examples] = {
    **WORK_EXAMPLES, **JOB_EXAMPLES, **BENCH_EXAMPLES, **RULE_EXAMPLES,
}  # fmt: skip
"""Examples by the words after `diag`."""
