"""What can be done next, as a troubleshooting problem: beliefs and benches turned into numbers.

A check is worth what the signs that it would decide tell of the causes; a repair what it mends.

Decision-theoretic troubleshooting (Heckerman, Breese and Rommelse 1995); prices on what is done in
vain and on what is missed are an idea of ours.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import field
from itertools import product
from math import prod
from operator import mul
from typing import NamedTuple

from diag.model.frozen import frozen
from diag.model.rulebook import Check, Rulebook
from diag.reason.belief.belief import Belief
from diag.reason.belief.competing_risks import Chances
from diag.reason.belief.evidence import adding_to_one
from diag.reason.belief.information import entropy, mutual_information
from diag.reason.belief.links import SignTable
from diag.reason.belief.posterior import Posterior, Several
from diag.reason.plan import Action, DecisionProblem, Observation
from diag.reason.plan.costs import cost_of, keys_of, setup_costs, undone_by_proof

NOTHING = "nothing wrong"
UNKNOWN = "not in the rulebook"
KEPT_WEIGHT = 0.99
MOST_HYPOTHESES = 20
MOST_OUTCOMES = 12
LEAST_GAIN = 1e-3


@frozen
class CandidateCheck:
    """A check that can be done now, the findings it would bring, and the signs it would decide,
    each with how far it could be relied on (0 to 1)."""

    check: Check
    findings: tuple[str, ...]
    signs: Mapping[str, float]


@frozen
class Outlook:
    """What a plan is made from: what is believed, what is on offer, and what was done."""

    rulebook: Rulebook
    belief: Belief
    offers: Sequence[CandidateCheck]
    opened: frozenset[str] = frozenset()
    """What is open, fetched or made ready."""
    avoid: frozenset[str] = frozenset()
    """Repairs done or turned down."""
    proof_failed: bool = False
    extra: Mapping[str, float] = field(default_factory=dict)
    """What the next run of each sort costs beyond its minutes."""


@frozen
class Hypothesis:
    """The causes present by index, the name of what is to be done about them, and the weight."""

    causes: tuple[int, ...]
    name: str
    weight: float


Causes = tuple[int, ...]
Rows = tuple[tuple[float, ...], ...]
"""P(outcome | hypothesis): a row for each hypothesis."""


def build_problem(outlook: Outlook) -> DecisionProblem:
    """Return the problem of what to do next.

    Its hypotheses are the causes that hold nearly all weight, `nothing wrong` and the unknown; its
    checks are all that tell anything of them. Once a proof has failed, `nothing wrong` is that all
    has been mended and the run failed by chance.
    """
    rulebook, avoid = outlook.rulebook, outlook.avoid
    hypotheses = hypotheses_of(outlook.belief.remaining(), avoid)
    forecast = Forecast(outlook.belief, hypotheses)
    checks = []
    for offer in outlook.offers:
        rows = _rows(forecast, offer)
        if rows:
            opens, closes = keys_of(rulebook, offer.check), frozenset(offer.check.undoes)
            cost = cost_of(rulebook, offer.check, outlook.extra)
            checks.append(Observation(offer.check.id, cost, rows, opens, closes))
    return DecisionProblem(
        tuple(one.weight for one in hypotheses),
        tuple(checks),
        _repairs(rulebook, hypotheses, avoid, outlook.proof_failed),
        setup_costs(rulebook),
        outlook.opened,
        rulebook.scales.settings.hand_over_minutes,
    )


def hypotheses_of(posterior: Posterior, avoid: Container[str] = ()) -> tuple[Hypothesis, ...]:
    """Return the likeliest causes that hold nearly all weight, and the two other hypotheses.

    A pair counts with the likelier of its two: that one is repaired first, which is no failed
    repair, and what is left is looked for when the proof has failed. What is in plain sight is put
    right before all that may be wrong beside it, unless its repair is one to `avoid`.
    """
    names = posterior.links.causes
    due = {cause: trust for cause, trust in posterior.seen.items() if names[cause] not in avoid}
    present = posterior.present() if posterior.seen else posterior.single

    def first(several: Several) -> int:
        able = [one for one in several if one in due] or [
            one for one in several if one not in posterior.seen
        ]
        return max(able or several, key=lambda one: (posterior.single[one], present[one], -one))

    shares = list(posterior.single)
    for several, share in posterior.pair.items():
        shares[first(several)] += share
    unknown = posterior.unknown
    if due:
        shares[first(tuple(due))] += unknown
        unknown = 0.0
    order = sorted(range(len(shares)), key=lambda index: (-shares[index], names[index]))
    kept: list[Hypothesis] = []
    weight = posterior.nothing + unknown
    for index in order:
        if (weight >= KEPT_WEIGHT and kept) or len(kept) >= MOST_HYPOTHESES:
            break
        kept.append(Hypothesis((index,), names[index], shares[index]))
        weight += shares[index]
    kept.append(Hypothesis((), NOTHING, max(posterior.nothing, 1e-9)))
    kept.append(Hypothesis((), UNKNOWN, max(unknown, 1e-9)))
    return tuple(kept)


def price_of_trust(rulebook: Rulebook, posterior: Posterior, proof_failed: bool = False) -> float:
    """Return what a plan counts beyond minutes and parts: the price of the act that succeeds."""
    vain, missed = _prices(rulebook, proof_failed)
    faulty = 1 - posterior.nothing - (0.0 if posterior.seen else posterior.unknown)
    return faulty * vain + posterior.nothing * missed


def _prices(rulebook: Rulebook, proof_failed: bool) -> tuple[float, float]:
    """Return what a failed repair and a fault missed cost beyond their own minutes.

    To run a unit once more after a failed proof misses nothing: it is not taken for sound before
    a run has held.
    """
    settings = rulebook.scales.settings
    missed = 0.0 if proof_failed else settings.fault_missed_minutes
    return settings.failed_repair_minutes, missed


def _repairs(
    rulebook: Rulebook,
    hypotheses: tuple[Hypothesis, ...],
    avoid: frozenset[str],
    proof_failed: bool,
) -> tuple[Action, ...]:
    """Return what may be done about each hypothesis, to run the unit as it is among them.

    What is done without success has a price beyond its own minutes; to add it to each comes to
    the same, as one of them always succeeds.
    """
    settings = rulebook.scales.settings
    closing = settings.proof_run_minutes
    success = 1 - settings.repair_fails
    vain, missed = _prices(rulebook, proof_failed)
    closes = undone_by_proof(rulebook)
    repairs = []
    for number, one in enumerate(hypotheses):
        if one.name in avoid or one.name == UNKNOWN:
            continue
        repair = rulebook.causes[one.name].repair if one.causes else None
        cost = closing + (cost_of(rulebook, repair) + vain if repair else missed)
        opens = keys_of(rulebook, repair) if repair else frozenset()
        # What it mends as well is known to belief once it is done. To search over repairs that
        # overlap takes more states than there is time for, and plans worse.
        repairs.append(Action(one.name, cost, frozenset({number}), success, opens, closes))
    return tuple(repairs)


class Foreseen(NamedTuple):
    """What a sign would show under each hypothesis, and the bits that it is expected to tell."""

    rows: Rows
    bits: float


NOTHING_TOLD = Foreseen((), 0.0)


class Forecast:
    """What signs looked at now would show under each hypothesis of what is wrong now.

    The chances are those by which the look will be weighed, so that no check is expected to move
    belief one way: given what was wrong when the unit came in, what was repaired since, and how
    the sign last read. A hypothesis is the mean over all that leaves it, in the measure in which
    it is believed; a pair of faults that are both still there counts as its likelier half.
    """

    def __init__(self, belief: Belief, hypotheses: Sequence[Hypothesis]) -> None:
        self.belief = belief
        self.hypotheses = hypotheses
        self.weights = [one.weight for one in hypotheses]
        self._known: dict[tuple[str, float], Foreseen] = {}
        origins = _origins(belief, hypotheses)
        self._weights = [[weight for weight, _ in listed] for listed in origins]
        self._came = [causes for listed in origins for _, causes in listed]
        self._places: dict[int, set[int]] = {}
        """For each cause, the numbers of the hypotheses that a unit with it may have come to."""
        for number, listed in enumerate(origins):
            for cause in {cause for _, causes in listed for cause in causes}:
                self._places.setdefault(cause, set()).add(number)
        self._unknown = {number for number, listed in enumerate(origins) if not listed}

    def of(self, sign: str, reliability: float) -> Foreseen:
        """Return what one sign would show and tell, worked out once."""
        asked = sign, reliability
        found = self._known.get(asked)
        if found is None:
            found = NOTHING_TOLD
            if self._may_tell(self.belief.links.table(sign)):
                rows = self.rows(sign, reliability)
                found = Foreseen(rows, mutual_information(self.weights, rows))
            self._known[asked] = found
        return found

    def _may_tell(self, table: SignTable) -> bool:
        """Tell whether a sign may tell enough, however plainly it is read.

        It shows the same under all hypotheses that it is not linked to: at most it tells those that
        it is linked to, and the unknown, from these and from one another.
        """
        if not table.rates.keys().isdisjoint(self.belief.seen_causes):
            return True
        linked = [self._places[cause] for cause in table.rates.keys() & self._places.keys()]
        apart = [self.weights[number] for number in self._unknown.union(*linked)]
        total = sum(self.weights)
        most = entropy([max(total - sum(apart), 0.0), *apart])
        return most >= total * LEAST_GAIN / 2  # half of it, so that no rounding counts

    def rows(self, sign: str, reliability: float) -> Rows:
        """Return P(state read | hypothesis) of one sign, a row for each hypothesis."""
        look = self.belief.look(sign, reliability)
        read = iter(look.foreseen(self._came))
        rows = []
        for weights in self._weights:
            if weights:
                rows.append(_mean(weights, [next(read) for _ in weights]))
            else:
                rows.append(adding_to_one(look.chances_of_unknown()))
        return tuple(rows)


def _origins(belief: Belief, hypotheses: Sequence[Hypothesis]) -> list[list[tuple[float, Causes]]]:
    """Return, for each hypothesis but the unknown, what the unit may have come in with, weighed."""
    place = {one.causes: place for place, one in enumerate(hypotheses) if one.name != UNKNOWN}
    origins: list[list[tuple[float, Causes]]] = [[] for _ in hypotheses]
    mended = belief.mended()
    if mended:
        weights = belief.posterior().weights
        came: list[tuple[float, Causes]] = [(weights.nothing, ())]
        came += [(weight, (cause,)) for cause, weight in enumerate(weights.single)]
        came += [(weight, pair) for pair, weight in weights.pair.items()]
        for weight, causes in came:
            left = tuple(cause for cause in causes if cause not in mended)
            if left in place and weight:
                origins[place[left]].append((weight, causes))
    for causes, number in place.items():
        origins[number] = origins[number] or [(1.0, causes)]
    return origins


def _mean(weights: Sequence[float], chances: Sequence[Chances]) -> Chances:
    if len(chances) == 1:
        return chances[0]
    return adding_to_one([sum(map(mul, weights, column)) for column in zip(*chances, strict=True)])


def _rows(forecast: Forecast, offer: CandidateCheck) -> Rows:
    """Return the joint outcomes of the signs that tell most; none where none tells anything."""
    told = [forecast.of(sign, trust) for sign, trust in offer.signs.items()]
    scored = [(one.bits, number) for number, one in enumerate(told) if one.bits >= LEAST_GAIN]
    kept: list[Rows] = []
    size = 1
    for _, number in sorted(scored, reverse=True):
        rows = told[number].rows
        if size * len(rows[0]) <= MOST_OUTCOMES:
            kept.append(rows)
            size *= len(rows[0])
    if len(kept) < 2:
        return kept[0] if kept else ()
    return tuple(tuple(map(prod, product(*rows))) for rows in zip(*kept, strict=True))
