"""The state of a session as one plain object, for scripts."""

from __future__ import annotations

from typing import Any

from diag.logic.rests_on import resting_on
from diag.model.quantity import Quantity, plain_number
from diag.model.rulebook import Check, Fact, Value
from diag.reason.belief.weigh import Weight, weigh
from diag.session.inconsistent import Inconsistency, inconsistency_in
from diag.session.next_prompt import best_act, next_prompt
from diag.session.offer.looks import first_looks
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    StopWork,
)
from diag.session.state import SessionState

SHOWN_CAUSES = 12
SHOWN_PAIRS = 5


def result(state: SessionState) -> dict[str, Any]:
    """Return rulebook, readings, facts, dangers, causes, the next check and the verdict."""
    prompt = best_act(state) if settled(state) else next_prompt(state)
    posterior = state.posterior
    pairs = sorted(posterior.pairs.items(), key=lambda item: (-item[1], item[0]))
    return {
        "rulebook": state.rulebook.hash,
        "unit": state.unit.id,
        "complaint": state.complaint,
        "complaints": list(state.complaints),
        "readings": [
            {"finding": name, "value": shown(reading.value), "how": reading.how}
            for name, reading in sorted(state.readings.items())
        ],
        "facts": facts(state),
        "dangers": [_danger(state, name) for name in sorted(state.dangers.held)],
        "causes": [_cause(state, name, share) for name, share in posterior.ranking[:SHOWN_CAUSES]],
        "pairs": [
            {"causes": list(names), "probability": round(share, 6)}
            for names, share in pairs[:SHOWN_PAIRS]
            if share >= 0.01
        ],
        "nothing_wrong": round(posterior.nothing, 6),
        "unknown": round(posterior.unknown, 6),
        "first": [look.check.id for look in first_looks(state) if look.check],
        "next": _next(state, prompt),
        "does_not_fit": _inconsistencies(inconsistency_in(state)),
        "verdict": verdict(prompt),
    }


def settled(state: SessionState) -> bool:
    """Return whether nothing but the best next act is left to consider: no danger, no proof."""
    return not (state.dangers.held or state.in_proof or state.proved)


def _danger(state: SessionState, name: str) -> dict[str, Any]:
    danger, standing = state.rulebook.dangers[name], state.dangers.held[name]
    return {
        "danger": name,
        "raised_by": standing.by,
        "do_now": list(danger.do_now),
        "forbids": list(danger.forbids),
        "work_may_go_on_when": danger.resume_when,
        "licensed": danger.licensed,
    }


def shown(value: Value) -> str:
    """Write a value as people read it."""
    if isinstance(value, Quantity):
        return str(value)
    return value


def facts(state: SessionState) -> list[dict[str, Any]]:
    """Return each derived fact with the rules and the values that support it."""
    return [
        {
            "fact": str(fact),
            "kind": fact.kind,
            "class_values": list(class_values(state, fact)),
            "supports": [
                {
                    "rule": support.rule.id,
                    "why": support.rule.why,
                    "from": {name: _held(value) for name, value in support.used.items()},
                }
                for support in supports
            ],
        }
        for fact, supports in state.chain.facts.items()
    ]


def class_values(state: SessionState, fact: Fact) -> tuple[str, ...]:
    """Return the data of the unit that a fact rests on and that are not the unit's own.

    What limits grow with, by which a unit is picked, is none.
    """
    scales = {name for limit in state.rulebook.thresholds.values() for name in limit.proportional}
    used = [name for support in state.chain.facts[fact] for name in support.used]
    data = (name.removeprefix("unit ") for name in resting_on(used, state.compiled.below.get))
    return tuple(name for name in data if name in state.unit.assumed - scales)


def told_fact(state: SessionState, fact: Fact) -> str:
    """Write a fact as people read it, and that it hangs on a class value where it does."""
    said = f"{fact.name}: {fact.state}" if fact.state else fact.name
    return f"{said} (by a class value)" if class_values(state, fact) else said


def _held(value: Quantity | frozenset[str]) -> str:
    return str(value) if isinstance(value, Quantity) else ", ".join(sorted(value))


def _cause(state: SessionState, name: str, share: float) -> dict[str, Any]:
    weights = weigh(state.belief, name) if name not in state.belief.excluded else ()
    reasons = [weight for weight in weights if weight.kind == "sign"]
    cause = state.rulebook.causes[name]
    return {
        "id": name,
        "area": cause.area,
        "status": cause.status,
        "unit sound": cause.no_fault,
        "probability": round(share, 6),
        "for": [_reason(weight) for weight in reasons if weight.decibans > 0],
        "against": [_reason(weight) for weight in reasons if weight.decibans < 0],
    }


def _reason(weight: Weight) -> dict[str, Any]:
    decibans = round(weight.decibans, 2)
    return {"sign": weight.name, "state": weight.state, "decibans": decibans}


def _inconsistencies(inconsistency: Inconsistency | None) -> list[dict[str, Any]]:
    if inconsistency is None:
        return []
    return [
        {
            "sign": inconsistency.sign,
            "state": inconsistency.state,
            "why": inconsistency.say,
            "readings": list(inconsistency.readings),
            "conflict": plain_number(inconsistency.measure),
        }
    ]


def _cautions(state: SessionState, check: Check | None) -> list[str]:
    return [state.rulebook.cautions[name] for name in (check.cautions if check else ())]


def _next(state: SessionState, prompt: Prompt) -> dict[str, Any] | None:
    if isinstance(prompt, AskFinding):
        return {
            "finding": prompt.finding.id,
            "question": prompt.finding.ask,
            "check": prompt.check.id if prompt.check else "",
            "minutes": prompt.check.minutes if prompt.check else 0,
            "why": prompt.reason,
            "cautions": _cautions(state, prompt.check),
        }
    if isinstance(prompt, AskTogether):
        return {
            "finding": ", ".join(finding.id for finding in prompt.findings),
            "question": prompt.check.together,
            "check": prompt.check.id,
            "minutes": prompt.check.minutes,
            "why": prompt.reason,
            "cautions": _cautions(state, prompt.check),
        }
    return None


def verdict(prompt: Prompt) -> str:
    """Return `stop`, `found`, `keep looking`, or how the session ended."""
    if isinstance(prompt, StopWork):
        return "stop"
    if isinstance(prompt, ProposeRepair):
        return "found" if prompt.sure else "keep looking"
    if isinstance(prompt, Closing):
        return prompt.ending.kind
    return "keep looking"
