"""From all that was gathered to one rulebook: types, builders, evidence, layers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from diag.logic.graph import Circle, stratify
from diag.model.expression import Formula
from diag.model.problem import Problem
from diag.model.quantity import Quantity, Unit
from diag.model.rulebook import Cause, Figure, Finding, Rule, Rulebook, Sign
from diag.model.settings import Scales, Settings
from diag.rulebook.build import causes, dangers, findings, hearing, signs, units
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.findings import check_states, choices_of, unit_of
from diag.rulebook.build.gather import Gathered
from diag.rulebook.build.lookup import Lookup
from diag.rulebook.build.tables import SCALES
from diag.rulebook.build.thresholds import KIND, check_data, thresholds
from diag.rulebook.language.dimensions import Names, Type

Made = TypeVar("Made")


def link(gathered: Gathered, formulas: Mapping[str, Formula], fingerprint: str) -> Rulebook:
    """Build the rulebook; what is wrong is added to the problems gathered."""
    look = _lookup(gathered, formulas)
    found = _build(look, "findings", findings.finding)
    concluded = _build(look, "signs", signs.sign)
    evidence = _with_findings(look, concluded, found)
    figures = {n: one for n, one in _build(look, "figures", signs.figure).items() if one}
    raised = _build(look, "dangers", dangers.danger)
    made = _build(look, "causes", lambda look, entry: causes.cause(look, entry, evidence))
    data = _build(look, "unit data", units.datum)
    barred = _build(look, "cannot be", causes.impossible).values()
    rules, deciding = _rules(look, (*(rule for _, rule in raised.values()), *barred))
    book = Rulebook(
        scales=look.scales,
        findings=found,
        checks=_build(look, "checks", findings.check),
        signs=_evidence_used(evidence, made),
        rules=rules,
        figures=figures,
        causes=made,
        dangers={name: danger for name, (danger, _) in raised.items()},
        complaints=_build(look, "complaints", causes.complaint),
        units=units.units(look, data, found, concluded, {}),
        unit_data=data,
        unit_limits=tuple(units.limit(look, entry) for entry in gathered.limits),
        cautions=_texts(gathered, "cautions"),
        acts=_texts(gathered, "acts"),
        strata=_strata(gathered, deciding, figures),
        hash=fingerprint,
        drafts=frozenset(gathered.drafts),
        thresholds=thresholds(gathered),
        word_groups=_build(look, hearing.GROUPS, hearing.word_group),
        heard_as=hearing.heard_as(look),
        runs=_build(look, "runs", findings.run),
        profiles=_build(look, "profiles", findings.workplace),
        told_as=hearing.told_as(look),
        word_weights=hearing.word_weights(look),
        word_counts=hearing.word_counts(look),
    )
    return _checked(look, book, evidence)


def _checked(look: Lookup, book: Rulebook, evidence: Mapping[str, Sign]) -> Rulebook:
    """Return the rulebook; what is wrong between entries that are each right is a problem."""
    causes.check_defects(look, evidence)
    dangers.check_releases(look, book)
    findings.check_workplaces(look, book)
    return hearing.checked_use(look, book)


def _check_choices(gathered: Gathered) -> None:
    for entry in gathered.of("findings").values():
        if "choices" in entry.values:
            check_states(entry, "choices", tuple(choices_of(entry)))


def lookup_for(gathered: Gathered, rulebook: Rulebook) -> Lookup:
    """Return a lookup in a rulebook that is built already."""
    return Lookup(gathered, names_of(rulebook), rulebook.scales, {}, frozenset())


def names_of(rulebook: Rulebook) -> Names:
    """Return the types of all names in a rulebook."""
    types: dict[str, Type] = {name: sign.states for name, sign in rulebook.signs.items()}
    types.update({name: figure.unit for name, figure in rulebook.figures.items()})
    types.update({name: limit.value.unit for name, limit in rulebook.thresholds.items()})
    types.update({n: found.unit or found.states for n, found in rulebook.findings.items()})
    return Names(types, {name: datum.unit for name, datum in rulebook.unit_data.items()})


def _lookup(gathered: Gathered, formulas: Mapping[str, Formula]) -> Lookup:
    types: dict[str, Type] = {}
    unsound: set[str] = set()
    homes: dict[str, Entry] = {}
    for kind in ("findings", "signs", "figures", KIND):
        for name, entry in gathered.of(kind).items():
            if name in homes:
                message = f"`{name}` is already a finding or a sign, in {homes[name].place}"
                entry.source.refuse(entry.key, message, "give one of the two another id")
                continue
            homes[name] = entry
            known = _type(kind, entry)
            if known:
                types[name] = known
            if not (known and entry.sound):
                unsound.add(name)
    entries = gathered.of("unit data").items()
    data = {name: entry.values["unit"] for name, entry in entries if "unit" in entry.values}
    words = {name: gathered.scales.get(name, {}) for name in SCALES}
    scales = Scales(**words, settings=Settings.of_words(gathered.scales.get("settings", {})))
    check_data(gathered)
    _check_choices(gathered)
    limits = {name: limit.term() for name, limit in thresholds(gathered).items()}
    return Lookup(gathered, Names(types, data), scales, formulas, frozenset(unsound), limits=limits)


def _type(kind: str, entry: Entry) -> Type | None:
    if kind == "signs":
        states: tuple[str, ...] = entry.values.get("states", ())
        return states
    if kind == KIND:
        value: Quantity | None = entry.values.get("value")
        return value.unit if value else None
    unit: Unit | None = entry.values.get("unit") if kind == "figures" else unit_of(entry)
    return unit or tuple(choices_of(entry))


def _build(look: Lookup, kind: str, make: Callable[[Lookup, Entry], Made]) -> dict[str, Made]:
    """Build every entry of a kind that could be read, in order of id."""
    entries = sorted(look.gathered.of(kind).items())
    return {name: make(look, entry) for name, entry in entries if entry.sound}


def _texts(gathered: Gathered, kind: str) -> dict[str, str]:
    return {name: entry.values["text"] for name, entry in sorted(gathered.of(kind).items())}


def _rules(look: Lookup, raising: tuple[Rule, ...]) -> tuple[tuple[Rule, ...], tuple[Rule, ...]]:
    """Return all rules, and those of them that can decide a layer.

    Rules of signs stand in order of id, then those of dangers and of what cannot be, then those
    that rule a cause out.
    """
    made: list[Rule] = []
    deciding: list[Rule] = []
    for _, entry in sorted(look.gathered.of("signs").items()):
        if "states" in entry.values:
            rules, needed = signs.rules_of(look, entry)
            made += rules
            deciding += needed
    ends = list(raising)
    for _, entry in sorted(look.gathered.of("causes").items()):
        ends += causes.ruled_out(look, entry)
    return (*made, *ends), (*deciding, *ends)


def _with_findings(
    look: Lookup, concluded: Mapping[str, Sign], found: Mapping[str, Finding]
) -> dict[str, Sign]:
    """Return the signs, and every finding with states as the sign that it may serve as."""
    entries = look.gathered.of("findings")
    direct = {
        name: Sign(
            id=name,
            states=finding.states,
            area=finding.area,
            leak=look.leaks(entries[name], finding.states),
            defects=look.defects(entries[name], finding.states),
            is_finding=True,
            place=finding.place,
        )
        for name, finding in found.items()
        if finding.choices
    }
    return {**direct, **concluded}


def _evidence_used(evidence: Mapping[str, Sign], made: Mapping[str, Cause]) -> dict[str, Sign]:
    """Keep of the findings those that a cause names as evidence."""
    named = {name for cause in made.values() for name in (*cause.shows, *cause.quiet)}
    kept = {n: sign for n, sign in evidence.items() if not sign.is_finding or n in named}
    return dict(sorted(kept.items()))


def _strata(
    gathered: Gathered, rules: tuple[Rule, ...], figures: Mapping[str, Figure]
) -> Mapping[str, int]:
    """Return the layers of the signs, or note the circle that forbids them."""
    layers = stratify(rules, figures)
    if not isinstance(layers, Circle):
        return layers
    places = [rule.place for rule in layers.rules] or [
        figures[name].place for name in layers.names[:-1]
    ]
    first, rest = places[0], places[1:]
    advice = "break the circle at one of its steps"
    if rest:
        advice += ", also in " + ", ".join(str(place) for place in rest)
    source = gathered.sources.get(first.path)
    message = f"this cannot be settled: {layers}"
    if source is not None:
        source.refuse_at(first, message, advice)
    else:
        gathered.problems.append(Problem(first, message, advice))
    return {}
