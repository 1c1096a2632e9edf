"""Which checks and repairs lack a caution that what they do needs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diag.model.problem import Place
from diag.model.rulebook import Rulebook


def lacking(rulebook: Rulebook, wanted: Mapping[str, str]) -> Iterator[tuple[str, Place, str]]:
    """Yield (what, place, caution) for each caution that an act wants and that is not named."""
    done = [
        (f"the check `{one.id}`", one.place, one.acts, one.cautions)
        for one in rulebook.checks.values()
    ]
    done += [
        (f"the repair of `{one.id}`", one.place, one.repair.acts, one.cautions)
        for one in rulebook.causes.values()
    ]
    for what, place, acts, cautions in done:
        for caution in sorted({wanted[act] for act in acts if act in wanted} - set(cautions)):
            yield what, place, caution
