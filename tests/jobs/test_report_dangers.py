"""What a report says of dangers, of licensed work, and of a heater with nothing wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from diag.jobs.history.told import DangerSeen
from diag.jobs.report.building import report_of
from diag.jobs.report.commissioning.must_hold import must_hold
from diag.jobs.report.document import Boxed, Listed
from diag.jobs.report.material import JobMaterial
from diag.model.rulebook import Value
from diag.rulebook import parse_answer
from tests.dangers import shipped
from tests.jobs.shipped_jobs import material
from tests.jobs.test_report import rows, said, sections

HELD = "Danger: do not use the heater"
OVER = "Dangers that came up, and are over"
QUOTE = "Quote before the work"


def _answer(finding: str, text: str) -> Value:
    return parse_answer(text, shipped.book().findings[finding])


def _with(dangers: tuple[DangerSeen, ...], kind: str = "finished") -> JobMaterial:
    made = material(kind)
    (session,) = made.sessions
    history = replace(made.history, sessions=(replace(session, dangers=dangers),))
    return replace(made, history=history)


EXHAUST = DangerSeen(
    "exhaust inside", "fumes inside", "yes", "2026-11-03T08:40:00+00:00",
    "carbon monoxide in the cabin", _answer("carbon monoxide in the cabin", "0 ppm"),
    "2026-11-03T09:10:00+00:00",
)  # fmt: skip


def test_a_danger_that_is_over_is_told_to_the_owner_with_both_readings() -> None:
    """What raised it, what released it, and whose licence it takes, though the job is done."""
    job, danger = _with((EXHAUST,)), shipped.book().dangers["exhaust inside"]
    found = sections(report_of(job, "owner"), "For the owner")
    assert HELD not in found
    assert OVER in found
    text = said(report_of(job, "owner"))
    assert (
        f"{danger.title}. Told by: fumes inside: yes. "
        "Over since: carbon monoxide in the cabin: 0 ppm."
    ) in text
    assert " ".join(danger.licensed.split()) in text


def test_a_danger_that_holds_again_is_not_told_as_over() -> None:
    """Raised, released and raised again: it holds, whatever was read between."""
    again = replace(EXHAUST, released_by="", released="", released_at="")
    found = sections(report_of(_with((EXHAUST, again)), "owner"), "For the owner")
    assert HELD in found
    assert OVER not in found


@pytest.mark.parametrize("quote", [False, True])
def test_what_a_danger_forbids_is_said_in_whole_sentences(quote: bool) -> None:
    """Owner and quote have the danger first, with what must not happen in the rules' own words."""
    job, book = material("danger"), shipped.book()
    first = report_of(job, "owner", quote=quote).parts[0].sections[0]
    assert HELD == first.title
    (box,) = first.blocks
    assert isinstance(box, Boxed)
    (told,) = [one for one in box.texts if one.startswith("Until then this must not be:")]
    for act in book.dangers["flooded burner"].forbids:
        assert (book.acts[act] in told) is not act.startswith("watched")
    assert told.endswith("Not even under watch.")


def test_while_a_danger_holds_no_start_is_asked_for() -> None:
    """What would tell more of the supply takes a start, so it waits until the danger is over."""
    text = said(report_of(material("danger"), "owner"))
    assert "To check it again, once the danger is over:" in text
    assert "what would tell it, once the danger is over:" in text
    assert "once the danger is over" not in said(report_of(material("finished"), "owner"))


def test_the_owner_reads_which_work_is_for_those_licensed() -> None:
    """What the file has of licensed work for the repair stands in the owner's part, too."""
    licensed = shipped.book().causes["worn battery"].repair.licensed
    assert " ".join(licensed.split()) in said(report_of(material("finished"), "owner"))


def test_of_a_sound_heater_nothing_is_quoted() -> None:
    """Nothing is wrong: no work, no price, and nobody is told not to rely on the heater."""
    text = said(report_of(material("checked over"), quote=True))
    assert "Nothing is suspected that would take work, as far as was read." in text
    assert "not to be relied on" not in text
    assert "Prices are not in the rules" not in text


def test_what_must_hold_is_told_in_numbers_of_the_heater() -> None:
    """10.5 V and 0.04 x 12 V are 10.98 V, and the standby limit 90 mA: nobody has to add them."""
    found = sections(report_of(material("checked over"), "file"), "Commissioning sheet")
    assert [
        "Lights up: yes",
        "Volts at the heater while igniting: 10.98 V or more (class value)",
        "Exhaust after warm-up: clear or steam",
        "Cabin air: clean",
        "Fan after switch-off: runs down",
        "Supply route: straight",
        "Standby amps: 90 mA or less (class value)",
    ] == [row[0] for row in rows(found["What must hold"])]


def test_what_the_rules_no_longer_ask_is_told_as_it_was() -> None:
    """A condition that no proof has any more is not lost, and nothing is made of it."""
    book = shipped.book()
    unit = book.units["small 12 V"]
    assert "Warmth > 3 K" == must_hold(book, unit, "check it over", "warmth > 3 K")
    assert "Warmth > 3 K" == must_hold(book, unit, "no such complaint", "warmth > 3 K")


@pytest.mark.parametrize("part", ["For the owner", "For the file"])
def test_the_reasons_of_a_repair_rest_on_what_was_read_before_it(part: str) -> None:
    """A limit as it was judged after the repair stands in the table, and not among the reasons."""
    made = material("finished")
    (session,) = made.sessions
    after = [
        replace(one, limit=replace(one.limit, good="THE LATER LIMIT")) for one in session.readings
    ]
    readings = tuple(
        new if new.stage else old for old, new in zip(session.readings, after, strict=True)
    )
    history = replace(made.history, sessions=(replace(session, readings=readings),))
    found = sections(report_of(replace(made, history=history)), part)
    title = "How we know" if part == "For the owner" else "Why, and what else it could be"
    lists = [one for one in found[title].blocks if isinstance(one, Listed)]
    assert any("good: 11 V or more" in text for one in lists for text in one.texts)
    assert not any("LATER" in text for one in lists for text in one.texts)


def test_readings_without_a_repair_are_not_called_before_and_after() -> None:
    """A heater that was looked over has readings, and nothing came after them."""
    found = sections(report_of(material("checked over")), "For the file")
    assert "Readings" in found
    assert "Readings, before and after repairs" not in found
