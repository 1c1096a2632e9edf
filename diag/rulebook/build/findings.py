"""Findings, checks and who makes them: from what was read to the model."""

from __future__ import annotations

from typing import Any

from diag.model.quantity import Unit
from diag.model.rulebook import Check, Finding, Rulebook
from diag.model.work import Measure, SharedRun, UsualSlip, Workplace, most_wanted
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.lookup import Lookup
from diag.rulebook.kinds import KINDS
from diag.rulebook.language.tokens import why_no_id
from diag.rulebook.yaml.scalars import in_dimension, nearest

NEEDED_TO_MEASURE = ("with", "where", "when", "mistakes")


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
        measure=_measure(look, entry),
        choices=choices,
        unit=unit_of(entry),
        believable=values.get("believable"),
        slips=_slips(look, entry),
        words=values.get("words", ()),
        asked_when=look.condition(entry, entry.at("asked when"), values.get("asked when")),
        fixed=values.get("fixed") == "yes",
        lettered=values.get("lettered") == "yes",
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


def _measure(look: Lookup, entry: Entry) -> Measure | None:
    """Build how a finding is measured; what it does not say is as for the finding it names."""
    own: Entry | None = entry.values.get("measure")
    if own is None:
        return None
    other = _as_for(look, own)
    if other is None:
        return None
    said = {**other, **own.values}
    lacking = [key for key in NEEDED_TO_MEASURE if key not in said]
    for key in lacking:
        message = f"this does not say `{key}`"
        own.source.refuse(entry.key_at("measure"), message, f"add a line `{key}: ...`")
    if ("drawing" in said) != ("in words" in said):
        has, wants = ("drawing", "in words") if "drawing" in said else ("in words", "drawing")
        advice = f"add a line `{wants}: ...`, which tells the same"
        own.source.refuse(own.key_at(has), f"`{has}` stands without `{wants}`", advice)
    if _has_digit(own.values):
        look.needs_origin(entry, always=True)
    if lacking:
        return None
    return Measure(
        tool=said["with"],
        where=said["where"],
        when=said["when"],
        mistakes=said["mistakes"],
        good=said.get("good", ""),
        drawing=said.get("drawing", ()),
        in_words=said.get("in words", ""),
    )


def _as_for(look: Lookup, own: Entry) -> dict[str, Any] | None:
    """Return what the finding says that is measured in the same way; None where it cannot be."""
    name = own.values.get("as for")
    if name is None:
        return {}
    if not look.refer(own, "findings", name, own.at("as for")):
        return None
    other = look.gathered.of("findings")[name].values.get("measure")
    if other is None or "as for" in other.values:
        message = f"`{name}` does not say itself how it is measured"
        own.source.refuse(own.at("as for"), message, "name a finding that does")
        return None
    said: dict[str, Any] = other.values
    return {key: said[key] for key in said if key != "good"}


def _has_digit(values: dict[str, Any]) -> bool:
    texts = (text for key, text in values.items() if key not in ("as for", "drawing"))
    return any(char.isdigit() for text in texts for char in "".join(text))


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
        needed_for=_needed_for(entry, yields),
        access=look.access(entry),
        there=there_for(look, entry),
        needs=look.listed(entry, "needs", "needs"),
        undoes=look.listed(entry, "needs", "undoes"),
        cautions=look.refer_all(entry, "cautions", "cautions"),
        acts=look.refer_all(entry, "acts", "acts"),
        held_back=values.get("held back") == "yes",
        together=values.get("asked together", ""),
        waits=values.get("waits", 0.0),
        uses=look.refer_all(entry, "runs", "uses"),
        run=_run_of(look, entry),
        possible_when=look.condition(entry, entry.at("possible when"), values.get("possible when")),
        place=entry.place,
    )


def _needed_for(entry: Entry, yields: tuple[str, ...]) -> dict[str, tuple[str, ...]]:
    """Return which readings need which of the check's tools, and note what is not among them."""
    tools: tuple[str, ...] = entry.values.get("tools", ())
    needed: dict[str, tuple[str, ...]] = entry.values.get("needed for", {})
    for tool, names in needed.items():
        if tool not in tools:
            message = f"`{tool}` is not among the tools of this check"
            entry.source.refuse(entry.key_at("needed for", tool), message, nearest(tool, tools))
        for name in names:
            if name not in yields:
                message = f"`{name}` is not yielded by this check"
                node = entry.at("needed for", tool)
                entry.source.refuse_at(entry.source.place(node), message, nearest(name, yields))
    return needed


def _run_of(look: Lookup, entry: Entry) -> str:
    """Return the run that a check shares, which must not take longer than the check."""
    name: str = entry.values.get("shares run", "")
    if name and look.refer(entry, "runs", name, entry.at("shares run")):
        takes = look.gathered.of("runs")[name].values.get("minutes", 0.0)
        if takes > entry.values["minutes"]:
            message = f"the run `{name}` alone takes {takes:g} minutes, more than this check"
            entry.source.refuse(entry.at("minutes"), message, "count the run in as well")
    return name


def run(look: Lookup, entry: Entry) -> SharedRun:
    """Build a run that checks share."""
    look.needs_origin(entry, always=True)
    order = look.refer_all(entry, "findings", "in order")
    stock: str = entry.values.get("at most", "")
    if stock:
        look.refer(entry, "unit data", stock, entry.at("at most"))
    each_more = entry.values.get("each more", 0.0)
    used_up: str = entry.values.get("used up", "")
    return SharedRun(entry.id, entry.values["minutes"], order, each_more, stock, used_up)


def there_for(look: Lookup, entry: Entry) -> tuple[str, ...]:
    """Return who or what must be there for a check or a repair, and note what no profile has."""
    names: tuple[str, ...] = entry.values.get("there", ())
    profiles = look.gathered.of("profiles").values()
    known = {name for one in profiles for name in one.values.get("there", ())}
    for number, name in enumerate(names):
        if name not in known:
            message = f"no profile has `{name}` there"
            advice = nearest(name, known) or "name it under `there` of a profile"
            entry.source.refuse(entry.item_at("there", number), message, advice)
    return names


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


def workplace(look: Lookup, entry: Entry) -> Workplace:
    """Build a profile; one that names no tools has every tool that a check names."""
    values = entry.values
    checks = look.gathered.of("checks").values()
    known = sorted({tool for check in checks for tool in check.values.get("tools", ())})
    for number, tool in enumerate(values.get("tools", ())):
        if tool not in known:
            node = entry.item_at("tools", number)
            entry.source.refuse(node, f"no check knows the tool `{tool}`", nearest(tool, known))
    return Workplace(
        id=entry.id,
        title=values["title"],
        reaches=look.listed(entry, "access", "reaches"),
        there=values.get("there", ()),
        tools=tuple(values.get("tools", known)),
        words=values.get("words", ()),
        by_word=values.get("only told") == "yes",
        place=entry.place,
    )


def check_workplaces(look: Lookup, book: Rulebook) -> None:
    """Note each profile with which nothing can be asked, and what would help most."""
    for name, made in book.profiles.items():
        checks = book.checks.values()
        if checks and all(made.lacks(one) for one in checks):
            entry = look.gathered.of("profiles")[name]
            most = most_wanted(made, checks)
            advice = f"`{most}` would help most" if most else "let it reach more"
            entry.source.refuse(entry.key, "this profile leaves nothing to ask", advice)
