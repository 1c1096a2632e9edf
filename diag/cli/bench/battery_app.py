"""The options of `diag battery`; what it does is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

from diag.cli.guard import guarded
from diag.cli.options import Json, Text, commands, text_option

# Options of two words whose answers are kept under their plain names.
NAMED = {"under_load": "under load", "volts_error": "volts error", "amps_error": "amps error"}


app = commands("battery")


@app.command()
def battery(
    rest: Annotated[
        Text, text_option("--rest", "V", "Volts at the posts, all switched off.")
    ] = None,
    under_load: Annotated[
        Text, text_option("--under-load", "V", "Volts at the posts while the load draws.")
    ] = None,
    amps: Annotated[Text, text_option("--amps", "A", "Current that the load draws.")] = None,
    point: Annotated[
        list[str] | None,
        text_option("--point", "LOAD", "One more load, '250 A 11.55 V'; may be given again."),
    ] = None,
    ignition: Annotated[
        Text,
        text_option("--ignition", "A", "Current of the unit igniting; 10 A at 12 V if left out."),
    ] = None,
    surge: Annotated[
        Text, text_option("--surge", "A", "First surge of the plug; 1.5 times that if left out.")
    ] = None,
    plug_time: Annotated[
        Text, text_option("--plug-time", "S", "How long the plug heats, 30 to 180 s.")
    ] = None,
    cut_out: Annotated[
        Text, text_option("--cut-out", "V", "Low-voltage cut-out; 10.5 V at 12 V if left out.")
    ] = None,
    length: Annotated[
        Text, text_option("--length", "M", "Length of the supply cable, one way.")
    ] = None,
    area: Annotated[
        Text, text_option("--area", "MM2", "Area of one conductor: 2.5 mm2 or 14 AWG.")
    ] = None,
    joints: Annotated[
        Text, text_option("--joints", "OHM", "Resistance of joints and fuse holder: 10 mohm.")
    ] = None,
    chemistry: Annotated[
        Text, text_option("--chemistry", "KIND", "flooded, AGM, gel or LiFePO4.")
    ] = None,
    temperature: Annotated[
        Text, text_option("--temperature", "C", "The battery's temperature; 25 C if left out.")
    ] = None,
    rested: Annotated[
        Text, text_option("--rested", "H", "Hours without charge or load before the rest volts.")
    ] = None,
    cold_crank: Annotated[
        Text,
        text_option("--cold-crank", "A", "Cold-crank rating, for the load test at half of it."),
    ] = None,
    capacity: Annotated[Text, text_option("--capacity", "AH", "Capacity of the battery.")] = None,
    used: Annotated[
        Text, text_option("--used", "%", "Share that may be used; 50 %, LiFePO4 80 %, if left out.")
    ] = None,
    running: Annotated[
        Text, text_option("--running", "AMPS", "Currents at low, mid and high: '0.9 1.5 3 A'.")
    ] = None,
    standby: Annotated[Text, text_option("--standby", "A", "Drain with all switched off.")] = None,
    volts_error: Annotated[
        Text, text_option("--volts-error", "ERROR", "Error of the voltmeter: '0.5 % + 0.02 V'.")
    ] = None,
    amps_error: Annotated[
        Text, text_option("--amps-error", "ERROR", "Error of the ammeter: '2 % + 0.1 A'.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Say from a load test if the supply holds an ignition.

    With more readings: how cold and empty it may get, and how many starts and hours it carries.
    """
    given = dict(locals())
    with guarded():
        from diag.cli.bench.battery import run_battery

        answers = {
            NAMED.get(name, name.replace("_", "-")): text
            for name, text in given.items()
            if isinstance(text, str)
        }
        raise SystemExit(run_battery(answers, as_json=as_json, points=tuple(point or ())))
