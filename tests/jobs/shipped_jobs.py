"""Invented jobs that several tests look at, each driven once."""

from __future__ import annotations

from datetime import UTC
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from diag.jobs.entries import Ended, Labelled
from diag.jobs.history.sessions import job_history
from diag.jobs.record import record_of
from diag.jobs.report.material import JobMaterial, local_time
from tests.dangers import shipped
from tests.jobs.demo import (
    LIB_03,
    add,
    cases_of,
    demo_stages,
    drive,
    finished,
    opened,
    store_in,
    stored,
)

SOUND, DANGER = "LIB-23 checked before winter", "LIB-601 lit with a bang"


def _material(folder: Path, kind: str, label: Labelled) -> JobMaterial:
    store, book = store_in(folder), shipped.book()
    if kind == "finished":
        jobs, job = finished(store, book, label)
    else:
        jobs, job = opened(store, label, "it lights, then dies")
        if kind == "open":
            drive(store, book, demo_stages(book), job, most=18)
        elif kind == "checked over":
            drive(store, book, [cases_of(book, "sound")[SOUND]], job)
            add(jobs, job, Ended("passed"))
        elif kind == "danger":
            drive(store, book, [cases_of(book, "dangers")[DANGER]], job, most=3)
        elif kind == "empty":
            pass
        else:
            raise ValueError(kind)
    history = job_history(book, stored(store, jobs, job))
    record = record_of(jobs.entries(job))
    store.close()
    return JobMaterial(job, record, history, book, local_time(UTC))


@cache
def material(kind: str, label: Labelled = LIB_03) -> JobMaterial:
    """Return a job: `finished`, `open`, `checked over`, in `danger` or `empty`."""
    return _material(Path(mkdtemp()), kind, label)
