"""Examples of `diag jobs`, as `examples.py` has them of all other commands."""

from __future__ import annotations

from collections.abc import Mapping

JOB_EXAMPLES: Mapping[str, tuple[tuple[str, str], ...]] = {
    "jobs list": (
        ("The open ones", "diag jobs list --open"),
        ("All that was done to one heater", "diag jobs list --unit LIB-07"),
        ("As plain text, page by page", "diag jobs list --page 1 --plain"),
    ),
    "jobs search": (
        ("By any words of it", "diag jobs search grille road crew"),
        ("Among the open ones", "diag jobs search grille --open --page 1 --plain"),
    ),
    "jobs show": (("By the tag of its heater", "diag jobs show LIB-07 --plain"),),
    "jobs session": (
        ("List the latest, finished ones too", "diag jobs session"),
        ("Read one again", "diag jobs session k3m7xqa --plain"),
    ),
    "jobs open": (
        (
            "With whose heater it is, and which",
            "diag jobs open --unit 'small 12 V' --complaint 'goes out after a minute'"
            " --customer 'Road crew north' --vehicle 'crew bus 9' --tag ROAD-09 --serial 0042"
            " --about 'parked at the depot'",
        ),
    ),
    "jobs label": (
        ("Show it", "diag jobs label j4t7wqb"),
        (
            "Put it down",
            "diag jobs label j4t7wqb --customer 'Mobile library' --vehicle 'library bus 7'"
            " --tag LIB-07 --serial 0071 --about 'keys at the desk'",
        ),
    ),
    "jobs note": (("Keep a remark", "diag jobs note j4t7wqb leaves on the grille again"),),
    "jobs part": (
        ("Its price behind it", "diag jobs part j4t7wqb fuel filter 12.50 EUR"),
        (
            "With the fault that it mends",
            "diag jobs part j4t7wqb 'fuel filter' --price 12.50 --for 'clogged filter'",
        ),
    ),
    "jobs work": (("What was done, and how long", "diag jobs work j4t7wqb 20 cleaned the grille"),),
    "jobs offer": (
        ("The owner wants it", "diag jobs offer j4t7wqb new glow plug --accepted"),
        (
            "The owner does not",
            "diag jobs offer j4t7wqb new battery --declined --why 'sells the bus'",
        ),
    ),
    "jobs attach": (("A photograph", "diag jobs attach j4t7wqb plug.jpg"),),
    "jobs strike": (("By the number that `show` gives it", "diag jobs strike j4t7wqb 2"),),
    "jobs close": (("With how it ended", "diag jobs close j4t7wqb put right"),),
    "jobs reopen": (("It came back", "diag jobs reopen c5m8xqk --why 'it went out again'"),),
    "jobs delete": (("For a script", "diag jobs delete j4t7wqb --yes"),),
    "jobs currency": (("Set it once", "diag jobs currency EUR"),),
    "jobs backup": (("Into a file of any name", "diag jobs backup saturday.db"),),
    "jobs check": (
        ("What is in use, and every attached file", "diag jobs check"),
        ("A backup", "diag jobs check kept.db"),
    ),
    "jobs restore": (("For a script", "diag jobs restore kept.db --yes"),),
}
