"""`diag jobs calibration`: how often verdicts were right, drawn and scored."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from typing import Any

from diag.cli.book import load_book
from diag.cli.stored import open_store
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.jobs.learning.calibration import SURE_AT, Bin, Brier, Calibration, calibration
from diag.jobs.learning.summary import rebuild
from diag.store.outcomes import Outcomes

DRAWN = 40
"""Letters of the scale from 0 to 100 %."""
FEW = 10
"""Of fewer verdicts than this a share tells little."""


def run_calibration(as_json: bool = False, plain: bool = False) -> int:
    """Print how sure verdicts were and how often they were right; change no file."""
    book, screen = load_book(), Screen(plain=plain)
    with closing(open_store()) as store:
        with progress("Going through the sessions", plain) as step:
            rebuild(store, book, step=step)
        found = calibration(Outcomes(store).verdicts())
    if as_json:
        print(json.dumps(_as_data(found), indent=2, ensure_ascii=False))
        return 0
    if found.brier is None:
        screen.say("No verdict of a job was put to the proof yet: there is nothing to judge.")
        return 0
    _say(screen, found, found.brier)
    return 0


def _say(screen: Screen, found: Calibration, score: Brier) -> None:
    """Say how often verdicts at 90 % were right first, then bin by bin, then the score."""
    if found.sure is None:
        screen.say(f"No verdict was held to be {100 * SURE_AT:.0f} % sure yet.")
    else:
        screen.say(_told_sure(found.sure), bold=True)
    screen.heading("Said, and how often it was right")
    if screen.draws and screen.width > DRAWN + 30:
        screen.lines(drawn(found))
    else:
        screen.table(_rows(found))
    screen.heading(f"Brier score: {score.score:.3f}, of {found.judged} verdicts")
    screen.say("0 is best; 0.25 is what one gets who always says 50 %.")
    screen.item("reliability", f"{score.reliability:.3f}, the less the better", width=12)
    screen.item("resolution", f"{score.resolution:.3f}, the more the better", width=12)
    screen.item("uncertainty", f"{score.uncertainty:.3f}, of what came in", width=12)
    screen.item("within bins", f"{score.within:+.3f}", width=12)
    screen.say("The score is reliability - resolution + uncertainty + within bins.")
    if found.open:
        screen.say(f"Not judged: {found.open} whose proof was not read whole.")


def _told_sure(sure: Bin) -> str:
    low, high = sure.interval
    few = ": few, so take it with care" if sure.count < FEW else ""
    return (
        f"Of {sure.count} verdicts at {100 * SURE_AT:.0f} % or more, said {100 * sure.said:.0f} % "
        f"on average, {sure.right} were right: {100 * sure.was:.0f} %, with 95 % between "
        f"{100 * low:.0f} and {100 * high:.0f} %{few}."
    )


def drawn(found: Calibration) -> Iterator[str]:
    """Yield the reliability diagram: a line a bin, with what was said and what was right.

    Laid out for 70 columns.
    """
    yield f"{'said':>12}  {'right':<8}0 %{'100 %':>{DRAWN - 3}}"
    for one in found.bins:
        low, high = (round(DRAWN * end) for end in one.interval)
        row = [" "] * (DRAWN + 1)
        row[low : high + 1] = "-" * (high + 1 - low)
        row[round(DRAWN * one.said)] = "|"
        row[round(DRAWN * one.was)] = "*"
        counts = f"{one.right}/{one.count}"
        yield f"{_ends(one):>12}  {counts:<8}{''.join(row)}".rstrip()
    yield "| said, * right, - where the truth is, 95 % sure; * on | is well judged"


def _rows(found: Calibration) -> Iterator[tuple[str, ...]]:
    yield ("said", "on average", "right", "of", "95 % between")
    for one in found.bins:
        low, high = one.interval
        ends = f"{100 * low:.0f} and {100 * high:.0f} %"
        yield _ends(one), f"{100 * one.said:.0f} %", str(one.right), str(one.count), ends


def _ends(one: Bin) -> str:
    return f"{100 * one.low:.0f}-{100 * one.high:.0f} %"


def _as_data(found: Calibration) -> dict[str, Any]:
    return {
        "judged": found.judged,
        "not_judged": found.open,
        "sure": None if found.sure is None else _bin_data(found.sure),
        "bins": [_bin_data(one) for one in found.bins],
        "brier": None
        if found.brier is None
        else {
            "score": round(found.brier.score, 6),
            "reliability": round(found.brier.reliability, 6),
            "resolution": round(found.brier.resolution, 6),
            "uncertainty": round(found.brier.uncertainty, 6),
            "within_bins": round(found.brier.within, 6),
        },
    }


def _bin_data(one: Bin) -> dict[str, Any]:
    return {
        "from": one.low,
        "to": one.high,
        "verdicts": one.count,
        "said": round(one.said, 6),
        "right": one.right,
        "interval": [round(end, 6) for end in one.interval],
    }
