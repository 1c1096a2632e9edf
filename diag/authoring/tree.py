"""The tool's policy from a complaint, as a tree: which check, what it shows, what then.

What it approximates. The tree asks signs, not findings: a check is one step, and of what it
brings the most telling sign is looked at first, then others for nothing, as long as one of the
three most telling changes what is done next. What changes nothing is left out, so the belief at a
point rests on less than a session's. What makes sense only after another sign is looked at after
that one, and not at all where it makes none. Dangers, what a unit's data leave open and what a user
passes over are left out too. So a session may go another way, though belief and choice follow the
same arithmetic. Minutes are expected minutes to a proved repair: checks, getting at things once,
the repair and its run. What lies deeper than `depth` checks is cut, its minutes the planner's
estimate. States that lead to less than `least_share` of the units are lumped as one branch, with
the estimate of the point above: so the minutes of a tree cut short are an estimate too.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from diag.authoring.sense import Sense
from diag.authoring.settling import Bench
from diag.model.rulebook import Rulebook, UnitData
from diag.reason.belief.belief import Belief, Evidence, Priors, start
from diag.reason.belief.information import Ranker
from diag.reason.belief.posterior import Posterior
from diag.reason.plan.choose import Choice, choose
from diag.reason.plan.costs import minutes_of, opened_by
from diag.reason.plan.decision_problem import CandidateCheck, Outlook
from diag.reason.plan.verdict import Verdict, verdict
from diag.session.repairing.evidence import is_dear, is_shown, parting

LEAST_BITS = 0.03
"""What a sign that is there for nothing must be expected to tell to be worth a branch."""
MOST_LOOKED_AT = 3


@dataclass(frozen=True, slots=True)
class Branch:
    """One state of a sign, or several rare ones together: their chance, and what follows."""

    states: tuple[str, ...]
    chance: float
    then: PolicyNode


@dataclass(frozen=True, slots=True)
class PolicyNode:
    """One point of the policy.

    At a fork `sign` is what is looked at, `how` it is known (told, seen or measured), `checks` are
    done for it here (none when it was brought before), and `branches` follow. At an end `verdict`
    is `repair`, `nothing-wrong`, `unknown`, `cut` or `rare`, `act` is the repair or what would come
    next, `look` the check that a session makes before that repair buys parts, and `causes` are the
    likeliest with their probabilities (none where rare states are lumped). `minutes` are those
    still expected from here, with this point's own checks; `share` is how often one comes here.
    """

    share: float
    minutes: float
    sign: str = ""
    how: str = ""
    checks: tuple[str, ...] = ()
    branches: tuple[Branch, ...] = ()
    verdict: str = ""
    act: str = ""
    look: str = ""
    causes: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class _Point:
    """Where a path stands: the belief, what was done and seen, how often one comes here."""

    belief: Belief
    posterior: Posterior
    share: float = 1.0
    done: tuple[str, ...] = ()
    seen: frozenset[str] = frozenset()
    new: tuple[str, ...] = ()
    """Checks done of which nothing was looked at yet."""
    depth: int = 0
    estimate: float = 0.0
    """Minutes expected from here when the planner was last asked."""


@dataclass(frozen=True, slots=True)
class _Policy:
    """What does not change along the tree."""

    rulebook: Rulebook
    bench: Bench
    sense: Sense
    ranker: Ranker
    depth: int
    least_share: float
    reliability: Mapping[str, float]
    progress: Callable[[float], None] = lambda _: None
    """Told, at each end of a path, what share of the units has come to an end."""
    ended: list[float] = field(default_factory=list)
    chosen: dict[tuple[frozenset[Evidence], tuple[str, ...]], Choice] = field(default_factory=dict)


def complaint_policy(
    rulebook: Rulebook,
    unit: UnitData,
    complaint: str,
    depth: int = 6,
    least_share: float = 0.02,
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> PolicyNode:
    """Return the policy from a complaint, after the checks that every session begins with.

    `depth` counts checks after those, `least_share` is a share of all units with the complaint.
    `progress` is told the share of the units worked out, 0 to 1. Raises `KeyError` for an unknown
    complaint.
    """
    bench = Bench(rulebook, unit)
    links = bench.compiled.links
    reliability = {sign: bench.reliability(sign) for sign in rulebook.signs}
    ranker = Ranker(links, reliability)
    sense = Sense(rulebook, unit, bench)
    policy = _Policy(rulebook, bench, sense, ranker, depth, least_share, reliability, progress)
    belief = start(links, Priors.from_settings(rulebook.scales.settings), complaint)
    first = opening(rulebook, complaint)
    point = _Point(belief, belief.remaining(), done=first, new=first)
    return _node(policy, point)


def opening(rulebook: Rulebook, complaint: str) -> tuple[str, ...]:
    """Return the checks that every session on a complaint begins with: danger, then its looks."""
    asked = rulebook.asked_first
    safety = [check.id for check in rulebook.checks.values() if asked.intersection(check.yields)]
    return tuple(dict.fromkeys((*safety, *rulebook.complaints[complaint].intake)))


def _node(policy: _Policy, point: _Point) -> PolicyNode:
    """Look at what lies there for nothing, else do the best check, else end."""
    choice = _choice(policy, point)
    point = replace(point, estimate=choice.best.expected)
    sign = _free_sign(policy, point)
    check = "" if sign else _next_check(policy, point)
    if sign:
        after = point
    elif not check:
        return _end(policy, point)
    elif point.depth >= policy.depth:
        return _leaf(policy, point, "cut", check)
    else:
        done, new = (*point.done, check), (*point.new, check)
        after = replace(point, done=done, new=new, depth=point.depth + 1)
        gains = policy.ranker.gains(after.posterior, _brought(policy, point, check))
        sign = max(sorted(gains), key=lambda sign: gains[sign])
    for at in (point, after):
        first = policy.sense.first(point.belief.said, sign, _waiting(policy, at))
        if first != sign:
            after, sign = at, first
            break
    found = _fork(policy, after, sign)
    return found or _leaf(policy, point, "cut", check or choice.best.name)


def _waiting(policy: _Policy, point: _Point) -> tuple[str, ...]:
    """Return the signs that the checks done have settled and that were not looked at yet."""
    covered = {name for sign in point.seen for name in policy.rulebook.signs[sign].supersedes}
    settled = policy.bench.signs(point.done)
    left = [sign for sign in settled if sign not in point.seen and sign not in covered]
    said = point.belief.said
    return tuple(sign for sign in left if policy.sense.may_be_looked_at(said, sign, left))


def _brought(policy: _Policy, point: _Point, check: str) -> tuple[str, ...]:
    """Return the signs that a check would settle now."""
    waiting = _waiting(policy, point)
    after = _waiting(policy, replace(point, done=(*point.done, check)))
    return tuple(sign for sign in after if sign not in waiting)


def _free_sign(policy: _Policy, point: _Point) -> str:
    """Return the most telling sign that is there for nothing and changes what is done next."""
    gains = policy.ranker.gains(point.posterior, _waiting(policy, point))
    telling = [sign for sign in sorted(gains) if gains[sign] >= LEAST_BITS]
    telling.sort(key=lambda sign: -gains[sign])
    now = _next_act(policy, point)
    for sign in telling[:MOST_LOOKED_AT]:
        for state, chance in point.posterior.predict(sign).items():
            if point.share * chance >= policy.least_share:
                after = _after(policy, point, sign, state, chance)
                if _next_act(policy, after) != now:
                    return sign
    return ""


def _next_act(policy: _Policy, point: _Point) -> tuple[str, str]:
    now = _next(policy, point)
    return now.kind, now.name


def _after(policy: _Policy, point: _Point, sign: str, state: str, chance: float) -> _Point:
    belief = point.belief.observe(Evidence(sign, state, policy.reliability[sign]))
    return replace(
        point,
        belief=belief,
        posterior=belief.remaining(),
        share=point.share * chance,
        seen=point.seen | {sign},
        new=(),
    )


def _fork(policy: _Policy, point: _Point, sign: str) -> PolicyNode | None:
    """Return a point with its branches; None where all of them would be too rare to print."""
    paid = _paid(policy, point)
    estimate = max(0.0, point.estimate - paid)
    branches, rare = [], []
    for state, chance in point.posterior.predict(sign).items():
        if point.share * chance < policy.least_share:
            rare.append((state, chance))
            continue
        after = replace(_after(policy, point, sign, state, chance), estimate=estimate)
        branches.append(Branch((state,), chance, _node(policy, after)))
    if not branches:
        return None
    if rare:
        states, chance = tuple(state for state, _ in rare), sum(chance for _, chance in rare)
        branches.append(
            Branch(states, chance, PolicyNode(point.share * chance, estimate, verdict="rare"))
        )
    minutes = paid + sum(branch.chance * branch.then.minutes for branch in branches)
    how = policy.bench.how(sign)
    return PolicyNode(point.share, minutes, sign, how, point.new, tuple(branches))


def _paid(policy: _Policy, point: _Point) -> float:
    """Return the minutes of the new checks, what they open paid once and not again."""
    before = opened_by(policy.rulebook, (name for name in point.done if name not in point.new))
    return minutes_of(policy.rulebook, point.new, before)


def _choice(policy: _Policy, point: _Point) -> Choice:
    """Return the best next act; remembered, as a point is looked at before it is gone to."""
    key = (point.belief.said, point.done)
    if key not in policy.chosen:
        book = policy.rulebook
        offers = [
            CandidateCheck(check, check.yields, {sign: policy.reliability[sign] for sign in signs})
            for check in book.checks.values()
            if check.id not in point.done and (signs := _brought(policy, point, check.id))
        ]
        opened = opened_by(book, point.done)
        policy.chosen[key] = choose(Outlook(book, point.belief, offers, opened))
    return policy.chosen[key]


def _next(policy: _Policy, point: _Point) -> Verdict:
    """Return what a session would do here."""
    choice = _choice(policy, point)
    return verdict(point.posterior, choice, policy.rulebook.scales.settings)


def _next_check(policy: _Policy, point: _Point) -> str:
    """Return the check that a session would do here, empty where it would end."""
    now = _next(policy, point)
    return now.name if now.kind == "check" else ""


def _end(policy: _Policy, point: _Point) -> PolicyNode:
    """Return how a session would end here."""
    now = _next(policy, point)
    return _leaf(policy, point, now.kind, now.name if now.kind == "repair" else "")


def _leaf(policy: _Policy, point: _Point, verdict: str, act: str = "") -> PolicyNode:
    paid = _paid(policy, point)
    likeliest = tuple(point.posterior.ranking[:3])
    policy.ended.append(point.share)
    policy.progress(min(1.0, sum(policy.ended)))
    minutes = paid + point.estimate
    look = _look_before(policy, point, act) if verdict == "repair" else ""
    return PolicyNode(point.share, minutes, "", "", point.new, (), verdict, act, look, likeliest)


def _look_before(policy: _Policy, point: _Point, name: str) -> str:
    """Return the check that a session makes before a dear repair; empty where it makes none."""
    book, known = policy.rulebook, {one.sign for one in point.belief.said}
    cause = book.causes[name]
    if not is_dear(book, cause.repair) or is_shown(cause, point.belief.said):
        return ""
    wanted = frozenset(parting(cause, point.posterior.causes, known))
    opened, able = opened_by(book, point.done), []
    for check in book.checks.values():
        if check.id not in point.done and wanted.intersection(_brought(policy, point, check.id)):
            able.append((minutes_of(book, [check.id], opened), check.id))
    minutes, look = min(able, default=(0.0, ""))
    return look if minutes <= cause.repair.cost else ""
