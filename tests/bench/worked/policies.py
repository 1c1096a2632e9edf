"""The policies that are set side by side: which act each does in a situation at the bench."""

from __future__ import annotations

from functools import cache

from diag.authoring.sequence.sheet import fault_sheet
from diag.cli.book import load_book
from diag.reason.plan import DecisionProblem
from diag.reason.plan.choose import choose
from diag.reason.plan.decision_problem import NOTHING, UNKNOWN, Outlook, build_problem
from diag.reason.plan.rollout import by_gain_per_cost, by_repairs
from diag.reason.plan.state import STOP_ACT, Model
from diag.reason.plan.verdict import leading, verdict
from tests.bench.worked.units import HAND_OVER, Act, Policy, Situation, Workshop


def as_a_session(shop: Workshop, stands: Situation) -> Act:
    """Do what a session does: plan, and repair when it says so."""
    posterior, failed = stands.posterior(), stands.failed
    choice = choose(_outlook(shop, stands))
    now = verdict(posterior, choice, shop.rulebook.scales.settings, (), failed)
    if now.kind in ("nothing-wrong", "run again"):
        return ("repair", NOTHING)
    return (HAND_OVER, "") if now.kind == "unknown" else (now.kind, now.name)


def by_gain_then_repair(shop: Workshop, stands: Situation) -> Act:
    """Do the check of most bits a minute until the likeliest is sure enough; then repair that."""
    posterior = stands.posterior()
    name, share = leading(posterior)
    if share >= shop.settings.found_at and name != UNKNOWN:
        return ("repair", name)
    model = Model(_problem(shop, stands))
    act = by_gain_per_cost(model, model.root)
    return _act(model, act)


def by_repairs_only(shop: Workshop, stands: Situation) -> Act:
    """Repair by probability over cost, and never look."""
    model = Model(_problem(shop, stands, look=False))
    return _act(model, by_repairs(model, model.root))


@cache
def sheet_order(rulebook_hash: str, complaint: str) -> tuple[str, ...]:
    """Return the checks of the printed sheet from top to bottom, whatever each shows."""
    book = load_book()
    sheet = fault_sheet(book, next(iter(book.units.values())), complaint)
    return tuple(step.check.id for step in (*sheet.first, *sheet.steps))


def by_the_sheet(shop: Workshop, stands: Situation) -> Act:
    """Go down the sheet in its fixed order until one is sure enough, and repair that.

    Checks that can tell nothing more are passed over; past the end, repair by probability over
    cost.
    """
    name, share = leading(stands.posterior())
    if share >= shop.settings.found_at and name != UNKNOWN:
        return ("repair", name)
    telling = {check.name for check in _problem(shop, stands).checks}
    for check in sheet_order(shop.rulebook.hash, stands.belief.complaint):
        if check in telling:
            return ("check", check)
    return by_repairs_only(shop, stands)


def _problem(shop: Workshop, stands: Situation, look: bool = True) -> DecisionProblem:
    return build_problem(_outlook(shop, stands, look))


def _outlook(shop: Workshop, stands: Situation, look: bool = True) -> Outlook:
    offers = tuple(shop.offers(stands)) if look else ()
    return Outlook(
        shop.rulebook, stands.belief, offers, stands.opened, stands.repaired, stands.failed
    )


def _act(model: Model, act: int) -> Act:
    if act == STOP_ACT:
        return (HAND_OVER, "")
    found = model.public(act)
    return (found.kind.value, found.name)


POLICIES: dict[str, Policy] = {
    "session": as_a_session,
    "greedy": by_gain_then_repair,
    "repairs": by_repairs_only,
    "fixed order": by_the_sheet,
}
