"""Examples of the bench commands."""

from __future__ import annotations

from collections.abc import Mapping

from diag.cli.examples import Examples

_LOADED = "diag battery --rest 12.6 --terminals 11.9 --load-amps 50"

BENCH_EXAMPLES: Mapping[str, Examples] = {
    "battery": (
        ("Be asked for what it needs", "diag battery"),
        ("Judge a supply from a load test", f"{_LOADED} --ignition-amps 9.5A --cut-off 10.5V"),
        (
            "With its cable, and the errors of the meters; keep it with a session",
            f"{_LOADED} --length 5m --area 2.5mm2 --joints 10mohm --volts-error '0.5 % + 0.02 V'"
            " --amps-error 2% --keep k3m7xqa",
        ),
        (
            "From loads on both sides of the ignition current",
            "diag battery --rest 12.6 --point '5 A 12.51 V' --point '25 A 12.31 V'"
            " --glow-plug-time 90s --surge-amps 15A",
        ),
        (
            "Also how charged it is, and how cold it may get",
            f"{_LOADED} --chemistry AGM --rested 12h --battery-temperature 0C",
        ),
        (
            "Against its rating",
            "diag battery --rest 12.5 --terminals 10.4 --load-amps 300 --cold-crank 600A --json",
        ),
        (
            "How many starts and hours it carries",
            f"{_LOADED} --capacity 100Ah --used 50% --running-amps '0.9 1.5 3 A'"
            " --standby-amps 85mA --glow-plug-time 90s",
        ),
    ),
    "cable": (
        ("Be asked for what it needs", "diag cable"),
        (
            "What a cable loses, and the size it needs",
            "diag cable --length 4m --area 2.5mm2 --ignition-amps 9.5A --limit 3% --json",
        ),
        (
            "With all that has resistance",
            "diag cable --length 4m --area '14 AWG' --supply 12V --copper-temperature 35C"
            " --strand 'class 5' --joints 5mohm --fuse-holder 3mohm",
        ),
        (
            "Find where a measured drop is lost, and keep it with a session",
            "diag cable --ignition-amps 9.5A --rest 12.7V --terminals 12.3V --fused 12.1V"
            " --positive-pin 11.6V --negative-pin 0.4V --keep k3m7xqa",
        ),
    ),
    "heat": (
        ("Be asked for what it needs", "diag heat"),
        (
            "Weigh the heat in the air against the heat in the fuel",
            "diag heat --rate 5Hz --dose 2ml --speed 12.5m/s --bore 60mm --inlet 18C"
            " --outlet 105C --anemometer vane --json",
        ),
        (
            "From ticks counted, and a dose from memory",
            "diag heat --pulses 100 --seconds 20 --dose 2ml --dose-from-memory"
            " --expected-dose 2ml --claimed-heat 5kW",
        ),
        (
            "At a height and in the cold",
            "diag heat --rate 3Hz --dose 2ml --fuel diesel --fuel-temperature 5C --speed 8m/s"
            " --at mean --bore 60mm --inlet 15C --outlet 80C --altitude 900m --pressure 1008hPa",
        ),
        (
            "From a traverse; also how long tank and battery last; keep it with a session",
            "diag heat --rate 3Hz --dose 2ml --traverse '8.1 9.6 10.9 10.8 9.7 8.0' --bore 60mm"
            " --inlet 15C --outlet 80C --tank 7l --supply 12.5V --running-amps 1.2A"
            " --capacity 100Ah --used 50% --keep k3m7xqa",
        ),
    ),
    "heat compare": (
        (
            "Two heaters side by side for the same heat",
            "diag heat compare 'LIB-03: 1.1 kW 0.15 l/h 0.9 A 38 dB; 2.2 kW 0.30 l/h 3 A 58 dB'"
            " 'ROAD-07: 2 kW 0.27 l/h 1.5 A 45 dB' --wanted-heat 2kW --json",
        ),
        (
            "Runs of a file, with the errors of their readings",
            "diag heat compare --file runs.txt --heat-error 6% --fuel-error 4%"
            " --amps-error '2 % + 0.1 A' --noise-error '1.5 dB'",
        ),
    ),
    "exhaust": (
        ("Be asked for what it needs", "diag exhaust"),
        (
            "From oxygen, temperatures and smoke",
            "diag exhaust --o2 9% --gas-temperature 260C --air-temperature 15C --smoke '1 0 1'"
            " --fuel diesel --json",
        ),
        (
            "Carbon monoxide in exhaust and cabin, by an instrument set at another height",
            "diag exhaust --co2 11% --gas-temperature 260C --air-temperature 15C --co 80ppm"
            " --cabin '0:2 15:6 30:9' --altitude 1500m --set-at 200m",
        ),
        (
            "The air of a cabin alone, kept with a session",
            "diag exhaust --cabin 12ppm --minutes 30 --keep k3m7xqa",
        ),
    ),
}
