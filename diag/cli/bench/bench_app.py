"""The bench measures' commands and their options; each is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Json, Text, commands, text_option

cable_app = commands("cable")
heat_app = commands("heat", bare_is_help=False)
exhaust_app = commands("exhaust")


def _given(options: dict[str, object]) -> dict[str, str]:
    """Return the options that were typed, named as on the command line."""
    return {name.replace("_", "-"): text for name, text in options.items() if isinstance(text, str)}


@cable_app.command()
def cable(
    length: Annotated[Text, text_option("--length", "M", "Length of the run, one way.")] = None,
    area: Annotated[
        Text, text_option("--area", "MM2", "Area of one conductor: 2.5 mm2 or 14 AWG.")
    ] = None,
    amps: Annotated[
        Text, text_option("--amps", "A", "Current while igniting; 10 A at 12 V if left out.")
    ] = None,
    supply: Annotated[
        Text, text_option("--supply", "V", "Supply voltage; 12 V if left out.")
    ] = None,
    temperature: Annotated[
        Text, text_option("--temperature", "C", "Copper's temperature; 20 C if left out.")
    ] = None,
    strand: Annotated[
        Text, text_option("--strand", "CLASS", "class 5 (fine strands), class 2, solid ...")
    ] = None,
    joints: Annotated[
        Text, text_option("--joints", "OHM", "Resistance of the joints: 5 mohm.")
    ] = None,
    fuse_holder: Annotated[
        Text, text_option("--fuse-holder", "OHM", "Resistance of fuse and holder: 3 mohm.")
    ] = None,
    limit: Annotated[
        Text, text_option("--limit", "DROP", "Most that may be lost, % or V; 3 % if left out.")
    ] = None,
    rest: Annotated[
        Text, text_option("--rest", "V", "Volts at the posts, all switched off.")
    ] = None,
    posts: Annotated[Text, text_option("--posts", "V", "Under load: volts at the posts.")] = None,
    fused: Annotated[
        Text, text_option("--fused", "V", "Under load: battery minus to behind the fuse holder.")
    ] = None,
    plus_pin: Annotated[
        Text, text_option("--plus-pin", "V", "Under load: battery minus to the unit's plus pin.")
    ] = None,
    minus_pin: Annotated[
        Text, text_option("--minus-pin", "V", "Under load: battery minus to the unit's minus pin.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Say what a supply cable loses, where, and what size it needs.

    A reading may carry its own error: --amps '9.5 A +- 2 %'.
    """
    with guarded():
        from diag.cli.bench.cable import run_cable

        raise SystemExit(run_cable(_given(locals()), as_json=as_json))


@heat_app.callback(invoke_without_command=True)
def heat(
    context: typer.Context,
    rate: Annotated[Text, text_option("--rate", "HZ", "Fuel pump's pulses a second.")] = None,
    pulses: Annotated[
        Text, text_option("--pulses", "N", "Or: pulses that were counted ...")
    ] = None,
    seconds: Annotated[
        Text, text_option("--seconds", "S", "... and the time that it took.")
    ] = None,
    dose: Annotated[Text, text_option("--dose", "ML", "Millilitres caught in 100 pulses.")] = None,
    dose_from_memory: Annotated[
        bool, typer.Option("--dose-from-memory", help="The dose was not measured.")
    ] = False,
    expected_dose: Annotated[
        Text, text_option("--expected-dose", "ML", "What 100 pulses of a sound pump give.")
    ] = None,
    fuel: Annotated[
        Text, text_option("--fuel", "FUEL", "diesel, kerosene or jet kerosene.")
    ] = None,
    fuel_temperature: Annotated[
        Text, text_option("--fuel-temperature", "C", "15 C if left out.")
    ] = None,
    speed: Annotated[Text, text_option("--speed", "M/S", "Air speed at the outlet.")] = None,
    at: Annotated[
        Text, text_option("--at", "PLACE", "Where it was read: centre (if left out) or mean.")
    ] = None,
    traverse: Annotated[
        Text, text_option("--traverse", "SPEEDS", "Or: '8.1 9.6 10.9 10.8 9.7 8.0', 6 or 8 points.")
    ] = None,
    bore: Annotated[Text, text_option("--bore", "MM", "Bore of the duct, inside.")] = None,
    inlet: Annotated[Text, text_option("--inlet", "C", "Air temperature at the inlet.")] = None,
    outlet: Annotated[Text, text_option("--outlet", "C", "Air temperature at the outlet.")] = None,
    altitude: Annotated[Text, text_option("--altitude", "M", "Sea level if left out.")] = None,
    pressure: Annotated[
        Text, text_option("--pressure", "HPA", "Sea-level pressure of the weather report.")
    ] = None,
    heat: Annotated[
        Text, text_option("--heat", "KW", "Or: a claimed heat, in place of the air's readings.")
    ] = None,
    tank: Annotated[Text, text_option("--tank", "L", "Fuel that may be burnt.")] = None,
    supply: Annotated[Text, text_option("--supply", "V", "12.5 V if left out.")] = None,
    amps: Annotated[Text, text_option("--amps", "A", "Current while it runs.")] = None,
    battery: Annotated[Text, text_option("--battery", "AH", "Capacity of the battery.")] = None,
    used: Annotated[
        Text,
        text_option("--used", "%", "Share of the capacity that may be used; 50 % if left out."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Weigh the heat in the air against the heat in the fuel.

    A reading may carry its own error: --speed '12.5 m/s +- 2 %'.
    """
    if context.invoked_subcommand is not None:
        return
    with guarded():
        from diag.cli.bench.heat import run_heat

        raise SystemExit(
            run_heat(_given(locals()), as_json=as_json, dose_from_memory=dose_from_memory)
        )


@heat_app.command("compare")
def heat_compare(
    runs: Annotated[
        list[str] | None,
        typer.Argument(metavar="[RUN]...", help="'LIB-03: 1.1 kW 0.15 l/h 0.9 A 38 dB; ...'"),
    ] = None,
    file: Annotated[
        Text, text_option("--file", "FILE", "Runs from a file, one a line; - is standard input.")
    ] = None,
    wanted: Annotated[
        Text, text_option("--heat", "KW", "Heat wanted; the most that all can give if left out.")
    ] = None,
    heat_error: Annotated[Text, text_option("--heat-error", "ERROR", "6 % if left out.")] = None,
    fuel_error: Annotated[Text, text_option("--fuel-error", "ERROR", "4 % if left out.")] = None,
    amps_error: Annotated[
        Text, text_option("--amps-error", "ERROR", "'2 % + 0.1 A' if left out.")
    ] = None,
    noise_error: Annotated[
        Text, text_option("--noise-error", "ERROR", "'1.5 dB' if left out.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Set runs or units side by side for the same heat: fuel, current, noise.

    A run is a name and one or more levels with heat, fuel, current and, if known, noise:
    'ROAD-07: 2 kW 0.27 l/h 1.5 A 45 dB; 5 kW 0.65 l/h 4 A 60 dB'.
    """
    with guarded():
        from diag.cli.bench.heat_compare import run_compare

        typed = {
            "heat": heat_error, "fuel": fuel_error, "current": amps_error, "noise": noise_error
        }  # fmt: skip
        errors = {name: text for name, text in typed.items() if text is not None}
        raise SystemExit(
            run_compare(tuple(runs or ()), file, wanted, as_json=as_json, errors=errors)
        )


@exhaust_app.command()
def exhaust(
    o2: Annotated[Text, text_option("--o2", "%", "Oxygen in the dry exhaust gas.")] = None,
    co2: Annotated[
        Text, text_option("--co2", "%", "Carbon dioxide in the dry exhaust gas.")
    ] = None,
    gas: Annotated[Text, text_option("--gas", "C", "Temperature of the exhaust gas.")] = None,
    air: Annotated[Text, text_option("--air", "C", "Temperature of the combustion air.")] = None,
    smoke: Annotated[
        Text, text_option("--smoke", "SPOTS", "Smoke spot numbers, three or more: '1 0 1'.")
    ] = None,
    co: Annotated[Text, text_option("--co", "PPM", "Carbon monoxide in the exhaust.")] = None,
    cabin: Annotated[
        Text,
        text_option("--cabin", "PPM", "CO in the cabin: '35 ppm', or minute:ppm '0:12 15:40'."),
    ] = None,
    minutes: Annotated[
        Text, text_option("--minutes", "MIN", "How long a single cabin value lasted.")
    ] = None,
    altitude: Annotated[Text, text_option("--altitude", "M", "Where the unit is to run.")] = None,
    set_at: Annotated[
        Text, text_option("--set-at", "M", "Where it was set and read; sea level if left out.")
    ] = None,
    fuel: Annotated[
        Text, text_option("--fuel", "FUEL", "diesel, kerosene or jet kerosene.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Say from the exhaust gas how the fuel burns.

    Carbon monoxide, in the exhaust and in the cabin, is held against the limits.
    """
    with guarded():
        from diag.cli.bench.exhaust import run_exhaust

        raise SystemExit(run_exhaust(_given(locals()), as_json=as_json))
