"""Checks that share a run, taken together: one round with all that can be read in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from diag.model.rulebook import Check, Finding
from diag.reason.plan.costs import as_one
from diag.session.state import SessionState

LEAST_SHARE = 0.02
"""Share from which on a cause is likely enough for its readings to join a round."""

Opening = tuple[Check, tuple[Finding, ...]]
"""A check with what of it can still be read."""


def taken_together(
    state: SessionState, able: Iterable[Opening]
) -> Iterator[tuple[Check, frozenset[str]]]:
    """Yield checks with the findings that they bring; those of one run as one, the run paid once.

    What shares a run joins it where it tells of a cause that is likely.
    """
    runs: dict[str, list[Opening]] = {}
    for check, findings in able:
        if shares(state, check):
            runs.setdefault(check.run, []).append((check, findings))
        else:
            yield check, frozenset(one.id for one in findings)
    for run, openings in runs.items():
        joined = joining(state, openings) if len(openings) > 1 else openings
        for check, findings in openings:
            if len(joined) < 2 or (check, findings) not in joined:
                yield check, frozenset(one.id for one in findings)
        if len(joined) > 1:
            first = [check for _, check in in_sequence(state, run, joined)]
            checks = tuple(dict.fromkeys(one.id for one in first))
            whole = as_one(state.rulebook, [state.rulebook.checks[name] for name in checks])
            yield whole, frozenset(one.id for _, findings in joined for one in findings)


def shares(state: SessionState, check: Check) -> bool:
    """Tell whether a check is taken together with others; the cheap first looks are made alone."""
    first = () if state.repairs else intake_of(state)
    return bool(check.run) and check.id not in first


def sharing(state: SessionState, run: str) -> list[Check]:
    """Return the checks that are taken together in a run."""
    return [one for one in state.rulebook.checks.values() if one.run == run and shares(state, one)]


def intake_of(state: SessionState) -> tuple[str, ...]:
    """Return the cheap checks with which the complaints want to begin, each once."""
    book = state.rulebook
    known = [book.complaints[one] for one in state.complaints if one in book.complaints]
    looks = [name for complaint in known for name in complaint.intake]
    return tuple(dict.fromkeys(looks))


def joining(
    state: SessionState, openings: Sequence[Opening], begun: Sequence[Finding] = ()
) -> list[Opening]:
    """Return what tells of a cause that is likely now, and what decides whether that, or what is
    `begun`, makes sense."""
    index, of_cause = state.start.links.cause_index, state.compiled.telling.of_cause
    likely = [name for name, share in state.posterior.ranking if share >= LEAST_SHARE]
    telling = frozenset[str]().union(*(of_cause[index[name]] for name in likely))
    read = [*begun, *(each for _, findings in openings for each in findings if each.id in telling)]
    above = frozenset(one.id for one in read)
    while read:
        telling |= (more := frozenset[str]().union(*(deciding(state, one) for one in read)) - above)
        above |= more
        read = [state.rulebook.findings[name] for name in more]
    return [one for one in openings if telling.intersection(each.id for each in one[1])]


def deciding(state: SessionState, finding: Finding) -> frozenset[str]:
    """Return the findings that would decide whether a finding makes sense; none where it does."""
    if finding.asked_when is None or state.chain.truth(finding.asked_when) is not None:
        return frozenset()
    missing = state.chain.missing_for(finding.asked_when)
    return missing.intersection(state.rulebook.findings)


def in_sequence(
    state: SessionState, run: str, openings: Iterable[Opening]
) -> list[tuple[Finding, Check]]:
    """Return what is read in a run, each finding once, in the order in which it comes."""
    found: dict[str, tuple[Finding, Check]] = {}
    for check, findings in openings:
        for one in findings:
            found.setdefault(one.id, (one, check))
    return sorted(found.values(), key=lambda one: in_run(state, run, one[0].id))


def in_run(state: SessionState, run: str, finding: str) -> int:
    """Return the place of a finding in a run, from 0; what has none comes last."""
    order = state.rulebook.runs[run].in_order if run in state.rulebook.runs else ()
    return order.index(finding) if finding in order else len(order)


def still_to_come(
    state: SessionState, run: str, round_: Sequence[tuple[Finding, Check]]
) -> list[tuple[Finding, Check]]:
    """Return what comes after the latest reading of a run under way: what came before is past."""
    return [one for one in round_ if not is_past(state, run, one[0].id)]


def is_past(state: SessionState, run: str, finding: str) -> bool:
    """Tell whether a finding comes before the latest reading of a run under way."""
    shared = {
        name for one in state.rulebook.checks.values() if one.run == run for name in one.yields
    }
    moments = {**state.moments, **state.passed_at}
    latest = max(shared & moments.keys(), key=lambda name: moments[name], default="")
    return bool(latest) and in_run(state, run, finding) < in_run(state, run, latest)
