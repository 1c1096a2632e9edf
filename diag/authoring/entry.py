"""One entry of the rulebook told in plain words, with what refers to it."""

from __future__ import annotations

from difflib import get_close_matches

from diag.model.expression import names_in, written
from diag.model.phrasing import plain_name
from diag.model.rulebook import Cause, Check, Danger, Figure, Finding, Rulebook, Sign
from diag.model.threshold import Threshold
from diag.session.proof.good import what_is_good
from diag.session.proof.measuring import Lines, measuring

STANDING = {
    "draft": "draft: read by `diag rules check` only",
    "trial": "on trial: in use, but not called proven by three worked cases yet",
    "proven": "proven: three worked cases or more come out",
}


def describe(rulebook: Rulebook, name: str, drawn: bool = False) -> Lines:
    """Return label and text, line by line; `KeyError` with the nearest ids for an unknown one.

    An id may be written with blanks or with hyphens, as in its file's name. `drawn`: what a
    drawing shows is left out, as it is shown itself.
    """
    wanted = plain_name(name)
    tables = (
        rulebook.causes,
        rulebook.findings,
        rulebook.signs,
        rulebook.checks,
        rulebook.figures,
        rulebook.thresholds,
        rulebook.dangers,
    )
    known = {one.replace("-", " "): (table, one) for table in tables for one in table}
    if wanted not in known:
        raise KeyError(", ".join(f"`{one}`" for one in get_close_matches(wanted, known, n=3)))
    entry = next(table[one] for table in tables for one in table if one.replace("-", " ") == wanted)
    if isinstance(entry, Cause):
        return _cause(entry)
    if isinstance(entry, Finding):
        return [*_finding(entry), *_measured(rulebook, entry, drawn), *_users(rulebook, entry.id)]
    if isinstance(entry, Sign):
        return [*_sign(rulebook, entry), *_users(rulebook, entry.id)]
    if isinstance(entry, Check):
        return [("check", entry.id), ("do", entry.do), ("yields", ", ".join(entry.yields))]
    if isinstance(entry, Figure):
        return [*_figure(entry), *_users(rulebook, entry.id)]
    if isinstance(entry, Threshold):
        return _threshold(entry)
    assert isinstance(entry, Danger)
    return [("danger", entry.title), *[("do now", step) for step in entry.do_now]]


def drawing(rulebook: Rulebook, name: str) -> tuple[str, ...]:
    """Return the drawing of how a finding is measured, line by line; empty where none is."""
    findings = {plain_name(one.id): one for one in rulebook.findings.values()}
    finding = findings.get(plain_name(name))
    return finding.measure.drawing if finding and finding.measure else ()


def _cause(cause: Cause) -> Lines:
    lines = [("cause", cause.title), ("area", cause.area), ("status", STANDING[cause.status])]
    lines += [("source", str(cause.origin))] if cause.origin else []
    lines += [("heater", "sound: its use or the weather explains it")] if cause.no_fault else []
    lines += [("explain", cause.explain)]
    for sign, states in cause.shows.items():
        links = ", ".join(f"{state} {strength:.0%}" for state, strength in states.items())
        lines.append(("shows", f"{sign}: {links}"))
    lines += [
        ("must not show", f"{sign}: {', '.join(states)}") for sign, states in cause.quiet.items()
    ]
    lines += [
        ("confused with", f"{other}: told apart by {by}")
        for other, by in cause.confused_with.items()
    ]
    lines += [("repair", step) for step in cause.repair.do]
    lines += [("cautions", ", ".join(cause.cautions))] if cause.cautions else []
    lines += [("proof", written(proof.condition)) for proof in cause.proof]
    return lines


def _finding(finding: Finding) -> Lines:
    lines = [("finding", finding.id), ("asks", finding.ask), ("known by", finding.how)]
    lines += [("state", f"{state}: {look}") for state, look in finding.choices.items()]
    lines += [("help", finding.help)] if finding.help else []
    if finding.believable:
        low, high = finding.believable
        lines.append(("believable", f"{low} to {high}"))
    return lines


def _measured(rulebook: Rulebook, finding: Finding, drawn: bool) -> Lines:
    """Return how it is measured, and what is good on each unit that the rules know."""
    if finding.measure is None:
        return []
    words = [("good", finding.measure.good)] if finding.measure.good else []
    on: dict[str, list[str]] = {}
    for unit in rulebook.units.values():
        good = what_is_good(rulebook, unit, finding.id)
        if good:
            on.setdefault(good, []).append(unit.id)
    limits = [("good", f"{good} on {', '.join(units)}") for good, units in on.items()]
    return measuring(finding, [*limits, *words], drawn)


def _sign(rulebook: Rulebook, sign: Sign) -> Lines:
    lines = [("sign", sign.title or sign.id), ("states", ", ".join(sign.states))]
    lines += [
        ("rule", f"{rule.then.state} when {written(rule.when)}")
        for rule in rulebook.rules
        if rule.then.name == sign.id
    ]
    return lines


def _figure(figure: Figure) -> Lines:
    how = figure.formula.name if figure.formula else "sum"
    terms = "; ".join(written(term) for term in figure.terms)
    lines = [("figure", figure.title or figure.id), ("unit", figure.unit.symbol)]
    lines += [("computed", f"{how}: {terms}")]
    if figure.formula:
        lines += [("means", figure.formula.explains), ("source", figure.formula.source)]
    return lines


def _threshold(limit: Threshold) -> Lines:
    lines = [("threshold", limit.title or limit.id), ("value", written(limit.term()))]
    return [*lines, ("source", str(limit.origin))] if limit.origin else lines


def _users(rulebook: Rulebook, name: str) -> Lines:
    rules = [rule.id for rule in rulebook.rules if name in names_in(rule.when)]
    causes = [cause.id for cause in rulebook.causes.values() if name in cause.shows]
    checks = [check.id for check in rulebook.checks.values() if name in check.yields]
    figures = [
        figure.id for figure in rulebook.figures.values()
        if any(name in names_in(term) for term in figure.terms)
    ]  # fmt: skip
    found = [("used by rule", one) for one in rules]
    found += [("used by figure", one) for one in figures]
    found += [("shown by", one) for one in causes]
    return found + [("brought by", one) for one in checks]
