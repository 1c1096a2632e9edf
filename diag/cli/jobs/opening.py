"""`diag jobs open` and `label`: whose heater it is, and whether that fits what is kept of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields

from diag.cli.book import rule_folders, unit_named
from diag.cli.guard import WrongUse
from diag.cli.jobs.finding import job_named, told_job
from diag.cli.jobs.typed import LONGEST_LABEL, LONGEST_TEXT, words
from diag.cli.places import user_units
from diag.cli.stored import open_jobs
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import at_keyboard, source_of
from diag.jobs.entries import Labelled, Opened, entry_as_data
from diag.jobs.record import JobRecord, record_of
from diag.rulebook import unit_titles
from diag.store.jobs import Jobs

MOST_LOOKED_AT = 9
LABEL_NAMES = tuple(one.name for one in fields(Labelled))


def run_open(unit: str | None, complaint: str | None, said: Mapping[str, str | None]) -> int:
    """Begin a job; return the exit code."""
    screen, label = Screen(), label_of(said)
    told = words(complaint, "complaint", LONGEST_TEXT) if complaint else ""
    with open_jobs() as jobs:
        name = unit_of(jobs, unit, label, screen)
        if name is None:
            return 0
        label = tagged(name, label)
        job = jobs.open(*entry_as_data(Opened(name, told, label)))
        row = jobs.job(job)
        screen.say(f"Job {told_job(row)} is open. Begin its session with: diag ask --job {job}")
        say_differences(screen, jobs, job)
    return 0


def run_label(job: str, said: Mapping[str, str | None]) -> int:
    """Put down whose heater it is, or show it where nothing is said; return the exit code."""
    screen = Screen()
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        if any(text is not None for text in said.values()):
            jobs.append(row.id, *entry_as_data(label_of(said)))
            say_differences(screen, jobs, row.id)
        show_label(screen, record_of(jobs.entries(row.id)).label)
    return 0


def label_of(said: Mapping[str, str | None]) -> Labelled:
    """Return a label from what was typed; an empty text takes away what was there."""
    return Labelled(
        **{
            name: words(text, name, LONGEST_TEXT if name == "about" else LONGEST_LABEL)
            if text
            else text
            for name, text in said.items()
        }
    )


def show_label(screen: Screen, label: Labelled) -> None:
    """Write what is said of a label, line by line."""
    for name in LABEL_NAMES:
        if text := getattr(label, name):
            screen.item(name, text, width=9)


def unit_of(jobs: Jobs, unit: str | None, label: Labelled, screen: Screen) -> str | None:
    """Return the unit that is named, or known by its tag or serial, or picked; None for none."""
    titles = unit_titles(rule_folders())
    if unit:
        return unit_named(unit, titles)
    if label.tag in titles:
        return label.tag
    for known in (label.tag, label.serial):
        before = jobs.jobs(of_unit=known, count=1) if known else []
        for row in before:
            if (name := record_of(jobs.entries(row.id)).unit) in titles:
                return name
    if not at_keyboard():
        raise WrongUse("name the unit with --unit; `diag units list` shows them")
    source = source_of(screen)
    return pick(screen, source, "Which unit?", titles, lambda text: unit_named(text, titles))


def tagged(unit: str, label: Labelled) -> Labelled:
    """Return a label with the tag that a unit file of the workshop's own gives, if none was said.

    Other unit files are of a class of units.
    """
    own = label.tag is None and unit in unit_titles((user_units(),))
    return (
        Labelled(label.customer, label.vehicle, unit, label.serial, label.about) if own else label
    )


def say_differences(screen: Screen, jobs: Jobs, job: str) -> None:
    """Say where a job's tag, serial or unit is not as an earlier job has it."""
    for told in differences(jobs, job):
        screen.say(told)


def differences(jobs: Jobs, job: str) -> Iterator[str]:
    """Yield a sentence for each way in which a job is at odds with the latest of the same unit."""
    record = record_of(jobs.entries(job))
    tag, serial = record.label.tag or "", record.label.serial or ""
    if tag and tag != record.unit and tag in unit_titles(rule_folders()):
        yield f"There is a unit `{tag}`, and job {job} is about a `{record.unit}`."
    right = "`diag jobs label` puts it right if that is a slip."
    for row, other in _latest(jobs, tag, job, "tag"):
        if other.unit != record.unit:
            yield f"Tag {tag} is a `{other.unit}` in job {row}, and a `{record.unit}` here. {right}"
        if serial and other.label.serial not in (None, "", serial):
            has = other.label.serial
            yield f"Tag {tag} has the serial {has} in job {row}, and {serial} here. {right}"
    for row, other in _latest(jobs, serial, job, "serial"):
        if tag and (other.label.tag or tag).lower() != tag.lower():
            its = other.label.tag
            yield f"Serial {serial} has the tag {its} in job {row}, and {tag} here. {right}"


def _latest(jobs: Jobs, known: str, job: str, by: str) -> Iterator[tuple[str, JobRecord]]:
    """Yield the latest other job with that tag or serial, and what is written in it, if any."""
    for row in jobs.jobs(of_unit=known, count=MOST_LOOKED_AT) if known else ():
        if row.id != job and getattr(row, by).lower() == known.lower():
            yield row.id, record_of(jobs.entries(row.id))
            return
