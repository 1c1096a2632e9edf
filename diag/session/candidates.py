"""The checks that can be done now, and what of each is still to be asked."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence

from diag.model.rulebook import Check, Finding
from diag.reason.belief.evidence import together
from diag.reason.chain.sufficiency import SufficientSets
from diag.reason.plan.decision_problem import CandidateCheck
from diag.session.offer.rounds import deciding, shares, sharing, taken_together
from diag.session.proof.run import shown_unsound
from diag.session.state import SessionState

NO_NAMES: frozenset[str] = frozenset()


def allowed(state: SessionState, check: Check | None) -> bool:
    """Tell whether no danger that holds forbids what a check does."""
    return check is None or state.dangers.forbidden.isdisjoint(check.acts)


def readable(state: SessionState, check: Check | None, finding: str) -> bool:
    """Tell whether a finding is within reach, and its check not forbidden."""
    return allowed(state, check) and finding not in state.reach.out


def candidate_checks(state: SessionState, held_back: bool = False) -> tuple[CandidateCheck, ...]:
    """Return the checks that can be done now and would decide at least one sign.

    Those that are held back are among them in a danger alone, and only where that is wanted. Where
    nothing seemed wrong and the complaint went on, what tells of the complaint is left. A long wait
    is offered where nothing else is left.
    """
    found = []
    chain = state.chain.copy()
    for finding in state.renewable:
        chain.withdraw(finding)
    sufficient = SufficientSets(chain, state.compiled.rules, state.rulebook.signs)
    trust, known = state.rulebook.scales.reliability, state.rulebook.findings
    for check in state.rulebook.checks.values():
        findings = open_findings(state, check)
        if not findings or not can_be_done(state, check) or not allowed(state, check):
            continue
        if check.held_back and not (held_back and state.dangers.held):
            continue
        found.append((check, findings))
    offers = []
    for check, brought in taken_together(state, found):
        signs = {
            sign: together(trust[state.reach.how(known[name])] for name in need or brought)
            for sign, need in sufficient.settled_by(brought).items()
        }
        if signs:
            offers.append(CandidateCheck(check, tuple(sorted(brought)), signs))
    longest = state.rulebook.scales.settings.longest_wait_minutes
    soon = tuple(one for one in offers if one.check.waits <= longest) or tuple(offers)
    return _of_the_complaint(state, soon) if shown_unsound(state) else soon


def _of_the_complaint(
    state: SessionState, offered: Sequence[CandidateCheck]
) -> tuple[CandidateCheck, ...]:
    """Return the checks that tell of the causes which bring the complaint; all, in a danger."""
    if state.dangers.held:
        return tuple(offered)
    links = state.compiled.links
    own = {at for at, listed in enumerate(links.complaints) if listed.keys() & state.complaints}
    telling = {table.sign for table in links.tables if own.intersection(table.given)}
    return tuple(one for one in offered if telling.intersection(one.signs))


def open_findings(state: SessionState, check: Check) -> tuple[Finding, ...]:
    """Return the findings of a check that can still be asked, or asked anew, in order.

    One that makes sense only after another answer is among them where the same act, or another in
    the run that it shares, brings that answer.
    """
    renewable = state.renewable
    able = tuple(
        finding
        for finding in (state.rulebook.findings[name] for name in check.yields)
        if (finding.id not in state.readings or finding.id in renewable)
        and finding.id not in state.passed
        and state.reach.reads(check, finding.id)
    )
    if all(finding.asked_when is None for finding in able):
        return able
    beside = _brought_with(state, check)
    return tuple(one for one in able if _comes_to_make_sense(state, one, beside))


def due(
    state: SessionState, findings: Iterable[Finding], wanted: Container[str] | None = None
) -> tuple[Finding, ...]:
    """Return the findings that make sense now: what is not decided yet waits for what decides.

    What hangs on what was passed over, on what the unit's data do not say, or on what makes no
    sense itself, is not among them. Where `wanted` is given, only those in it.
    """
    able = [one for one in findings if wanted is None or one.id in wanted]
    return tuple(one for one in able if _makes_sense(state, one))


def _makes_sense(state: SessionState, finding: Finding) -> bool | None:
    return finding.asked_when is None or state.chain.truth(finding.asked_when)


def _comes_to_make_sense(
    state: SessionState, finding: Finding, beside: frozenset[str], above: frozenset[str] = NO_NAMES
) -> bool:
    """Tell whether a finding makes sense now, or may once what is read `beside` it is known."""
    now = _makes_sense(state, finding)
    if now is not None or finding.asked_when is None:
        return bool(now)
    above = above | {finding.id}
    findings = state.rulebook.findings
    return any(
        _comes_to_make_sense(state, findings[name], beside, above)
        for name in deciding(state, finding) & beside - above
    )


def _brought_with(state: SessionState, check: Check) -> frozenset[str]:
    """Return what a check brings that was not passed over, with all in the run that it shares."""
    acts = [check]
    if shares(state, check):
        acts += [one for one in sharing(state, check.run) if may_be_done(state, one)]
    names = {name for one in acts for name in one.yields if state.reach.reads(one, name)}
    return frozenset(names - state.passed.keys())


def may_be_done(state: SessionState, check: Check) -> bool:
    """Tell whether a check may be made now: it is not ruled out, forbidden or held back."""
    return not check.held_back and can_be_done(state, check) and allowed(state, check)


def can_be_done(state: SessionState, check: Check) -> bool:
    """Tell whether nothing known rules a check out."""
    if check.possible_when is None:
        return True
    return state.chain.truth(check.possible_when) is not False


def check_of(state: SessionState, finding: str) -> Check | None:
    """Return a check that yields a finding: one within reach that is allowed, then the one under
    way, then one done already, then the quickest."""
    able = [one for one in state.rulebook.checks.values() if finding in one.yields]
    return min(able, key=lambda one: _rank(state, one, finding), default=None)


def _rank(state: SessionState, check: Check, finding: str) -> tuple[bool | float, ...]:
    begun, far = check.id in state.done_checks, not state.reach.reads(check, finding)
    new = check.id != state.check
    return (far, not allowed(state, check), check.held_back, new, not begun, check.minutes)
