"""What a report says: no more than was read, and nothing that must be known left out."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, timedelta, timezone
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.cli.report.drawings import rows_of
from diag.jobs.entries import PartUsed
from diag.jobs.history.sessions import job_history
from diag.jobs.record import At, record_of
from diag.jobs.report.building import Audience, report_of
from diag.jobs.report.document import Boxed, Grid, Paragraph, Report, ReportSection, SignHere
from diag.jobs.report.markdown import report_markdown
from diag.jobs.report.material import JobMaterial, local_time
from diag.jobs.report.prices import price_of, total
from tests.dangers import shipped
from tests.jobs.demo import LIB_03, demo_stages, drive, opened, store_in, stored
from tests.jobs.shipped_jobs import material


def said(report: Report) -> str:
    """Return all that a report says, on one line, its escapes taken out."""
    text = " ".join(" ".join(report_markdown(report, rows_of)).split())
    return text.replace("\\", "").replace("**", "")


def sections(report: Report, part: str) -> dict[str, ReportSection]:
    """Return the sections of a part by their titles."""
    return {one.title: one for each in report.parts if each.title == part for one in each.sections}


def rows(section: ReportSection) -> list[tuple[str, ...]]:
    """Return the rows of all tables of a section."""
    return [row for one in section.blocks if isinstance(one, Grid) for row in one.rows]


def test_the_owner_reads_what_was_wrong_how_we_know_and_what_to_watch() -> None:
    """LIB-03's owner reads of the battery, of both readings with their limit, and what to do."""
    report = report_of(material("finished"), "owner")
    assert ["For the owner"] == [one.title for one in report.parts]
    found = sections(report, "For the owner")
    assert [
        "How it stands", "What was wrong", "How we know", "What was done", "What to watch",
        "What the supply wiring needs", "Cautions",
    ] == list(found)  # fmt: skip
    text = said(report)
    book = shipped.book()
    for words in (
        "Battery worn out.",
        book.causes["worn battery"].explain,
        book.causes["worn battery"].tell_owner,
        "the repair holds and the complaint is gone",
        "declined by you: an isolator beside the battery: not this year",
        "the battery loses 1.90 V and the wiring 0.30 V",
    ):
        assert " ".join(words.split()).lower() in text.lower()
    changed = ("Volts at the terminals while igniting", "10.6 V", "12.45 V")
    assert changed in [row[:3] for row in rows(found["How we know"])]


def test_the_usual_cautions_stand_for_the_owner_as_the_rules_have_them() -> None:
    """Exhaust, fuel, cooling down and the repaired cause's cautions are there word for word."""
    book = shipped.book()
    text = said(report_of(material("finished"), "owner"))
    wanted = ("exhaust gas", "exhaust end", "let it cool down", "fuel fire")
    for name in (*wanted, *book.causes["worn battery"].cautions):
        assert " ".join(book.cautions[name].split()) in text
    assert "Local rules and the heater's own manual come before" in text


def test_the_file_has_readings_side_by_side_with_limits_and_meters() -> None:
    """Before, after, limit, verdict, and origin in one row; the meter's error beside the value."""
    found = sections(report_of(material("finished"), "file"), "For the file")
    by_name = {row[0]: row for row in rows(found["Readings, before and after repairs"])}
    row = by_name["Volts at the terminals while igniting"]
    assert ("10.6 V", "12.45 V", "11 V or more (class value)") == row[1:4]
    assert ("good; was 0.4 V too low", "measured") == row[4:6]
    assert "class value, memory" in row[6]
    meters = {row[0]: row[1:] for row in rows(found["Meters and their errors"])}
    assert (
        "0.5 % + 0.02 V",
        "10.6 V +/- 0.073 V; 12.45 V +/- 0.082 V",
    ) == meters["Volts at the terminals while igniting"]


def test_the_file_charges_parts_and_minutes_and_leaves_room_to_sign() -> None:
    """142.50 and 9.80 make 152.30 of one currency; 45 and 40 minutes make 85."""
    found = sections(report_of(material("finished"), "file"), "For the file")
    charged = rows(found["Parts and work"])
    assert ("Total of the parts", "", "152.30 EUR") in charged
    assert ("Total of the work", "85 min") in charged
    assert [("DECLINED", "not this year")] == [
        row[2:] for row in rows(found["Offered to the owner"])
    ]
    assert [SignHere] == [type(one) for one in found["Signed"].blocks]
    licensed = shipped.book().causes["worn battery"].repair.licensed
    assert " ".join(licensed.split()) in said(report_of(material("finished"), "file"))


def test_the_file_says_what_was_not_checked() -> None:
    """What was passed over stands with its reason, and what was not asked for is not claimed."""
    found = sections(report_of(material("finished"), "file"), "For the file")
    ((why, names),) = rows(found["Not checked"])
    assert "not sure" == why
    passed = material("finished").sessions[0].passed
    assert set(passed) == set(names.split(", "))
    assert "What was not asked for was not looked at." in said(report_of(material("finished")))


def test_an_open_job_says_so_and_what_comes_next() -> None:
    """The report of a job under way says that it is open, who is suspected, and the next check."""
    job = material("open")
    report = report_of(job)
    assert report.title.endswith(", job still open")
    text = said(report)
    assert "This job is OPEN" in text
    assert "What comes next:" in text
    check = getattr(job.sessions[-1].comes_next, "check", None)
    assert check is not None
    assert " ".join(check.do.split()) in text
    assert "It is not proved yet what is wrong." in text
    assert "Nothing has been repaired." in text
    assert "OPEN" not in said(report_of(material("finished")))


def test_a_job_with_no_session_claims_nothing() -> None:
    """Nothing was looked at, and the report says no more than that."""
    text = said(report_of(material("empty")))
    assert "nothing was looked at" in text
    assert "PASS" not in text


def test_a_danger_that_holds_stands_first_for_the_owner() -> None:
    """Before all else the owner reads what not to do, in a box, with who may release it."""
    first = report_of(material("danger"), "owner").parts[0].sections[0]
    assert "Danger: do not use the heater" == first.title
    (box,) = first.blocks
    assert isinstance(box, Boxed)
    danger = shipped.book().dangers["flooded burner"]
    assert danger.title == box.title
    assert set(danger.do_now) <= set(box.texts)
    assert danger.licensed in box.texts


def test_where_nothing_is_wrong_no_fault_is_put_forward_to_the_owner() -> None:
    """A unit that was checked over and is sound: what is not ruled out is told as no more."""
    text = said(report_of(material("checked over"), "owner"))
    assert "Nothing is wrong, as far as was read." in text
    assert "it may be" not in text
    assert "the supply needs" not in text
    suspects = material("checked over").sessions[0].suspects
    assert bool(suspects) == ("What was read does not rule out:" in text)


def _sheet(job: JobMaterial) -> dict[str, ReportSection]:
    return sections(report_of(job, "file"), "Commissioning sheet")


def test_a_unit_that_was_checked_over_gets_a_commissioning_sheet() -> None:
    """Each condition of the complaint's proof is on the sheet with its reading, all pass."""
    job = material("checked over")
    found = _sheet(job)
    must = rows(found["What must hold"])
    assert len(shipped.book().complaints["check it over"].proof) == len(must)
    assert {"PASS"} == {row[2] for row in must}
    assert "PASS: all that must hold was read, and holds." in said(report_of(job, "file"))
    checked = {row[0].lower() for row in rows(found["Everything that was checked"])}
    assert {one.finding for one in job.sessions[0].readings} == checked
    assert {} == _sheet(material("finished"))
    assert ["For the owner", "Commissioning sheet"] == [
        one.title for one in report_of(job, "owner").parts
    ]


@pytest.mark.parametrize(
    ("stands", "verdict"), [("failed", "FAIL: 1 of 7"), ("unread", "NOT COMPLETE: 1 of 7")]
)
def test_a_sheet_passes_only_where_all_was_read_and_holds(stands: str, verdict: str) -> None:
    """One condition that fails, or was not read, and the sheet does not pass."""
    job = material("checked over")
    (session,) = job.sessions
    proof = (replace(session.proof[0], stands=stands), *session.proof[1:])
    changed = replace(job.history, sessions=(replace(session, proof=proof),))
    text = said(report_of(replace(job, history=changed), "file"))
    assert verdict in text
    assert "PASS: all" not in text


def test_a_quote_names_work_parts_minutes_alternatives_and_cautions() -> None:
    """For each suspect its repair, parts and time; what tells which; its cautions and licence."""
    job, book = material("open"), shipped.book()
    report = report_of(job, quote=True)
    found = sections(report, "Quote before the work")
    offered = {row[0]: row for row in rows(found["What is suspected, and what it takes"])}
    suspects = job.sessions[-1].suspects
    assert [book.causes[one.cause].title for one in suspects] == list(offered)
    repair = book.causes[suspects[0].cause].repair
    row = offered[book.causes[suspects[0].cause].title]
    assert (" ".join(repair.do), ", ".join(repair.parts)) == row[2:4]
    assert f"{repair.minutes:.0f} min" == row[4]
    text = said(report)
    for name in book.causes[suspects[0].cause].cautions:
        assert " ".join(book.cautions[name].split()) in text
    assert "no promise" in text
    assert "To be looked at before parts are bought" in text


@pytest.mark.parametrize(
    ("audience", "parts"),
    [
        ("owner", ["For the owner"]),
        ("file", ["For the file"]),
        ("both", ["For the owner", "For the file"]),
    ],
)
def test_each_reader_gets_the_part_that_is_theirs(audience: Audience, parts: list[str]) -> None:
    """The owner's part, the file's, or both, in that order."""
    assert parts == [one.title for one in report_of(material("finished"), audience).parts]


def test_times_are_those_of_the_wall() -> None:
    """Half past eight in UTC is three in the afternoon where clocks are 6.5 hours ahead."""
    local = local_time(timezone(timedelta(hours=6, minutes=30)))
    assert "2026-11-03 15:01" == local("2026-11-03T08:31:00+00:00")
    assert "yesterday" == local("yesterday")
    job = replace(material("finished"), local=local)
    assert "2026-11-03 15:02" in said(report_of(job))


cents = st.integers(1, 10**7)


@given(st.lists(cents, min_size=1, max_size=8), st.sampled_from(["EUR", "£", "", "chf"]))
def test_a_total_is_the_sum_of_the_cents(several: list[int], currency: str) -> None:
    """However a price is written, with comma or point, before or behind its currency."""
    typed = [
        f"{currency} {one // 100},{one % 100:02d}" if at % 2 else f"{one / 100:.2f} {currency}"
        for at, one in enumerate(several)
    ]
    found = total(typed)
    assert found is not None
    assert Decimal(sum(several)) / 100 == found.number


@pytest.mark.parametrize(
    "typed", ["about 20", "20-30", "1,250", "1.250", "20 EUR + VAT", "-5", "12 V", "x", "20 mAh"]
)
def test_what_is_no_price_is_never_summed(typed: str) -> None:
    """A text, a range, a mark that may be thousands, and an amount of something else."""
    assert price_of(typed) is None
    assert total(["5.00 EUR", typed]) is None


def test_prices_of_two_currencies_have_no_total() -> None:
    """Euros and pounds are not added, and the report says that there is no total."""
    assert total(["5 EUR", "6 GBP"]) is None
    job = material("finished")
    parts = tuple(At("", PartUsed(name, price)) for name, price in (("a", "5 EUR"), ("b", "6 £")))
    record = replace(job.record, parts=parts)
    assert "No total: not every price" in said(report_of(replace(job, record=record), "file"))


def test_each_session_of_a_job_is_told_with_its_own_before_and_after(tmp_path: Path) -> None:
    """Of two sessions, one open and one done, each has its readings below its own name."""
    store, book = store_in(tmp_path), shipped.book()
    jobs, job = opened(store, LIB_03, "dies")
    names = [drive(store, book, demo_stages(book), job, most) for most in (18, 200)]
    history = job_history(book, stored(store, jobs, job))
    both = JobMaterial(job, record_of(jobs.entries(job)), history, book, local_time(UTC))
    found = sections(report_of(both), "For the file")["Readings, before and after repairs"]
    leads = [one.text for one in found.blocks if isinstance(one, Paragraph)]
    assert [True, True] == [
        lead.startswith(f"Session {name},") for name, lead in zip(names, leads, strict=True)
    ]
    heads = [one.head[1:3] for one in found.blocks if isinstance(one, Grid)]
    assert [("Found", "Good is"), ("Found", "Good is")] == heads[:2]
    assert [("Before", "After"), ("Before", "After")] == heads[2:]
