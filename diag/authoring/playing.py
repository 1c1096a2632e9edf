"""Worked cases played by several processes at once; the runs come in the order of the cases."""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection

from diag.authoring.case_run import CaseRun
from diag.authoring.case_runner import run_case
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.session.compiled_rulebook import CompiledRulebook


@contextmanager
def playing(
    rulebook: Rulebook, cases: Sequence[Case], processes: int = 1
) -> Iterator[Iterator[CaseRun]]:
    """Begin to play cases; give what yields their runs, in the order of the cases.

    By one process, or where none can be forked, each is played when its run is asked for. What a
    case raises is raised here. Enter it before a thread is begun, as a bar on the screen is.
    """
    processes = min(processes, len(cases))
    if processes < 2 or "fork" not in multiprocessing.get_all_start_methods():
        yield _played(rulebook, cases)
        return
    # A process that is forked finds the rulebook where its parent read it.
    context = multiprocessing.get_context("fork")
    ends, workers = [], []
    try:
        for number in range(processes):
            here, there = context.Pipe(duplex=False)
            share = cases[number::processes]
            worker = context.Process(target=_tell, args=(rulebook, share, there), daemon=True)
            worker.start()
            there.close()
            ends.append(here)
            workers.append(worker)
        yield (_told(ends[number % processes]) for number in range(len(cases)))
    finally:
        for worker in workers:
            worker.terminate()
            worker.join()


def _played(rulebook: Rulebook, cases: Sequence[Case]) -> Iterator[CaseRun]:
    grounds: dict[str, CompiledRulebook] = {}
    for case in cases:
        if case.unit not in grounds:
            grounds[case.unit] = CompiledRulebook.of(rulebook, rulebook.units[case.unit])
        yield run_case(rulebook, case, compiled=grounds[case.unit])


def _tell(rulebook: Rulebook, cases: Sequence[Case], there: Connection) -> None:
    """Play a share of the cases and send each run; whoever stops the parent stops this, too."""
    with suppress(KeyboardInterrupt, BrokenPipeError):
        try:
            for run in _played(rulebook, cases):
                there.send(run)
        except Exception as error:  # whatever it is, the parent raises it
            there.send(error)


def _told(here: Connection) -> CaseRun:
    run = here.recv()
    if isinstance(run, CaseRun):
        return run
    raise run
