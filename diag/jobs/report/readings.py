"""What was read in a job, for the file: side by side, with limits, meters and pictures."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.history.told import SessionHistory, Taken
from diag.jobs.pictures.drawn import TITLES, JobPicture, percent_of
from diag.jobs.pictures.read import belief_path
from diag.jobs.report.document import Block, Grid, Paragraph, Shown, grid
from diag.jobs.report.material import (
    JUDGED,
    JobMaterial,
    finding_titled,
    session_named,
)
from diag.jobs.report.owner import before_and_after
from diag.session.result import shown

NOTHING, UNKNOWN = "nothing wrong", "not in the rules"


def side_by_side(material: JobMaterial) -> Iterator[Block]:
    """Yield what was measured, then what was seen and told, each as a table side by side."""
    for session in material.sessions:
        if lead := session_named(session, material):
            yield Paragraph(lead, strong=True)
        several = list(before_and_after(session))
        for measured in (True, False):
            mine = [one for one in several if isinstance(_last(one).value, str) is not measured]
            found = "Before" if session.repairs else "Found"
            head = ("Measured" if measured else "Seen or told", found, "After", "Good is")
            made = grid((*head, "Verdict", "How", "Limit from"), [_row(*one) for one in mine])
            bad = [_last(one).limit.is_good is False for one in mine]
            strong = frozenset(
                at for at, one in enumerate(mine) if bad[at] and _is_left(session, one)
            )
            if made is not None:
                yield Grid(made.head, made.rows, strong)


Before = tuple[str, Taken | None, Taken | None]


def _last(one: Before) -> Taken:
    last = one[2] or one[1]
    assert last is not None
    return last


def _is_left(session: SessionHistory, one: Before) -> bool:
    """Tell whether a reading says how the unit was left: it is the last there is of it."""
    return one[2] is not None or not session.repairs


def _row(name: str, before: Taken | None, after: Taken | None) -> tuple[str, ...]:
    last = _last((name, before, after))
    return (
        finding_titled(name),
        shown(before.value) if before else "",
        shown(after.value) if after else "",
        last.limit.good,
        _verdict(before, after),
        last.how,
        last.limit.origin,
    )


def _verdict(before: Taken | None, after: Taken | None) -> str:
    """Say how the last reading is judged, and how the one before was where that was not good."""
    last = after or before
    assert last is not None
    said = [" ".join(filter(None, (JUDGED[last.limit.is_good], last.limit.missed)))]
    if after and before and before.limit.is_good is False:
        said.append(f"was {before.limit.missed or 'not good'}")
    return "; ".join(filter(None, said))


def meters(material: JobMaterial) -> Iterator[Block]:
    rows = []
    for session in material.sessions:
        for name, (fraction, fixed) in session.unit.instrument_errors.items():
            mine = [one for one in session.readings if one.finding == name and one.meter]
            if mine:
                at = "; ".join(f"{shown(one.value)} +/- {one.meter}" for one in mine)
                rows.append((finding_titled(name), f"{100 * fraction:g} % + {fixed}", at))
    yield grid(("Reading", "The meter may be out by", "So"), rows) or Paragraph(
        "No error is stated for the meters used."
    )
    unstated = dict.fromkeys(
        one.finding
        for session in material.sessions
        for one in session.readings
        if one.how == "measured" and not one.meter
    )
    if rows and unstated:
        yield Paragraph(f"No error is stated for: {', '.join(unstated)}.")


def pictures(material: JobMaterial) -> Iterator[Block]:
    """Yield pictures of one kind side by side: as found, and after each repair."""
    for session in material.sessions:
        for kind, title in TITLES.items():
            mine = [(stage, one) for stage, one in session.pictures if isinstance(one, kind)]
            if mine:
                yield Shown(title, tuple((_stage(stage), one) for stage, one in mine))
        path = _path(session, material)
        if path is not None:
            yield Shown(TITLES[type(path)], ((session_named(session, material), path),))


def _stage(stage: int) -> str:
    return "As found" if not stage else f"After repair {stage}"


def _path(session: SessionHistory, material: JobMaterial) -> JobPicture | None:
    """Return belief up to the first repair: after it, what was repaired is another question."""
    causes = material.book.causes
    steps = []
    for one in session.beliefs:
        if one.repaired:
            break
        shares = {causes[name].title: share for name, share in one.shares.items()}
        steps.append((one.after, {**shares, NOTHING: one.nothing, UNKNOWN: one.unknown}))
    return belief_path(steps)


def readings_in_order(material: JobMaterial) -> Iterator[Block]:
    for session in material.sessions:
        if lead := session_named(session, material):
            yield Paragraph(lead, strong=True)
        rows = [
            (
                material.local(one.at),
                _stage(one.stage),
                finding_titled(one.finding),
                shown(one.value),
                one.how,
                one.check,
            )
            for one in session.readings
        ]
        table = grid(("When", "Stage", "What", "Reading", "How", "In the check"), rows)
        if table is not None:
            yield table


def beliefs(material: JobMaterial) -> Iterator[Block]:
    causes = material.book.causes
    for session in material.sessions:
        rows = []
        for number, one in enumerate(session.beliefs, 1):
            known = [(causes[name].title, share) for name, share in one.shares.items()]
            known += [(NOTHING, one.nothing), (UNKNOWN, one.unknown)]
            first, second = sorted(known, key=lambda each: -each[1])[:2]
            told = [f"{name} {percent_of(share)}" for name, share in (first, second)]
            rows.append((str(number), one.after, *told))
        table = grid(("No.", "After", "Likeliest", "Next"), rows)
        if table is not None:
            yield table
