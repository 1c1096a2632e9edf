"""Findings and checks: from what was read to the model."""

from __future__ import annotations

from diag.model.quantity import Unit
from diag.model.rulebook import Check, Finding, UsualSlip
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.lookup import Lookup
from diag.rulebook.kinds import KINDS
from diag.rulebook.language.tokens import why_no_id
from diag.rulebook.yaml.scalars import in_dimension


def unit_of(entry: Entry) -> Unit | None:
    """Return the unit of a finding's answers; None when it has states."""
    kind = KINDS.get(entry.values.get("kind", ""))
    return kind.unit(entry.values) if kind else None


def choices_of(entry: Entry) -> dict[str, str]:
    """Return the states of a finding in order, the first as it should be."""
    kind = KINDS.get(entry.values.get("kind", ""))
    return kind.states(entry.values) if kind else {}


def finding(look: Lookup, entry: Entry) -> Finding:
    """Build a finding."""
    values = entry.values
    name = values["kind"]
    kind = KINDS[name]
    for key in {key for each in KINDS.values() for key in each.keys} - set(kind.keys):
        if key in values:
            message = f"a finding of kind `{name}` has no `{key}`"
            entry.source.refuse(entry.key_at(key), message, "take the line out")
    if kind.needs and kind.needs not in values:
        message = f"a finding of kind `{name}` needs `{kind.needs}`"
        entry.source.refuse(entry.key, message, f"add a line `{kind.needs}: ...`")
    choices = choices_of(entry)
    if len(choices) == 1:
        entry.source.refuse(entry.at("choices"), "a choice needs two states or more")
    _believable(look, entry)
    return Finding(
        id=entry.id,
        ask=values["ask"],
        kind=name,
        area=entry.source.area,
        how=values.get("known by", "seen"),
        help=values.get("help", ""),
        choices=choices,
        unit=unit_of(entry),
        believable=values.get("believable"),
        slips=_slips(look, entry),
        words=values.get("words", ()),
        asked_when=look.condition(entry, entry.at("asked when"), values.get("asked when")),
        fixed=values.get("fixed") == "yes",
        place=entry.place,
    )


def _believable(look: Lookup, entry: Entry) -> None:
    """Check that the believable range is there, of the right dimension and of known origin."""
    unit = unit_of(entry)
    if unit is None:
        return
    span = entry.values.get("believable")
    if span is None:
        message = "this finding does not say what can be believed at all"
        entry.source.refuse(entry.key, message, "add a line `believable: LOW to HIGH`")
        return
    check_span(entry, unit)
    look.needs_origin(entry, always=True)


def check_span(entry: Entry, unit: Unit) -> None:
    """Check that a believable range has the dimension of its unit."""
    span = entry.values.get("believable")
    if span is not None:
        try:
            in_dimension(span[0], unit)
        except ValueError as error:
            entry.source.refuse(entry.at("believable"), str(error))


def _slips(look: Lookup, entry: Entry) -> tuple[UsualSlip, ...]:
    made = []
    for slip in entry.values.get("slips", ()):
        if slip is not None and "when" in slip.values and "say" in slip.values:
            when = look.condition(slip, slip.at("when"), slip.values["when"])
            look.needs_origin(entry, when)
            if when is not None:
                made.append(UsualSlip(when, slip.values["say"]))
    return tuple(made)


def check(look: Lookup, entry: Entry) -> Check:
    """Build a check."""
    values = entry.values
    yields = look.refer_all(entry, "findings", "yields")
    if "asked together" in values:
        _check_together(look, entry, yields)
    look.needs_origin(entry, always=True)
    return Check(
        id=entry.id,
        do=values["do"],
        area=entry.source.area,
        minutes=values["minutes"],
        yields=yields,
        tools=values.get("tools", ()),
        access=look.access(entry),
        needs=look.listed(entry, "needs", "needs"),
        undoes=look.listed(entry, "needs", "undoes"),
        cautions=look.refer_all(entry, "cautions", "cautions"),
        acts=look.refer_all(entry, "acts", "acts"),
        held_back=values.get("held back") == "yes",
        together=values.get("asked together", ""),
        possible_when=look.condition(entry, entry.at("possible when"), values.get("possible when")),
        place=entry.place,
    )


def _check_together(look: Lookup, entry: Entry, yields: tuple[str, ...]) -> None:
    findings = look.gathered.of("findings")
    for number, name in enumerate(yields):
        if name in findings and choices_of(findings[name]) != {"no": "", "yes": ""}:
            message = f"`{name}` cannot be asked together with others"
            advice = "only yes/no findings whose sound answer is `no` can"
            entry.source.refuse(entry.item_at("yields", number), message, advice)


def check_states(entry: Entry, key: str, states: tuple[str, ...]) -> None:
    """Check that the names of states can stand in a condition, and each stands once."""
    for number, state in enumerate(states):
        node = entry.key_at(key, state) if key == "choices" else entry.item_at(key, number)
        why = why_no_id(state)
        if why:
            entry.source.refuse(node, f"`{state}` cannot be a state", why)
        elif state in states[:number]:
            entry.source.refuse(node, f"the state `{state}` stands twice", "keep one of the two")
