"""Who else might hold the session: greedy, repairs only, and the printed sheet's order.

They begin as a session does, heed dangers and prove repairs as it does; only what is looked at or
repaired next is theirs.
"""

from __future__ import annotations

from collections.abc import Callable

from diag.reason.plan.costs import opened_by
from diag.reason.plan.decision_problem import NOTHING, UNKNOWN, Outlook, build_problem
from diag.reason.plan.rollout import by_gain_per_cost, by_repairs
from diag.reason.plan.state import STOP_ACT, Model
from diag.reason.plan.verdict import leading
from diag.session.candidates import candidate_checks, open_findings
from diag.session.next_prompt import next_prompt
from diag.session.offer.looks import first_looks
from diag.session.prompt import AskFinding, Closing, Prompt, ProposeRepair
from diag.session.proof.ending import ending
from diag.session.state import SessionState
from tests.bench.worked.policies import sheet_order

Act = tuple[str, str]


def _problem(state: SessionState, look: bool = True) -> Model:
    offers = candidate_checks(state) if look else ()
    opened = opened_by(state.rulebook, state.done_checks)
    done = frozenset(repair.cause for repair in state.repairs)
    outlook = Outlook(
        state.rulebook, state.belief, offers, opened, done, proof_failed=state.proof_failed
    )
    return Model(build_problem(outlook))


def _public(model: Model, act: int) -> Act:
    if act == STOP_ACT:
        return ("stop", "")
    found = model.public(act)
    return (found.kind.value, found.name)


def _sure(state: SessionState) -> Act | None:
    name, share = leading(state.posterior)
    if share >= state.rulebook.scales.settings.found_at and name != UNKNOWN:
        return ("repair", name)
    return None


def greedy(state: SessionState) -> Act:
    """Do the check of most bits a minute until one is sure enough; then repair that."""
    sure = _sure(state)
    if sure:
        return sure
    model = _problem(state)
    return _public(model, by_gain_per_cost(model, model.root))


def repairs_only(state: SessionState) -> Act:
    """Repair by probability over cost, and never look."""
    model = _problem(state, look=False)
    return _public(model, by_repairs(model, model.root))


def by_the_sheet(state: SessionState) -> Act:
    """Go down the printed sheet in its order until one is sure enough."""
    sure = _sure(state)
    if sure:
        return sure
    telling = {offer.check.id for offer in candidate_checks(state)}
    for name in sheet_order(state.rulebook.hash, state.complaint):
        if name in telling:
            return ("check", name)
    return repairs_only(state)


def _deciding(policy: Callable[[SessionState], Act]) -> Callable[[SessionState], Prompt]:
    def decide(state: SessionState) -> Prompt:
        under_way = state.check and open_findings(state, state.rulebook.checks[state.check])
        given = state.dangers.held or state.dangers.unheeded or state.in_proof or state.proved
        if given or under_way or next(first_looks(state), None) is not None:
            return next_prompt(state)
        kind, name = policy(state)
        if kind == "check":
            check = state.rulebook.checks[name]
            findings = open_findings(state, check)
            return AskFinding(findings[0], check, True, "")
        if kind == "repair" and name not in (NOTHING, UNKNOWN):
            return ProposeRepair(state.rulebook.causes[name], 0.0, False)
        return Closing(ending(state, "nothing wrong" if name == NOTHING else "not in the rulebook"))

    return decide


RIVALS: dict[str, Callable[[SessionState], Prompt]] = {
    "session": next_prompt,
    "greedy": _deciding(greedy),
    "repairs": _deciding(repairs_only),
    "sheet": _deciding(by_the_sheet),
}
