"""The supply for whoever inspects it: limits beside readings, sums, and the quote."""

from __future__ import annotations

from diag.jobs.report.building import report_of
from diag.jobs.report.document import Grid
from diag.jobs.report.material import JobMaterial
from tests.jobs.shipped_jobs import material
from tests.jobs.test_report import said, sections
from tests.jobs.test_supply import DOUBTED, GOOD, NEEDS, THIN, job


def _rows(made: JobMaterial, part: str, title: str) -> dict[str, tuple[str, ...]]:
    blocks = sections(report_of(made), part)[title].blocks
    return {row[0]: row[1:] for one in blocks if isinstance(one, Grid) for row in one.rows}


def test_the_sheet_has_the_limits_of_the_supply_beside_the_readings() -> None:
    """Each reading of the supply stands beside what is good, with its verdict and its source."""
    rows = _rows(job(GOOD), "Commissioning sheet", "The supply, and its limits")
    assert ("11.90 V", "11 V or more", "good") == rows["At the heater's connector, igniting"][:3]
    assert (
        "low-voltage cut-off 10.5 V (class value)" in rows["At the heater's connector, igniting"][3]
    )
    assert ("0.30 V at 8.6 A, 35 mohm", "0.72 V or less", "good") == rows[
        "Both cables with their joints"
    ][:3]
    assert ("15 A", "11.4 A to 32 A", "good") == rows["Fuse"][:3]
    assert ("3 m one way as measured, 4 mm2 as measured", "2.5 mm2 or more", "good") == rows[
        "Supply cable"
    ][:3]
    assert ("12.70 V", "12.3 V or more", "good") == rows["Battery at rest, for a start"][:3]
    assert ("not read", "0.36 V or less", "") == rows["Positive cable, with fuse and joints"][:3]


def test_on_the_sheet_what_does_not_keep_its_limit_stands_out() -> None:
    """The thin cable, what it loses and what it leaves the heater are not good, and in bold."""
    blocks = sections(report_of(job(THIN)), "Commissioning sheet")
    (table,) = [one for one in blocks["The supply, and its limits"].blocks if isinstance(one, Grid)]
    bad = {row[0] for at, row in enumerate(table.rows) if at in table.strong}
    assert {
        "At the heater's connector, igniting",
        "Both cables with their joints",
        "Supply cable",
    } == bad


def test_on_the_sheet_a_cable_in_doubt_has_no_verdict() -> None:
    """What was lost is less than the cable of the file would take: it is neither good nor bad."""
    rows = _rows(job(DOUBTED, unit="LIB-03"), "For the file", "Sums on the supply")
    found, good, verdict, _ = rows["Supply cable"]
    assert "in doubt" in found
    assert ("4 mm2 or more", "") == (good, verdict)


def test_the_file_has_every_sum_with_its_formula_and_its_source() -> None:
    """12.2 V less 10.2 V are 2 V by Kirchhoff's law, and over 8.6 A 0.233 ohm by Ohm's."""
    rows = _rows(job(THIN), "For the file", "Sums on the supply")
    assert ("As found", "2.000 V +/- 0.028", "12.2 V - 10.2 V", "Kirchhoff's voltage law") == rows[
        "Lost, both cables with their joints"
    ]
    assert "2.00 V / 8.6 A" == rows["Resistance, both cables with their joints"][2]
    assert "IEC 60228:2004" in rows["Lost, the copper by itself"][3]


def test_a_quote_has_the_cable_where_the_supply_is_suspected() -> None:
    """A suspected worn battery or thin cable: the size of the cable is needed for the price."""
    told = sections(report_of(material("open"), quote=True), "Quote before the work")
    assert NEEDS in told
    text = said(report_of(material("open"), quote=True))
    assert "copper of 4 mm2 or more" in text
    assert NEEDS not in sections(report_of(job(GOOD), quote=True), "Quote before the work")
    assert NEEDS in sections(report_of(job(THIN), quote=True), "Quote before the work")
