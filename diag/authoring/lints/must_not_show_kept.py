"""Seeing what a cause `must not show` counts against it.

The state must be less likely under the cause than over all that the rulebook knows: some other
cause shows it, and this one does not. Else the line promises what the arithmetic does not keep.

Fails:
    causes:
      broken wire: {shows: {wet: {yes: probable}}, must not show: {wet: [yes]}}

Says:
    seeing `wet` as `yes` does not count against `broken wire`, which must not show it
    let the cause that brings it about show it, and take it out of `shows` here

Passes:
    causes:
      broken wire: {must not show: {supply: [sags]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.authoring.predictive import expected
from diag.model.problem import Problem
from diag.reason.belief.belief import Priors, start
from diag.reason.belief.links import compile_links


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each forbidden state that does not speak against its cause."""
    book = material.rulebook
    links = compile_links(book.signs, book.causes)
    overall = start(links, Priors.from_settings(book.scales.settings)).remaining()
    usual: dict[str, dict[str, float]] = {}
    for cause in book.causes.values():
        for sign, states in cause.quiet.items():
            if sign not in usual:
                usual[sign] = _by_known_causes(overall.predict(sign), overall.unknown)
            own = dict(zip(usual[sign], expected(links, cause.id, sign), strict=True))
            for state in states:
                if own[state] >= usual[sign][state]:
                    yield Problem(
                        cause.place,
                        f"seeing `{sign}` as `{state}` does not count against `{cause.id}`, which "
                        "must not show it",
                        "let the cause that brings it about show it, and take it out of `shows` "
                        "here",
                    )


def _by_known_causes(chances: dict[str, float], unknown: float) -> dict[str, float]:
    """Take out what the unknown adds: it shows every state alike, and would hide the fault."""
    flat = unknown / len(chances)
    # Rounding must not let a state that no cause shows seem likelier than the leak alone.
    return {state: (chance - flat) / (1 - unknown) - 1e-9 for state, chance in chances.items()}


LINT = Lint("C05", "must-not-show-kept", check)
