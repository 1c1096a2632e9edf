"""What the pictures of a job show, as numbers in the units that people read."""

from __future__ import annotations

from diag.model.frozen import frozen


@frozen
class SupplyLosses:
    """Where the volts go between battery and heater while the glow plug is on (V)."""

    rest_v: float
    terminals_v: float
    heater_v: float
    cut_off_v: float | None = None
    positive_v: float | None = None
    """Lost along the positive cable, where that was read."""
    negative_v: float | None = None

    @property
    def battery_loss_v(self) -> float:
        """Return what the battery gives less than at rest."""
        return self.rest_v - self.terminals_v

    @property
    def wiring_loss_v(self) -> float:
        """Return what is lost between the battery's terminals and the heater, there and back."""
        return self.terminals_v - self.heater_v


@frozen
class LoadLine:
    """The battery's volts over its current: at rest, and while the glow plug is on."""

    rest_v: float
    terminals_v: float
    amps: float
    heater_v: float | None = None
    cut_off_v: float | None = None

    @property
    def milliohm(self) -> float:
        """Return the slope: the battery's inner resistance (mohm)."""
        return 1000.0 * (self.rest_v - self.terminals_v) / self.amps


@frozen
class PhaseAmps:
    """The current of a phase of a run (A), and between what it is good, as far as that is known."""

    phase: str
    amps: float
    low: float | None = None
    high: float | None = None


@frozen
class StartCurrent:
    """The current of a start, phase by phase, in their order."""

    phases: tuple[PhaseAmps, ...]


@frozen
class HeatFlow:
    """Where the fuel's heat goes (kW); `exhaust_kw` None where the exhaust was not read."""

    fuel_kw: float
    air_kw: float
    exhaust_kw: float | None = None

    @property
    def rest_kw(self) -> float:
        """Return what is not accounted for: the case, what is unburnt, and errors of reading."""
        return self.fuel_kw - self.air_kw - (self.exhaust_kw or 0.0)


@frozen
class BeliefPath:
    """How likely the leading causes were after each answer; shares from 0 to 1."""

    after: tuple[str, ...]
    """What was answered, in order."""
    lines: tuple[tuple[str, tuple[float, ...]], ...]
    """A cause's title, and its share after each."""


JobPicture = SupplyLosses | LoadLine | StartCurrent | HeatFlow | BeliefPath

TITLES: dict[type, str] = {
    SupplyLosses: "Drops along the supply while the glow plug is on",
    LoadLine: "Load line of the battery",
    StartCurrent: "Current of the start, phase by phase",
    HeatFlow: "Where the heat of the fuel goes",
    BeliefPath: "Belief from answer to answer",
}


def percent_of(share: float) -> str:
    """Write a share in full percent, never as a certainty.

    >>> percent_of(0.47), percent_of(0.9999), percent_of(0.001)
    ('47 %', 'over 99 %', 'under 1 %')
    """
    if share > 0.995:
        return "over 99 %"
    return "under 1 %" if 0 < share < 0.005 else f"{100 * share:.0f} %"


def title_of(picture: JobPicture) -> str:
    """Return the heading of a picture."""
    return TITLES[type(picture)]


def told_in_words(picture: JobPicture) -> str:
    """Say in a sentence what a picture shows, for those to whom it is not shown."""
    if isinstance(picture, SupplyLosses):
        return (
            f"Of {picture.rest_v:.2f} V at rest the battery loses {picture.battery_loss_v:.2f} V "
            f"and the wiring {picture.wiring_loss_v:.2f} V; the heater gets "
            f"{picture.heater_v:.2f} V{_against(picture.heater_v, picture.cut_off_v)}."
        )
    if isinstance(picture, LoadLine):
        return (
            f"From {picture.rest_v:.2f} V at rest to {picture.terminals_v:.2f} V at "
            f"{picture.amps:.1f} A: {picture.milliohm:.0f} mohm inside the battery."
        )
    if isinstance(picture, StartCurrent):
        return "; ".join(f"{one.phase} {one.amps:.2f} A" for one in picture.phases) + "."
    if isinstance(picture, HeatFlow):
        return _flow(picture)
    last = [f"{name} {percent_of(line[-1])}" for name, line in picture.lines]
    return f"After {len(picture.after)} steps: {', '.join(last)}."


def _against(volts: float, cut_off: float | None) -> str:
    if cut_off is None:
        return ""
    side = "above" if volts >= cut_off else "below"
    return f", {abs(volts - cut_off):.2f} V {side} the {cut_off:.2f} V at which it stops"


def _flow(flow: HeatFlow) -> str:
    exhaust = f", {flow.exhaust_kw:.2f} kW the exhaust" if flow.exhaust_kw is not None else ""
    where = "the case" if flow.exhaust_kw is not None else "the exhaust, the case"
    rest = f"{flow.rest_kw:.2f} kW are {where}, what did not burn, and errors of reading"
    if flow.rest_kw < 0:
        rest = f"that is {-flow.rest_kw:.2f} kW more than went in, by errors of reading"
    return (
        f"Of {flow.fuel_kw:.2f} kW in the fuel {flow.air_kw:.2f} kW reach the warm air"
        f"{exhaust}; {rest}."
    )
