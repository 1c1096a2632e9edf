"""A start's current over time, its stages named and what is heard in each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import groupby
from statistics import median

from diag.model.frozen import frozen
from diag.workshop import Trace, WorkshopError
from diag.workshop.run.moment import Moment

HEIGHT, LABEL = 8, 8
_GLIMPSE_S = 1.5
"""What a run shows no longer than this is no stage of it."""
STAGES = {
    "fan run-up": "fan alone",
    "glow": "glow plug",
    "fuel": "pump joins",
    "flame": "flame",
    "ramp": "plug off",
    "full": "full power",
    "low": "low power",
    "purge": "fan clears",
    "shut-down glow": "plug glows out",
    "cool-down": "cool-down",
    "fault cool-down": "stopped, fan cools",
    "fault": "fault",
    "off": "off",
}
"""What people call the states of the control unit, seen from outside."""
SOUNDS = {"pump ticks": "pump clicks"}


@frozen
class Stage:
    """Hold a stretch of a run in one state: its times (s), its current (A), what is heard."""

    name: str
    from_s: float
    to_s: float
    amps: float
    """The median over the stretch."""
    sounds: tuple[str, ...]
    """What was heard in most of it."""


def stages_of(trace: Trace) -> tuple[Stage, ...]:
    """Return the stages of a run in order, from its first moment that is not `off`.

    Raises `WorkshopError` for a run in which nothing was switched on.
    """
    moments = _awake(trace)
    stretches = [list(group) for _, group in groupby(moments, lambda moment: moment.phase)]
    begun = moments[0].at_s
    ends = [each[0].at_s for each in stretches[1:]] + [moments[-1].at_s]
    return tuple(
        Stage(
            STAGES[each[0].phase],
            each[0].at_s - begun,
            end - begun,
            median(moment.amps for moment in each),
            _heard(each),
        )
        for each, end in zip(stretches, ends, strict=True)
        if end - each[0].at_s > _GLIMPSE_S or len(stretches) == 1
    )


def _awake(trace: Trace) -> Sequence[Moment]:
    """Return a run's moments without the rest before it."""
    for number, moment in enumerate(trace.moments):
        if moment.phase != "off":
            return trace.moments[number:]
    raise WorkshopError("nothing was switched on in this run: start the unit first")


def _heard(moments: Sequence[Moment]) -> tuple[str, ...]:
    often = Counter(sound for moment in moments for sound in moment.sounds)
    return tuple(sound for sound, times in often.items() if 2 * times > len(moments))


def columns_of(trace: Trace, count: int) -> tuple[float, ...]:
    """Return the median current (A) of each of so many equal stretches of time."""
    moments = _awake(trace)
    count = min(count, len(moments))
    found = []
    for column in range(count):
        first, end = column * len(moments) // count, (column + 1) * len(moments) // count
        found.append(median(moment.amps for moment in moments[first:end]))
    return tuple(found)


def current_rows(trace: Trace, width: int) -> tuple[str, ...]:
    """Draw the current of a run: amps up, time across, each stage by its number below.

    Raises `WorkshopError` for a run in which nothing was switched on.
    """
    amps = columns_of(trace, max(10, width - LABEL - 2))
    most = max(*amps, 0.1)
    tops = [round(HEIGHT * each / most) for each in amps]
    rows = []
    for level in range(HEIGHT, 0, -1):
        told = f"{most * level / HEIGHT:4.1f} A" if level % 2 == 0 else ""
        drawn = "".join("#" if top >= level else " " for top in tops)
        rows.append(f"{told:>{LABEL - 1}} |{drawn}".rstrip())
    stages = stages_of(trace)
    whole = stages[-1].to_s
    rows.append(" " * LABEL + "+" + "-" * len(amps))
    rows.append(" " * (LABEL + 1) + _numbers(stages, whole, len(amps)))
    end = f"{whole:.0f} s"
    rows.append(" " * (LABEL + 1) + f"0 s{end:>{max(len(end) + 1, len(amps) - 3)}}")
    return tuple(row[:width].rstrip() for row in rows)


def _numbers(stages: Sequence[Stage], whole_s: float, columns: int) -> str:
    """Return the stages' numbers under where each begins, a blank apart where it is close."""
    line, free = "", 0
    for number, stage in enumerate(stages, 1):
        told = str(number)
        at = max(free, min(columns - len(told), int(columns * stage.from_s / max(whole_s, 1.0))))
        if at + len(told) > columns:
            break
        line = line.ljust(at) + told
        free = at + len(told) + 1
    return line


def current_words(trace: Trace) -> tuple[str, ...]:
    """Say of each stage how long it is, what it draws and what is heard.

    Raises `WorkshopError` for a run in which nothing was switched on.
    """
    return tuple(
        f"{number} {stage.name}: {stage.from_s:.0f} s to {stage.to_s:.0f} s, "
        f"about {stage.amps:.1f} A; {_hear(stage.sounds)}"
        for number, stage in enumerate(stages_of(trace), 1)
    )


def _hear(sounds: Sequence[str]) -> str:
    if not sounds:
        return "nothing is heard"
    return f"heard: {', '.join(SOUNDS.get(sound, sound) for sound in sounds)}"
