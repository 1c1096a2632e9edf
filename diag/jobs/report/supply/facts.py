"""What a session knows of a supply: the unit's data, the cable, and its starts as they were read.

What stands for a class tells nothing of the cable that lies in one vehicle, so a cable is only what
was measured, or what the unit's own data say.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from diag.bench.amounts import read_error
from diag.bench.battery.inputs import AMPS_ERROR
from diag.bench.cable.inputs import AREA as CABLE_AREA
from diag.bench.cable.inputs import LENGTH, VOLTS_ERROR
from diag.bench.figures import Measurement
from diag.bench.inputs import Input, measured
from diag.bench.supply.known import LaidCable, ReadStart, WiringLimits, wiring_limits
from diag.jobs.history.told import SessionHistory, Taken
from diag.jobs.pictures.read import AT_HEATER, AT_REST, AT_TERMINALS, IGNITING
from diag.logic.rests_on import directly_below, resting_on
from diag.model.frozen import frozen
from diag.model.quantity import UNITS, Quantity
from diag.model.rulebook import Rulebook

POSITIVE, NEGATIVE = "drop along the positive cable", "drop along the negative cable"
RUN, AREA, FUSE, KIND = "cable run", "cable area", "fuse rating", "battery kind"
COMPARED = "fuse against the cable"
BATTERY_INSIDE = "battery inside"
NOMINAL, IGNITION, CUT_OFF_DATUM = "nominal voltage", "ignition current", "low-voltage cut-off"
MEASURED, BY_DATA = "as measured", "by the heater's data"


@frozen
class _CablePart:
    """The finding of a part of the cable, the unit's datum for it, and how it is measured."""

    finding: str
    datum: str
    asked: Input


_LENGTH = _CablePart(RUN, "supply cable length", LENGTH)
_AREA = _CablePart(AREA, "supply cable area", CABLE_AREA)


@frozen
class StartSeen:
    """A start as it was read at one stage, and the cable that lay there then."""

    stage: int
    read: ReadStart
    length: Measurement | None
    area: Measurement | None

    @property
    def cable(self) -> LaidCable | None:
        """Return the cable; None where its length or its area is not known."""
        return LaidCable(self.length, self.area) if self.length and self.area else None


@frozen
class SupplyFacts:
    """What is known of a unit's supply in one session."""

    session: SessionHistory
    limits: WiringLimits
    nominal_v: float
    starts: tuple[StartSeen, ...]
    """The stages at which volts were read while it started, in order."""
    now: StartSeen
    """The last stage; with nothing read where its volts were not."""
    battery: StartSeen | None
    """The last start that told the battery's resistance, where it was not repaired since."""
    heater_v: float | None
    """What the heater's connector must keep while the glow plug is on (V)."""
    ignition: Measurement | None
    """What it draws then: by its data, or as it was measured where that is more."""
    fuse_a: float | None
    """The rating of the fuse that is in (A)."""
    fuse_compared: str
    """How somebody compared the fuse that is in now with its cable; empty where nobody did."""
    kind: str
    """The kind of battery; empty where nobody said."""

    @property
    def in_brief(self) -> bool:
        """Tell whether nothing of the supply was read, so that little is to be said of it."""
        known = (self.battery, self.now.length, self.now.area, self.fuse_a)
        return not self.starts and all(one is None for one in known)

    @property
    def danger_holds(self) -> bool:
        """Tell whether a danger holds, so that nobody is to be told to start the heater."""
        return any(one.holds for one in self.session.dangers)

    def class_value(self, datum: str) -> bool:
        """Tell whether a datum stands for the unit's class, and is not its own."""
        return datum in self.session.unit.assumed


def supply_facts(session: SessionHistory, book: Rulebook) -> SupplyFacts | None:
    """Return what a session knows of the supply; None for rules or a unit that tell nothing."""
    data = session.unit.data
    if NOMINAL not in data:
        return None
    nominal_v = UNITS["V"].from_si(data[NOMINAL].si)
    try:
        limits = wiring_limits(book.thresholds, nominal_v)
    except ValueError:
        return None
    lasting = _Lasting(session, book)
    last = len(session.repairs)
    seen = [_start(session, stage, lasting) for stage in range(last + 1)]
    now = seen[-1]
    loaded = [one for one in seen if lasting.holds(BATTERY_INSIDE, one.stage, last)]
    kind, fuse = lasting.at(KIND, last), _fuse(session, book)
    cut_off = _datum(session, CUT_OFF_DATUM, "V")
    return SupplyFacts(
        session=session,
        limits=limits,
        nominal_v=nominal_v,
        starts=tuple(one for one in seen if any(_volts(one.read))),
        now=now,
        battery=next((one for one in reversed(loaded) if _tells_battery(one.read)), None),
        heater_v=None if cut_off is None else cut_off.value + limits.reserve_v,
        ignition=_ignition(session, now.read),
        fuse_a=_value(fuse, "A"),
        fuse_compared=str(fuse.value) if fuse and fuse.finding == COMPARED else "",
        kind=str(kind.value) if kind else "",
    )


def _tells_battery(read: ReadStart) -> bool:
    return bool(read.rest and read.terminals and read.amps)


def _volts(read: ReadStart) -> Iterator[Measurement]:
    volts = (read.terminals, read.heater, read.positive, read.negative)
    return (one for one in volts if one is not None)


def _ignition(session: SessionHistory, read: ReadStart) -> Measurement | None:
    told = _datum(session, IGNITION, "A")
    if read.amps and (told is None or read.amps.value > told.value):
        return Measurement(MEASURED, read.amps.value, 0.0, "A")
    return told


def _fuse(session: SessionHistory, book: Rulebook) -> Taken | None:
    """Return the last reading of the fuse, or of how it compares with its cable.

    None where nobody read it, or where a repair fitted another one since.
    """
    mine = [one for one in session.readings if one.finding in (FUSE, COMPARED)]
    if not mine:
        return None
    since = session.repairs[mine[-1].stage :]
    parts = (part for one in since for part in book.causes[one.cause].repair.parts)
    return None if any("fuse" in part for part in parts) else mine[-1]


class _Lasting:
    """Readings that go on being true until what they are of is repaired."""

    def __init__(self, session: SessionHistory, book: Rulebook) -> None:
        self._session = session
        below = directly_below(book.rules, book.figures, book.signs)
        self._ended = [
            {*book.causes[one.cause].shows, *resting_on(book.causes[one.cause].shows, below.get)}
            for one in session.repairs
        ]

    def at(self, finding: str, stage: int) -> Taken | None:
        """Return the last reading that holds at a stage; a repair ends what its cause shows."""
        mine = [one for one in self._session.readings if one.finding == finding]
        held = [one for one in mine if one.stage <= stage and self.holds(finding, one.stage, stage)]
        return held[-1] if held else None

    def holds(self, finding: str, since: int, stage: int) -> bool:
        """Tell whether a reading or a sign of one stage still holds at another."""
        return not any(finding in ended for ended in self._ended[since:stage])


def _start(session: SessionHistory, stage: int, lasting: _Lasting) -> StartSeen:
    mine = {one.finding: one for one in session.readings if one.stage == stage}
    return StartSeen(
        stage,
        ReadStart(
            _volts_reading(session, mine.get(AT_REST)),
            _volts_reading(session, mine.get(AT_TERMINALS)),
            _volts_reading(session, mine.get(AT_HEATER)),
            _volts_reading(session, mine.get(POSITIVE)),
            _volts_reading(session, mine.get(NEGATIVE)),
            _amps_reading(session, mine.get(IGNITING)),
        ),
        _of_cable(session, lasting, stage, _LENGTH),
        _of_cable(session, lasting, stage, _AREA),
    )


def _of_cable(
    session: SessionHistory, lasting: _Lasting, stage: int, part: _CablePart
) -> Measurement | None:
    """Return what was measured of the cable, else what the unit's own data say of it.

    Its name says which; a measured one has the usual error of its kind.
    """
    value = _value(lasting.at(part.finding, stage), part.asked.unit)
    if value is not None and value > 0:
        return replace(measured(part.asked, f"{value:.6g} {part.asked.unit}"), name=MEASURED)
    if part.datum in session.unit.assumed or not lasting.holds(part.finding, 0, stage):
        return None
    return _datum(session, part.datum, part.asked.unit)


def _value(taken: Taken | None, unit: str) -> float | None:
    """Return a reading as a number in a unit; None where it is none, or beyond the meter."""
    value = None if taken is None else taken.value
    if not isinstance(value, Quantity) or value.over_range:
        return None
    return UNITS[unit].from_si(value.si)


def _volts_reading(session: SessionHistory, taken: Taken | None) -> Measurement | None:
    """Return volts with the error that a difference keeps: the fixed part of the meter's."""
    value = _value(taken, "V")
    if taken is None or value is None:
        return None
    stated = session.unit.instrument_errors.get(taken.finding)
    error = (
        UNITS["V"].from_si(stated[1].si)
        if stated
        else read_error(taken.finding, VOLTS_ERROR, "V", value)
    )
    return Measurement(taken.finding, value, error, "V", stated is None)


def _amps_reading(session: SessionHistory, taken: Taken | None) -> Measurement | None:
    value = _value(taken, "A")
    if taken is None or value is None or value <= 0:
        return None
    stated = session.unit.instrument_errors.get(taken.finding)
    error = read_error(IGNITING, AMPS_ERROR, "A", value)
    if stated:
        error = stated[0] * value + UNITS["A"].from_si(stated[1].si)
    return Measurement(taken.finding, value, error, "A", stated is None)


def _datum(session: SessionHistory, name: str, unit: str) -> Measurement | None:
    data = session.unit.data
    return (
        Measurement(BY_DATA, UNITS[unit].from_si(data[name].si), 0.0, unit)
        if name in data
        else None
    )
