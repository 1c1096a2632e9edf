"""Units and what can be said of them: from what was read to the model."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.amounts import NotAnAmount, code, excerpt
from diag.model.quantity import POINT, UNITS, Quantity, Unit
from diag.model.rulebook import Finding, Origin, Sign, UnitData, UnitDatum, UnitLimit
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.findings import check_span
from diag.rulebook.build.lookup import Lookup
from diag.rulebook.yaml.scalars import in_dimension, nearest


def datum(look: Lookup, entry: Entry) -> UnitDatum:
    """Build one thing that can be said of a unit."""
    values = entry.values
    check_span(entry, values["unit"])
    if "believable" in values:
        look.needs_origin(entry, always=True)
    return UnitDatum(entry.id, values["ask"], values["unit"], values.get("believable"), entry.place)


def limit(look: Lookup, entry: Entry) -> UnitLimit:
    """Build one demand that the data of a unit must meet together."""
    condition = look.condition(entry, entry.at("must hold"), entry.values["must hold"])
    assert condition is not None
    look.needs_origin(entry, condition)
    return UnitLimit(condition, entry.values["say"], entry.place)


def units(
    look: Lookup,
    data: Mapping[str, UnitDatum],
    findings: Mapping[str, Finding],
    signs: Mapping[str, Sign],
    known: Mapping[str, UnitData],
) -> dict[str, UnitData]:
    """Build all units, each after the one that it is based on; `known` are built already."""
    entries = look.gathered.of("units")
    built = dict(known)
    for entry in entries.values():
        chain: list[Entry] = []
        while entry.id not in built:
            if entry in chain:
                circle = " is based on ".join(f"`{each.id}`" for each in (*chain, entry))
                entry.source.refuse(entry.at("based on"), circle, "break the circle")
                break
            chain.append(entry)
            base = entry.values.get("based on", "")
            if not base or base in built or base not in entries:
                break
            entry = entries[base]
        for each in reversed(chain):
            if each.sound:
                built[each.id] = _unit(look, each, built, data, findings=findings, signs=signs)
    return dict(sorted(built.items()))


def _unit(
    look: Lookup,
    entry: Entry,
    built: Mapping[str, UnitData],
    data: Mapping[str, UnitDatum],
    *,
    findings: Mapping[str, Finding],
    signs: Mapping[str, Sign],
) -> UnitData:
    values = entry.values
    base_name = values.get("based on", "")
    base = built.get(base_name)
    if base_name and base is None and base_name not in look.gathered.of("units"):
        message = f"there is no unit `{excerpt(base_name)}`"
        entry.source.refuse(entry.at("based on"), message, nearest(base_name, built))
    look.needs_origin(entry, always=True)
    own: dict[str, Quantity] = values.get("data", {})
    for name, value in own.items():
        _check_datum(entry, name, value, data)
    origin = entry.origin or Origin("memory")
    inherited = {n: v for n, v in base.data.items() if n not in own} if base else {}
    codes = _codes(entry, signs) or (base.codes if base else {})
    errors = {**(base.instrument_errors if base else {}), **_errors(entry, findings, look.unsound)}
    return UnitData(
        id=entry.id,
        title=values["title"],
        data=dict(sorted({**inherited, **own}.items())),
        codes=codes,
        instrument_errors=errors,
        assumed=frozenset(inherited) | frozenset(own if origin.kind == "memory" else ()),
        origins={**(base.origins if base else {}), **dict.fromkeys(own, origin)},
        note=values.get("note", ""),
        place=entry.place,
    )


def _check_datum(entry: Entry, name: str, value: Quantity, data: Mapping[str, UnitDatum]) -> None:
    if name not in data:
        message = f"there is no unit datum `{excerpt(name)}`"
        entry.source.refuse(entry.key_at("data", name), message, nearest(name, data))
        return
    node = entry.at("data", name)
    try:
        in_dimension(value, data[name].unit)
    except ValueError as error:
        entry.source.refuse(node, str(error), "give the value its unit")
        return
    span = data[name].believable
    if span and not span[0].si <= value.si <= span[1].si:
        message = f"`{value}` is beyond the believable {span[0]} to {span[1]}"
        entry.source.refuse(node, message, "look at the number and at its unit")


def _codes(entry: Entry, signs: Mapping[str, Sign]) -> dict[str, str]:
    """Read the unit's own code list; every state must be one that is looked up."""
    states = {state for sign in signs.values() if sign.looked_up for state in sign.states}
    codes = {}
    for shown, state in entry.values.get("codes", {}).items():
        try:
            codes[code(shown)] = state
        except NotAnAmount as error:
            entry.source.refuse(entry.key_at("codes", shown), error.message)
        if state not in states:
            message = f"no sign that is looked up has a state `{excerpt(state)}`"
            entry.source.refuse(entry.at("codes", shown), message, nearest(state, states))
    return dict(sorted(codes.items()))


def difference_unit(unit: Unit) -> Unit:
    """Return the unit in which the error of a reading in `unit` is given."""
    return UNITS["K"] if unit.dimension == POINT else unit


def _errors(
    entry: Entry, findings: Mapping[str, Finding], unsound: frozenset[str]
) -> dict[str, tuple[float, Quantity]]:
    """Read what the meter may be out by, finding by finding."""
    errors = {}
    for name, (fraction, fixed) in entry.values.get("instrument errors", {}).items():
        found = findings.get(name)
        if name in unsound:
            continue
        unit = found.unit if found else None
        if unit is None:
            message = f"`{excerpt(name)}` is not a finding with a value"
            valued = [each.id for each in findings.values() if each.unit]
            key = entry.key_at("instrument errors", name)
            entry.source.refuse(key, message, nearest(name, valued))
            continue
        unit = difference_unit(unit)
        try:
            part = in_dimension(fixed, unit) if fixed is not None else Quantity(0.0, unit)
        except ValueError as error:
            entry.source.refuse(entry.at("instrument errors", name), str(error))
            continue
        errors[name] = (fraction, part)
    return errors
