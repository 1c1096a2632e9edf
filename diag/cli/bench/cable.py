"""`diag cable`: asks for what is missing, and shows the report."""

from __future__ import annotations

from collections.abc import Mapping

from diag.bench.cable.inputs import DROP, GROUPS, IGNITION_AMPS, INPUTS, SIZE, SPLIT
from diag.bench.cable.report import FUSE_CAUTION, cable_report
from diag.bench.report import to_learn
from diag.cli.bench.asking import Ask, answer, asker, settle, until_believed
from diag.cli.bench.kept.outcome import Take, outcome_of
from diag.cli.bench.screen import show
from diag.cli.guard import WrongUse


def run_cable(
    answers: Mapping[str, str],
    as_json: bool = False,
    ask: Ask | None = None,
    take: Take | None = None,
) -> int:
    """Work out the run, the split of a measured drop, or both, and print it; return 0.

    `answers` holds the options that were given, as typed. Missing readings are asked for at a
    terminal, through `ask` if that is given. Raises `ValueError` for a value that cannot be,
    and `WrongUse` when readings are missing and nobody can be asked.
    """
    ask = asker(as_json, ask)
    amps = IGNITION_AMPS.option
    nothing = not any(each.option in answers for group in GROUPS for each in group.inputs)
    full, complete, notes = settle((SIZE, DROP, SPLIT), answers, ask, (FUSE_CAUTION,))
    if ask is not None and (nothing or SPLIT in complete) and amps not in full:
        full |= {amps: text} if (text := answer(IGNITION_AMPS, ask, full)) else {}
    if SPLIT in complete and amps not in full:
        raise WrongUse(to_learn(f"`--{amps}`", SPLIT.says))
    told = until_believed(lambda now: cable_report(now, complete, notes), full, INPUTS, ask)
    show(told, as_json, screen=ask.screen if ask else None)
    if take is not None:
        take(outcome_of("cable", full, told))
    return 0
