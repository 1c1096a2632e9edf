"""What stands in the way of an act at the bench: a danger, a caution, or what has to come first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from diag.model.frozen import frozen
from diag.model.phrasing import in_a_row
from diag.model.rulebook import Cause, Check, Danger, Value
from diag.practice.drill.trade_words import READY
from diag.practice.readings import true_at_rest
from diag.practice.units import PracticeUnit
from diag.practice.work import COOLS, Work
from diag.reason.chain.engine import Chain
from diag.reason.plan.costs import setup_costs
from diag.session.state import SessionState

BURNS_C = 45.0
"""From this on the body is taken as hot: what the control unit calls cool; memory."""
HEEDED_BY: Mapping[str, tuple[str, ...]] = {
    COOLS: ("hot parts", "hot glow plug", "fuel fire"),
    "power off": ("power off first", "battery short circuit", "moving fan"),
}
"""What acts need, to the cautions that are run into where that was left out."""
INSTEAD = {"cover off": ("on the bench",)}
"""What else will do for what an act needs."""


@frozen
class Undertaking:
    """A check or a repair as far as something may stand in its way."""

    acts: tuple[str, ...]
    needs: tuple[str, ...]
    """What people have to bring about by themselves before it."""
    cautions: tuple[str, ...]

    @classmethod
    def of(cls, what: Check | Cause) -> Undertaking:
        """Return what a check, or the repair of a cause, undertakes."""
        work = what if isinstance(what, Check) else what.repair
        needs = tuple(key for key in (*work.needs, work.access) if key in READY)
        return cls(work.acts, needs, what.cautions)


@frozen
class Hindrance:
    """Why an act was not done. It counts against the learner unless it is only a need."""

    kind: str
    """`danger`, `caution` or `need`."""
    name: str
    say: str
    raised: Mapping[str, Value]
    """Readings that a look would have brought, and that the learner has now seen."""
    danger: Danger | None = None


def hindrance(
    state: SessionState, unit: PracticeUnit, work: Work, act: Undertaking
) -> Hindrance | None:
    """Return what stands in the way of an act, dangers first; None for nothing."""
    return next(_in_order(state, unit, work, act), None)


def _in_order(
    state: SessionState, unit: PracticeUnit, work: Work, act: Undertaking
) -> Iterator[Hindrance]:
    for name in sorted(state.dangers.held):
        barred = _barred(state, name, act)
        if barred:
            said = f"That {barred}, and while this danger holds nobody does. "
            danger = state.rulebook.dangers[name]
            said += f"Work may go on when: {danger.resume_when}"
            yield Hindrance("danger", name, said, {}, danger)
    for name, raised in unseen_dangers(state, unit).items():
        barred = _barred(state, name, act)
        if barred:
            said = f"That {barred}, and {_why(state, name)}. It was there to be seen."
            yield Hindrance("danger", name, said, raised, state.rulebook.dangers[name])
    for key in act.needs:
        if not _is_ready(work, unit, key):
            yield _missing(state, act, key)


def _barred(state: SessionState, danger: str, act: Undertaking) -> str:
    forbids = state.rulebook.dangers[danger].forbids
    return in_a_row(each for each in act.acts if each in forbids)


def _why(state: SessionState, danger: str) -> str:
    whys = (
        r.why for r in state.rulebook.rules if r.then.kind == "danger" and r.then.name == danger
    )
    return next(whys, "") or state.rulebook.dangers[danger].title.lower()


def unseen_dangers(state: SessionState, unit: PracticeUnit) -> Mapping[str, Mapping[str, Value]]:
    """Return the dangers that a look round would show and that nobody has looked for yet."""
    book, shown = state.rulebook, dict[str, Value]()
    for name in sorted(book.asked_first - state.readings.keys()):
        value = true_at_rest(book, unit, name)
        if value is not None:
            shown[name] = value
    chain = Chain(state.compiled.network, state.unit)
    chain.tell_all(shown)
    return {
        name: {each: shown[each] for each in book.dangers[name].ask_first if each in shown}
        for name in chain.dangers
        if name not in state.dangers.held
    }


def _is_ready(work: Work, unit: PracticeUnit, key: str) -> bool:
    if key == COOLS and unit.visit.world.state.body_c < BURNS_C:
        work.opened |= {COOLS}
    return bool(work.opened.intersection((key, *INSTEAD.get(key, ()))))


def _missing(state: SessionState, act: Undertaking, key: str) -> Hindrance:
    spent = setup_costs(state.rulebook)[key]
    first = f"First `{READY[key][0]}`: {spent:.0f} min{' of waiting' if key == COOLS else ''}."
    caution = next((each for each in HEEDED_BY.get(key, ()) if each in act.cautions), "")
    if caution and act.acts:  # to look at the outside of a thing is no risk yet
        return Hindrance("caution", caution, f"{state.rulebook.cautions[caution]} {first}", {})
    return Hindrance("need", key, f"For that it has to be {_as_needed(key)}. {first}", {})


def _as_needed(key: str) -> str:
    return {COOLS: "cold", "cover off": "open, its cover off", "power off": "without power"}.get(
        key, key
    )
