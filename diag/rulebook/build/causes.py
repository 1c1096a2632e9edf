"""Causes and complaints: from what was read to the model."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.amounts import excerpt
from diag.model.rulebook import Cause, Complaint, Fact, Proof, Repair, Rule, Sign
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.findings import there_for
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
        repair=_repair(look, values["repair"], entry.id),
        complaints=_complaints(look, entry),
        quiet=_quiet(look, entry, evidence),
        comes_and_goes=_comes_and_goes(look, entry),
        brought_out_by=_brought_out(entry),
        any_of=_variants(entry),
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


def _comes_and_goes(look: Lookup, entry: Entry) -> float:
    """Return the chance that the cause shows at any one look."""
    if "comes and goes" not in entry.values:
        return 1.0
    node = entry.at("comes and goes")
    chance = look.word(entry, "likelihood", entry.values["comes and goes"], node)
    if chance == 0 and entry.values["comes and goes"] in look.scales.likelihood:
        message = "what never shows does not come and go"
        entry.source.refuse(node, message, "choose a word that is more than impossible")
    return chance


def _shown(entry: Entry, key: str, so: str) -> tuple[str, ...]:
    """Return the list under a key, of signs that the cause must show; `so` says why it must."""
    names: tuple[str, ...] = entry.values.get(key, ())
    shows = entry.values["shows"]
    for number, name in enumerate(names):
        if name not in shows:
            message = f"this cause does not show `{excerpt(name)}`, {so}"
            entry.source.refuse(entry.item_at(key, number), message, nearest(name, shows))
    return names


def _variants(entry: Entry) -> tuple[str, ...]:
    """Return the signs of the variants that a cause bundles."""
    names = _shown(entry, "any of", "which is no sign of a variant of it")
    if len(names) == 1:
        message = f"`{names[0]}` alone is no choice of variants"
        advice = "name the sign of another variant, or take the line out"
        entry.source.refuse(entry.at("any of"), message, advice)
    return names


def _brought_out(entry: Entry) -> tuple[str, ...]:
    """Return the signs that bring out a cause that comes and goes; each must be one it shows."""
    names = _shown(entry, "brought out by", "which cannot bring it out")
    if names and "comes and goes" not in entry.values:
        message = "only what comes and goes is brought out"
        advice = "add `comes and goes: ...`, or take the line out"
        entry.source.refuse(entry.key_at("brought out by"), message, advice)
    return names


def check_defects(look: Lookup, evidence: Mapping[str, Sign]) -> None:
    """Check that what is a fault in plain sight is shown by that cause, and by no other."""
    for name, sign in evidence.items():
        for state, fault in sign.defects.items():
            if state not in sign.states[1:] or fault not in look.gathered.of("causes"):
                continue
            for cause, entry in look.gathered.of("causes").items():
                shows = state in entry.values.get("shows", {}).get(name, {})
                if shows and cause != fault:
                    message = f"`{name}` `{state}` is the fault `{fault}`, which stands for itself"
                    node = entry.key_at("shows", name, state)
                    entry.source.refuse(node, message, "take the line out, or the `is` of the sign")
                elif cause == fault and not shows:
                    message = f"`{name}` `{state}` is this fault, and it does not show it"
                    advice = f"add `{name}: {{{state}: certain}}` to `shows`"
                    entry.source.refuse(entry.key_at("shows"), message, advice)


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


def _repair(look: Lookup, entry: Entry, cause: str) -> Repair:
    values = entry.values
    also = look.refer_all(entry, "causes", "mends as well")
    if cause in also:
        node = entry.item_at("mends as well", also.index(cause))
        entry.source.refuse(node, f"`{cause}` is what this repair mends anyway", "take it out")
    return Repair(
        do=values["do"],
        minutes=values["minutes"],
        parts=look.words(entry, "parts", "parts"),
        waits=values.get("waits", 0.0),
        access=look.access(entry),
        there=there_for(look, entry),
        needs=look.listed(entry, "needs", "needs"),
        acts=look.refer_all(entry, "acts", "acts"),
        licensed=values.get("licensed", ""),
        mends_as_well=also,
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
