"""A start or a run as somebody beside the heater takes it in: seen, heard and smelt, by phase."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from diag.workshop.heater import Heater
from diag.workshop.run.moment import Moment
from diag.workshop.seen import Seen, flashes, into_cabin, lit_at_the_end, panel_lit

TURNS = 0.1
"""Share of its speed from which a fan is heard to turn."""
WARM_K = 15.0
SMELT = 0.05
"""Share of the exhaust in the cabin from which people smell it; memory."""
SMOKES_S, TICKS_HZ = 20.0, 0.2
Stretch = Sequence[Moment]


def what_is_seen(seen: Seen) -> tuple[str, ...]:
    """Return what a start lets be seen, heard and smelt, a sentence for each phase and the end."""
    told = list[tuple[str, list[Moment]]]()
    for phase, group in groupby(seen.trace, key=lambda moment: moment.phase):
        tell = _TELL.get(phase)
        stretch = list(group)
        if tell is None:
            continue
        said = "; ".join(tell(stretch, seen.heater))
        if told and told[-1][0] == said:
            told[-1][1].extend(stretch)
        else:
            told.append((said, stretch))
    lines = [f"{_span(stretch)}: {said}." for said, stretch in told]
    return (_panel(seen), *(lines or ["Nothing turns, ticks or glows."]), how_it_ends(seen))


def how_it_ends(seen: Seen) -> str:
    """Return how the heater stands at the end of a run, in a sentence."""
    if lit_at_the_end(seen) > 0.5:
        warm = seen.trace.last("outlet temperature") or 0.0
        felt = "warm" if warm > (seen.trace.last("inlet temperature") or 0.0) + WARM_K else "cool"
        return f"In the end it burns, and the air at the outlet is {felt}."
    count = flashes(seen)
    if count > 0.5:
        return f"In the end it is out, and the panel flashes {count:.0f} times."
    if seen.trace.phases[-1:] == ("off",) and len(seen.trace.phases) > 1:
        return "In the end it is dead, as if its power had gone, and no code is shown."
    return "In the end it does not burn, and the panel shows no code."


def _panel(seen: Seen) -> str:
    return "The panel is lit." if panel_lit(seen) > 0.5 else "The panel is dark."


def _span(stretch: Stretch) -> str:
    """Return how long a stretch lasted, as a watch shows it."""
    seconds = stretch[-1].at_s - stretch[0].at_s
    return (
        f"For {seconds / 60.0:.0f} min" if seconds >= 100.0 else f"For {max(1, round(seconds))} s"
    )


def _fan(stretch: Stretch, turning: str) -> Iterator[str]:
    if max(moment.fan_share for moment in stretch) < TURNS:
        yield "no fan is heard"
        return
    yield turning
    if any(moment.rubs for moment in stretch):
        yield "something scrapes in it"


def _pump(stretch: Stretch) -> Iterator[str]:
    ticking = [each.pump_hz for each in stretch if each.pump_ticks and each.pump_hz > TICKS_HZ]
    if not ticking:
        yield "the pump is silent"
    else:
        yield f"the pump ticks, at most {max(ticking):.1f} times a second"


def _smoke(stretch: Stretch) -> Iterator[str]:
    step_s = stretch[1].at_s - stretch[0].at_s if len(stretch) > 1 else 0.0
    for colour, smells in (("white", " that smells of fuel"), ("dark", "")):
        if step_s * sum(moment.smoke == colour for moment in stretch) > SMOKES_S:
            yield f"{colour} smoke{smells} at the exhaust"


def _run_up(stretch: Stretch, heater: Heater) -> Iterator[str]:
    yield from _fan(stretch, "the fan runs up")


def _glow(stretch: Stretch, heater: Heater) -> Iterator[str]:
    yield from _fan(stretch, "the fan turns softly and the plug is to heat; nothing more is seen")


def _fuel(stretch: Stretch, heater: Heater) -> Iterator[str]:
    yield from _pump(stretch)
    yield from _smoke(stretch)
    yield "a flame is heard" if any(moment.flame for moment in stretch) else "no flame is heard"


def _burning(stretch: Stretch, heater: Heater) -> Iterator[str]:
    last = stretch[-1]
    yield "the flame roars" if last.flame else "the flame is heard, and dies"
    yield from _pump(stretch)
    yield from _smoke(stretch)
    if last.outlet_c > last.inlet_c + WARM_K:
        yield "warm air comes"
    if into_cabin(heater) > SMELT:
        yield "it smells of exhaust inside"


def _purge(stretch: Stretch, heater: Heater) -> Iterator[str]:
    yield from _fan(stretch, "no flame; the fan blows the burner through")
    yield from _smoke(stretch)


def _stops(stretch: Stretch, heater: Heater) -> Iterator[str]:
    yield from _fan(stretch, "it gives up, and the fan runs on")


def _shuts_down(stretch: Stretch, heater: Heater) -> Iterator[str]:
    yield from _fan(stretch, "the pump is silent and the fan runs on")


_TELL: dict[str, Callable[[Stretch, Heater], Iterator[str]]] = {
    "fan run-up": _run_up,
    "glow": _glow,
    "fuel": _fuel,
    "flame": _burning,
    "ramp": _burning,
    "full": _burning,
    "low": _burning,
    "purge": _purge,
    "fault cool-down": _stops,
    "shut-down glow": _shuts_down,
    "cool-down": _shuts_down,
}
