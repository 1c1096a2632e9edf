"""Signs, their rules, and figures: from what was read to the model."""

from __future__ import annotations

from diag.model.amounts import excerpt, noun, noun_in
from diag.model.expression import Is, Term
from diag.model.quantity import SPELLINGS
from diag.model.rulebook import Fact, Figure, Rule, Sign
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.findings import check_states, choices_of
from diag.rulebook.build.lookup import Lookup
from diag.rulebook.build.thresholds import inlined
from diag.rulebook.kinds import KINDS
from diag.rulebook.yaml.nodes import Node
from diag.rulebook.yaml.scalars import nearest


def sign(look: Lookup, entry: Entry) -> Sign:
    """Build a sign that rules conclude."""
    values = entry.values
    states: tuple[str, ...] = values["states"]
    check_states(entry, "states", states)
    if len(states) < 2:
        entry.source.refuse(entry.at("states"), "a sign needs two states or more")
    if not {"rules", "taken from", "looked up"} & set(values):
        advice = "add `rules`, `taken from` or `looked up`"
        entry.source.refuse(entry.key, "nothing ever concludes this sign", advice)
    looked_up: str = values.get("looked up", "")
    if looked_up and look.refer(entry, "findings", looked_up, entry.at("looked up")):
        found = look.gathered.of("findings")[looked_up]
        if found.sound and not KINDS[found.values["kind"]].is_coded:
            message = f"`{looked_up}` is neither a code nor a count"
            entry.source.refuse(
                entry.at("looked up"), message, "a code list turns codes into states"
            )
    return Sign(
        id=entry.id,
        states=states,
        area=entry.source.area,
        title=values.get("title", ""),
        leak=look.leaks(entry, states),
        defects=look.defects(entry, states),
        supersedes=_superseded(look, entry),
        counts_beside=_beside(look, entry),
        looked_up=looked_up,
        place=entry.place,
    )


def _superseded(look: Lookup, entry: Entry) -> tuple[str, ...]:
    names: tuple[str, ...] = entry.values.get("supersedes", ())
    for number, name in enumerate(names):
        _refer_to_sign(look, entry, name, entry.item_at("supersedes", number))
    return names


def _beside(look: Lookup, entry: Entry) -> dict[str, str]:
    reasons: dict[str, str] = entry.values.get("counts beside", {})
    for name in reasons:
        _refer_to_sign(look, entry, name, entry.key_at("counts beside", name))
    return reasons


def _refer_to_sign(look: Lookup, entry: Entry, name: str, node: Node) -> None:
    if not isinstance(look.names.types.get(name), tuple) and name not in look.unsound:
        message = f"there is no sign `{excerpt(name)}`"
        entry.source.refuse(node, message, nearest(name, look.gathered.of("signs")))


def rules_of(look: Lookup, entry: Entry) -> tuple[list[Rule], list[Rule]]:
    """Build the rules of a sign, those taken from a finding first.

    Returns also those of them that can decide the layer of the sign: of the rules that mention
    no other sign, and most mention none, one is enough.
    """
    made = _taken(look, entry) if "taken from" in entry.values else []
    deciding = made[:1]
    states: tuple[str, ...] = entry.values["states"]
    name, usual = entry.id, entry.origin
    facts = {state: Fact("sign", name, state) for state in states}
    for number, rule in enumerate(entry.values.get("rules", ()), 1):
        values = rule.values if rule is not None else {}
        if "when" not in values or "then" not in values:
            continue
        state, read = values["then"], values["when"]
        if state not in facts:
            look.refuse_state(rule, state, ("", *states), rule.at("then"))
        when = look.condition(rule, rule.node.entries["when"], read)
        assert when is not None
        origin = values.get("source") or usual
        if origin is None:
            look.needs_origin(rule, when)
        fact = facts.get(state) or Fact("sign", name, state)
        why = values.get("why", "")
        built = Rule(f"{name}: rule {number}", when, fact, why, origin, rule.place)
        made.append(built)
        if not deciding or look.may_rest_on_sign(read):
            deciding.append(built)
    return made, deciding


def _taken(look: Lookup, entry: Entry) -> list[Rule]:
    """Make one rule for each state that the sign shares with the finding it is taken from."""
    name, node = entry.values["taken from"], entry.at("taken from")
    if not look.refer(entry, "findings", name, node):
        return []
    choices = choices_of(look.gathered.of("findings")[name])
    shared = [state for state in entry.values["states"] if state in choices]
    if not shared and name not in look.unsound:
        message = f"`{name}` shares no state with this sign"
        entry.source.refuse(node, message, "give both the same states")
    why = f"it is what was found for `{name}`"
    return [
        Rule(
            id=f"{entry.id}: {state} as found",
            when=Is(name, (state,)),
            then=Fact("sign", entry.id, state),
            why=why,
            origin=entry.origin,
            place=entry.place,
        )
        for state in shared
    ]


def figure(look: Lookup, entry: Entry) -> Figure | None:
    """Build a figure."""
    values = entry.values
    if ("sum" in values) == ("formula" in values):
        advice = "keep exactly one of `sum` and `formula`"
        entry.source.refuse(entry.key, "a figure is a sum or a formula", advice)
        return None
    unit = values["unit"]
    if "formula" in values:
        return _by_formula(look, entry)
    term: Term = values["sum"]
    dimension = look.term(entry, entry.at("sum"), term)
    if dimension is not None and dimension != unit.dimension:
        message = f"the sum is {noun(dimension)}; {noun_in(unit)} is expected"
        entry.source.refuse(entry.at("sum"), message, "look at the sum and at `unit`")
    look.needs_origin(entry, term)
    term = inlined(term, look.limits)
    title = values.get("title", "")
    return Figure(entry.id, unit, (term,), None, title, entry.origin, entry.place)


def _by_formula(look: Lookup, entry: Entry) -> Figure | None:
    values = entry.values
    name, node = values["formula"], entry.at("formula")
    formula = look.formulas.get(name)
    if formula is None:
        message = f"there is no formula `{excerpt(name)}`"
        entry.source.refuse(node, message, nearest(name, look.formulas))
        return None
    result = SPELLINGS[formula.unit]
    if result.dimension != values["unit"].dimension:
        message = f"`{name}` gives {noun_in(result)}, not {noun_in(values['unit'])}"
        entry.source.refuse(entry.at("unit"), message, "look at `unit`")
    takes: dict[str, Term] = values.get("takes", {})
    inputs = dict(formula.inputs)
    for each in takes:
        if each not in inputs:
            message = f"`{name}` does not take `{excerpt(each)}`"
            entry.source.refuse(entry.key_at("takes", each), message, nearest(each, inputs))
    for each, symbol in inputs.items():
        if each not in takes:
            message = f"`{name}` also takes `{each}`, {noun_in(SPELLINGS[symbol])}"
            entry.source.refuse(node, message, f"add `{each}` under `takes`")
        else:
            _check_input(look, entry, each, symbol, entry.at("takes", each))
    if set(takes) != set(inputs):
        return None
    terms = tuple(inlined(takes[each], look.limits) for each in inputs)
    title = values.get("title", "")
    return Figure(entry.id, values["unit"], terms, formula, title, entry.origin, entry.place)


def _check_input(look: Lookup, entry: Entry, name: str, symbol: str, node: Node) -> None:
    dimension = look.term(entry, node, entry.values["takes"][name])
    if dimension is not None and dimension != SPELLINGS[symbol].dimension:
        message = f"`{name}` is {noun_in(SPELLINGS[symbol])}, not {noun(dimension)}"
        entry.source.refuse(node, message, "look at the units")
