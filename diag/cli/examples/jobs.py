"""Examples of the commands about jobs."""

from __future__ import annotations

from collections.abc import Mapping

from diag.cli.examples import Examples

JOB_EXAMPLES: Mapping[str, Examples] = {
    "jobs list": (
        ("The latest fifty", "diag jobs list --plain"),
        ("The open ones of one heater", "diag jobs list --open --unit LIB-03 --page 1"),
    ),
    "jobs search": (
        ("By words of label, complaint, notes or outcome", "diag jobs search library van"),
        ("Among the open ones", "diag jobs search library --open --page 1 --plain"),
    ),
    "jobs show": (("All that is kept about one", "diag jobs show a7k2mpx --plain"),),
    "jobs session": (
        ("List the latest, finished ones too", "diag jobs session --plain"),
        ("Read one again", "diag jobs session k3m7xqa"),
    ),
    "jobs open": (
        (
            "Begin one before its first session",
            "diag jobs open --unit 'small 12 V' --complaint 'cold in the morning'"
            " --customer 'County library' --vehicle 'Library van 3' --tag LIB-03 --serial 0417"
            " --about 'keys at the desk'",
        ),
    ),
    "jobs label": (
        ("Show it", "diag jobs label a7k2mpx"),
        (
            "Write down whose heater it is, and which",
            "diag jobs label a7k2mpx --customer 'County library' --vehicle 'Library van 3'"
            " --tag LIB-03 --serial 0417 --about 'keys at the desk'",
        ),
    ),
    "jobs note": (("A remark", "diag jobs note a7k2mpx the owner waits for a call"),),
    "jobs part": (
        (
            "A part that was fitted, for what fault",
            "diag jobs part a7k2mpx lug and cable --price '18.40' --for 'bad earth'",
        ),
    ),
    "jobs work": (("Minutes of work", "diag jobs work a7k2mpx 25 earth joint cleaned"),),
    "jobs offer": (
        (
            "The owner wants it",
            "diag jobs offer a7k2mpx a thicker cable --accepted",
        ),
        (
            "The owner does not, and why",
            "diag jobs offer a7k2mpx a new glow plug --declined --why 'next year'",
        ),
    ),
    "jobs attach": (("A photograph, by path and checksum", "diag jobs attach a7k2mpx joint.jpg"),),
    "jobs strike": (("Strike out an entry that was a mistake", "diag jobs strike a7k2mpx 2"),),
    "jobs close": (("Close one, and say how it ended", "diag jobs close a7k2mpx earth repaired"),),
    "jobs reopen": (("Take a closed one up again", "diag jobs reopen c4n8wde --why 'it is back'"),),
    "jobs delete": (("Erase one with every trace of it", "diag jobs delete a7k2mpx --yes"),),
    "jobs currency": (
        ("Show it", "diag jobs currency"),
        ("Set it for prices that name none", "diag jobs currency EUR"),
    ),
    "jobs backup": (("Write all that is kept into a file", "diag jobs backup friday.db"),),
    "jobs check": (
        ("Look for damage in what is in use", "diag jobs check"),
        ("Look for it in a backup", "diag jobs check thursday.db"),
    ),
    "jobs restore": (
        ("Put a backup in the place of all that is kept", "diag jobs restore thursday.db --yes"),
    ),
    "jobs calibration": (
        ("How often verdicts were right", "diag jobs calibration --plain"),
        ("The same for a script", "diag jobs calibration --json"),
    ),
    "jobs export": (
        ("Everything, for another bench", "diag jobs export --output all.jsonl"),
        ("One job, without names", "diag jobs export a7k2mpx --without-people"),
    ),
    "jobs import": (
        ("What another bench exported", "diag jobs import van-2.jsonl"),
        ("With what was erased here before", "diag jobs import van-2.jsonl --anyway"),
    ),
    "jobs prepare": (
        ("Make the shared record that DIAG_STORE names", "diag jobs prepare van-2 van-3"),
    ),
    "jobs merge": (("Bring what was kept meanwhile into it", "diag jobs merge"),),
    "report": (
        ("Read it on the screen", "diag report a7k2mpx --plain"),
        (
            "A page to print, for the owner",
            "diag report a7k2mpx --for owner --format html --output lib-03.html --overwrite",
        ),
        (
            "A quote before the work, by rules of your own",
            "diag report a7k2mpx --quote --rules my-rules",
        ),
    ),
}
