"""Causes and complaints: from what was read to the model."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.amounts import excerpt
from diag.model.rulebook import Cause, Complaint, Fact, Proof, Repair, Rule, Sign
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.lookup import Lookup
from diag.rulebook.yaml.scalars import nearest


def cause(look: Lookup, entry: Entry, evidence: Mapping[str, Sign]) -> Cause:
    """Build a cause; `evidence` holds every sign, those that findings are included."""
    values = entry.values
    _check_file(entry)
    look.needs_origin(entry, always=True)
    return Cause(
        id=entry.id,
        title=values["title"],
        area=values["area"],
        odds=look.word(entry, "share", values["share"], entry.at("share")),
        shows=_shows(look, entry, evidence),
        repair=_repair(look, values["repair"]),
        complaints=_complaints(look, entry),
        quiet=_quiet(look, entry, evidence),
        confused_with=_confused(look, entry),
        proof=proofs(look, entry),
        cautions=look.refer_all(entry, "cautions", "cautions"),
        no_fault=values.get("no fault") == "yes",
        explain=values.get("explain", ""),
        tell_owner=values.get("tell the owner", ""),
        status=values.get("status", "draft"),
        origin=entry.origin,
        place=entry.place,
    )


def _check_file(entry: Entry) -> None:
    """Check that the file's name and folder say the same as what stands in it."""
    source, area = entry.source, entry.values["area"]
    wanted = entry.id.replace(" ", "-")
    if source.stem != wanted:
        message = f"the cause `{entry.id}` stands in a file named `{source.stem}.yaml`"
        source.refuse(entry.key, message, f"name the file `{wanted}.yaml`")
    if source.area and source.area != area:
        message = f"the area `{area}` stands in the folder `{source.area}`"
        source.refuse(entry.at("area"), message, "move the file or change the area")


def _sign(
    entry: Entry, key: str, name: str, evidence: Mapping[str, Sign], unsound: frozenset[str]
) -> Sign | None:
    if name not in evidence and name not in unsound:
        message = f"there is no sign, choice or yes/no finding `{excerpt(name)}`"
        entry.source.refuse(entry.key_at(key, name), message, nearest(name, evidence))
    return evidence.get(name)


def _shows(look: Lookup, entry: Entry, evidence: Mapping[str, Sign]) -> dict[str, dict[str, float]]:
    links = {}
    for name in entry.values["shows"]:
        sign = _sign(entry, "shows", name, evidence, look.unsound)
        if sign is None:
            continue
        links[name] = look.words(entry, "likelihood", "shows", name)
        for state in links[name]:
            if state not in sign.states[1:]:
                look.refuse_state(entry, state, sign.states, entry.key_at("shows", name, state))
        total = sum(links[name].values())
        if total >= 1:
            message = f"the states of `{name}` add to {total:g}; they must stay below 1"
            entry.source.refuse(entry.key_at("shows", name), message, "choose weaker words")
    return links


def _quiet(look: Lookup, entry: Entry, evidence: Mapping[str, Sign]) -> dict[str, tuple[str, ...]]:
    quiet: dict[str, tuple[str, ...]] = entry.values.get("must not show", {})
    for name, states in quiet.items():
        sign = _sign(entry, "must not show", name, evidence, look.unsound)
        for state in states:
            if sign is not None and state not in sign.states:
                look.refuse_state(entry, state, ("", *sign.states), entry.at("must not show", name))
    return quiet


def _complaints(look: Lookup, entry: Entry) -> dict[str, float]:
    for name in entry.values.get("complaints", {}):
        look.refer(entry, "complaints", name, entry.key_at("complaints", name))
    return look.words(entry, "likelihood", "complaints")


def _confused(look: Lookup, entry: Entry) -> dict[str, str]:
    confused: dict[str, str] = entry.values.get("confused with", {})
    for other, name in confused.items():
        look.refer(entry, "causes", other, entry.key_at("confused with", other))
        if name not in look.names.types and name not in look.unsound:
            message = f"there is no finding or sign `{excerpt(name)}`"
            node = entry.at("confused with", other)
            entry.source.refuse(node, message, nearest(name, look.names.types))
    return confused


def _repair(look: Lookup, entry: Entry) -> Repair:
    values = entry.values
    return Repair(
        do=values["do"],
        minutes=values["minutes"],
        parts=look.words(entry, "parts", "parts"),
        waits=values.get("waits", 0.0),
        access=look.access(entry),
        needs=look.listed(entry, "needs", "needs"),
        acts=look.refer_all(entry, "acts", "acts"),
        licensed=values.get("licensed", ""),
    )


def proofs(look: Lookup, entry: Entry, key: str = "proof") -> tuple[Proof, ...]:
    """Return what must hold in the run after a repair."""
    read = entry.values.get(key, ())
    made = []
    for number, each in enumerate(read):
        condition = look.condition(entry, entry.item_at(key, number), each)
        if condition is not None:
            look.needs_origin(entry, condition)
            made.append(Proof(condition))
    return tuple(made)


def ruled_out(look: Lookup, entry: Entry) -> list[Rule]:
    """Build the rules by which physics forbids a cause."""
    made = []
    for number, rule in enumerate(entry.values.get("rules out when", ()), 1):
        if rule is not None and "when" in rule.values:
            when = look.condition(rule, rule.at("when"), rule.values["when"])
            assert when is not None
            fact = Fact("excluded", entry.id, "ruled out")
            origin = rule.origin or entry.origin
            why = rule.values.get("why", "")
            name = f"{entry.id}: ruled out {number}"
            made.append(Rule(name, when, fact, why, origin, rule.place))
    return made


def impossible(look: Lookup, entry: Entry) -> Rule:
    """Build the rule by which readings cannot be true together."""
    when = look.condition(entry, entry.at("when"), entry.values["when"])
    assert when is not None
    look.needs_origin(entry, when)
    fact = Fact("impossible", entry.id, "so")
    name = f"{entry.id}: cannot be"
    return Rule(name, when, fact, entry.values["say"], entry.origin, entry.place)


def complaint(look: Lookup, entry: Entry) -> Complaint:
    """Build a complaint."""
    values = entry.values
    return Complaint(
        id=entry.id,
        title=values["title"],
        words=values.get("words", ()),
        intake=look.refer_all(entry, "checks", "intake"),
        proof=proofs(look, entry),
        lesser_proof=proofs(look, entry, "lesser proof"),
        place=entry.place,
    )
