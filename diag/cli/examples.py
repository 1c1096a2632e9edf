"""Examples of each command for its help, by the words after `diag`.

Together they show every option of a command; a test runs every line. All heaters are invented.
"""

from __future__ import annotations

from collections.abc import Mapping

from diag.cli.job_examples import JOB_EXAMPLES

Examples = tuple[tuple[str, str], ...]
"""What an example does, and the line to type."""

_LOADED = "diag battery --rest 12.6 --terminals 11.9 --load-amps 50"
_BEGIN = "diag ask --unit 'small 12 V' --complaint 'will not start'"

COMMAND_EXAMPLES: Mapping[str, Examples] = {
    "": (("Read what a command takes, with examples", "diag ask --help"),),
    "ask": (
        ("Watch one on an invented heater", "diag ask --demo"),
        ("Say at once which heater and what is wrong", _BEGIN),
        ("Ask only what can be asked on the telephone", "diag ask --profile phone"),
        (
            "Say what is missing at this bench",
            "diag ask --profile workshop --without 'clamp meter, CO meter'",
        ),
        ("Begin with the readings of a file", f"{_BEGIN} --readings bench.yaml"),
        ("The same for a script", f"{_BEGIN} --readings bench.yaml --json"),
        ("List the open sessions", "diag ask --list"),
        ("Go on with the latest", "diag ask --resume"),
        ("Go on with another", "diag ask --resume k3m7xqa"),
        ("Begin one of a job, with its heater", "diag ask --job j4t7wqb"),
        ("For a screen reader, by your own rules alone", "diag ask --plain --rules my-rules"),
    ),
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
    "drill": (
        ("Begin one, or go on with the open one", "diag drill"),
        ("One of any kind; the same number, the same heater", "diag drill --level 2 --seed 7"),
        ("Begin another, for a screen reader", "diag drill --new --plain"),
        ("A fault that a lesson has practised", "diag drill --new --lesson 5"),
    ),
    "drill make": (
        (
            "Three exercises, the same for the whole class",
            "diag drill make --level 1 --seed 7 --count 3",
        ),
        (
            "Of one fault, its answers in a file of their own",
            "diag drill make --cause 'blown fuse' --seed 7 --markdown --answers answers.md",
        ),
    ),
    "drill lessons": (
        ("What there is, and what is due", "diag drill lessons"),
        ("Go through one", "diag drill lessons 'supply first' --plain"),
    ),
    "drill progress": (
        ("What is firm, and what is due", "diag drill progress --plain"),
        ("The same for a script", "diag drill progress --json"),
    ),
    "sequence": (
        ("On the screen", "diag sequence 'radio noise' --plain"),
        (
            "For one heater, as Markdown",
            "diag sequence 'weak heat' --unit 'small 12 V' --markdown",
        ),
        ("As a page to print", "diag sequence noise --page noise.html"),
        ("For a script", "diag sequence 'radio noise' --json"),
        ("A bench sheet to write on", "diag sequence 'radio noise' --blank --page sheet.html"),
    ),
    "enter": (
        ("Be asked what the sheet is of", "diag enter"),
        (
            "Say at once what it is of",
            "diag enter --unit LIB-03 --complaint 'radio noise' --customer 'County library'"
            " --vehicle 'Library van 3' --tag LIB-03 --serial 0417 --plain",
        ),
        ("Go on with the latest", "diag enter --resume"),
        (
            "Keep the readings of a file as a job",
            "diag enter --unit 'small 12 V' --complaint 'will not start' --readings bench.yaml",
        ),
    ),
    "units list": (("All that can be named", "diag units list --plain"),),
    "units show": (("What is known of one", "diag units show 'small 12 V' --plain"),),
    "units new": (
        ("Begin a file for one of yours", "diag units new 'ROAD-07' --based-on 'small 12 V'"),
    ),
    "units check": (("Check your own", "diag units check"),),
    "rules check": (
        ("Check the shipped rules and your own", "diag rules check"),
        ("Check a folder by itself", "diag rules check my-rules --plain"),
    ),
    "rules lints": (
        ("All of them", "diag rules lints --plain"),
        ("The manual of one", "diag rules lints M03"),
    ),
    **JOB_EXAMPLES,
    "rules cases": (
        ("Run your own on two processors", "diag rules cases my-cases --processes 2 --plain"),
    ),
    "rules show": (
        ("A fault", "diag rules show 'bad earth' --plain"),
        ("How something is measured", "diag rules show 'drop along the positive cable'"),
    ),
    "rules coverage": (
        ("As a table", "diag rules coverage --plain"),
        ("Of one heater, for a script", "diag rules coverage --unit 'small 12 V' --json"),
    ),
    "rules tree": (
        (
            "What the plan does, the first check and what follows",
            "diag rules tree 'radio noise' --depth 1 --least 5 --markdown",
        ),
        ("As numbered steps", "diag rules tree 'radio noise' --depth 1 --numbered --plain"),
        (
            "Of one heater, for a script",
            "diag rules tree 'radio noise' --depth 1 --unit 'small 12 V' --json",
        ),
    ),
    "rules new": (
        ("A fault of your own", "diag rules new cause 'mouse in the fan' --area combustion"),
        ("A worked case", "diag rules new case 'LIB-07 scrapes and stops'"),
    ),
    "rules formulas": (("All that rules may call", "diag rules formulas --json"),),
    "rules schema": (("For an editor, beside your own rules", "diag rules schema --write"),),
}
