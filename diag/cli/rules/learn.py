"""`diag rules learn`: the record beside the rules, for whoever writes them; it changes no file."""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import closing
from typing import Any

from diag.cli.book import find_complaint, find_unit, load_book
from diag.cli.guard import WrongUse
from diag.cli.stored import open_store
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.jobs.learning.link_suggestions import LinkSuggestion, links_seen
from diag.jobs.learning.shares import LearnedShare, LearnedShares, learned_shares
from diag.jobs.learning.summary import rebuild
from diag.model.rulebook import Rulebook
from diag.store.outcomes import Outcomes

MOST_CAUSES = 10


def run_learn(complaint: str | None, unit: str | None, as_json: bool, plain: bool) -> int:
    """Print what proved repairs say of the shares of causes, and of what causes show."""
    book, screen = load_book(), Screen(plain=plain)
    wanted = [find_complaint(book, complaint)] if complaint else list(book.complaints)
    of_unit = find_unit(book, unit).id if unit else ""
    with closing(open_store()) as store:
        with progress("Going through the sessions", plain) as step:
            _, left_out = rebuild(store, book, step=step)
        record = Outcomes(store)
        shares = [learned_shares(book, one, record.proved(one), of_unit) for one in wanted]
        links = list(links_seen(book, record.seen()))
    told = [one for one in shares if one.repairs]
    if as_json:
        print(json.dumps(_as_data(book, told, links, left_out), indent=2, ensure_ascii=False))
        return 0
    if not told and complaint:
        raise WrongUse(f"no repair of `{wanted[0]}` is proved in the record yet")
    if not told:
        screen.say("No repair of a job is proved in the record yet: there is nothing to learn.")
    for one in told:
        _say_shares(screen, book, one)
    _say_links(screen, links)
    if left_out:
        screen.say(
            f"Left out: sessions of units or complaints that are not in the rules: {left_out}."
        )
    if told:
        screen.say("No file is changed: what to write is for whoever writes the rules to say.")
    return 0


def _say_shares(screen: Screen, book: Rulebook, found: LearnedShares) -> None:
    strength = book.scales.settings.record_strength
    of_unit = "" if found.of_unit is None else f", {found.of_unit} of them on this unit"
    screen.heading(f"{found.complaint}: {_repairs(found.repairs)}{of_unit}")
    rows = [
        (
            one.cause, _percent(one.rules), f"{one.repairs}", _percent(one.here.mean),
            _range(one.here.interval()), "" if one.here.holds(one.rules) else "outside",
        )
        for one in _foremost(found.shares)
    ]  # fmt: skip
    screen.table([("cause", "rules", "proved", "both", "95 %", ""), *rows])
    screen.say(f"The shares in the rules count as {strength:g} repairs (`record strength`).")


def _foremost(shares: Iterable[LearnedShare]) -> list[LearnedShare]:
    """Return the causes that were proved, and those that lead by both, the likeliest first."""
    ordered = sorted(shares, key=lambda one: (-one.here.mean, one.cause))
    return [one for at, one in enumerate(ordered) if one.repairs or at < MOST_CAUSES]


def _say_links(screen: Screen, links: list[LinkSuggestion]) -> None:
    outside = [one for one in links if one.is_outside]
    if not outside:
        return
    screen.heading("What causes show: where the record lies outside the rules")
    rows = [
        (
            f"{one.cause} shows", f"{one.times} of {one.looks}", _range(one.here.interval()),
            _percent(one.rules), one.word, f"{one.sign}: {one.state}",
        )
        for one in outside
    ]  # fmt: skip
    screen.table([("", "seen", "95 %", "rules", "nearest word", ""), *rows])
    screen.say(
        f"Of {len(links)} that were looked at often enough; one in twenty lies outside by chance. "
        "What was looked at was chosen by the rules."
    )


def _as_data(
    book: Rulebook, shares: list[LearnedShares], links: list[LinkSuggestion], left_out: int
) -> dict[str, Any]:
    return {
        "rulebook": book.hash,
        "record_strength": book.scales.settings.record_strength,
        "left_out": left_out,
        "complaints": [
            {
                "complaint": one.complaint,
                "repairs": one.repairs,
                "repairs_of_the_unit": one.of_unit,
                "causes": [_share_data(each) for each in _foremost(one.shares)],
            }
            for one in shares
        ],
        "links": [
            {
                "cause": one.cause, "sign": one.sign, "state": one.state, "times": one.times,
                "looks": one.looks, "rules": round(one.rules, 6), "here": round(one.here.mean, 6),
                "interval": [round(end, 6) for end in one.here.interval()],
                "nearest_word": one.word,
            }
            for one in links
            if one.is_outside
        ],
    }  # fmt: skip


def _share_data(one: LearnedShare) -> dict[str, Any]:
    return {
        "cause": one.cause,
        "rules": round(one.rules, 6),
        "repairs": one.repairs,
        "here": round(one.here.mean, 6),
        "interval": [round(end, 6) for end in one.here.interval()],
    }


def _repairs(count: int) -> str:
    return f"{count} proved repair{'' if count == 1 else 's'}"


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def _range(ends: tuple[float, float]) -> str:
    return f"{100 * ends[0]:.1f} to {100 * ends[1]:.1f} %"
