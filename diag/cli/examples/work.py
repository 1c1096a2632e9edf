"""Examples of the commands by which one works on a heater."""

from __future__ import annotations

from collections.abc import Mapping

from diag.cli.examples import Examples

_BEGIN = "diag ask --unit 'small 12 V' --complaint 'will not start'"

WORK_EXAMPLES: Mapping[str, Examples] = {
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
        ("For a job, by the rules alone", "diag ask --job a7k2mpx --without-record"),
        ("The same for a script", f"{_BEGIN} --readings bench.yaml --json"),
        ("List the open sessions", "diag ask --list"),
        ("Go on with the latest", "diag ask --resume"),
        ("Go on with another", "diag ask --resume k3m7xqa"),
        ("For a screen reader, by your own rules alone", "diag ask --plain --rules my-rules"),
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
}
