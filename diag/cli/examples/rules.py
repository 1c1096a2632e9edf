"""Examples of the commands for learners and for those who write rules."""

from __future__ import annotations

from collections.abc import Mapping

from diag.cli.examples import Examples

RULE_EXAMPLES: Mapping[str, Examples] = {
    "drill": (
        ("Begin one, or go on with the open one", "diag drill"),
        ("One of any kind; the same number, the same heater", "diag drill --level 2 --seed 7"),
        ("Begin another, for a screen reader", "diag drill --new --plain"),
        ("A fault that a lesson has practised", "diag drill --new --lesson 1 --seed 7"),
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
    "rules learn": (
        ("What proved repairs say beside the rules", "diag rules learn --plain"),
        (
            "Of one complaint on one heater, for a script",
            "diag rules learn 'will not start' --unit LIB-03 --json",
        ),
    ),
    "rules new": (
        ("A fault of your own", "diag rules new cause 'mouse in the fan' --area combustion"),
        ("A worked case", "diag rules new case 'LIB-07 scrapes and stops'"),
        ("A lesson", "diag rules new lesson 'pipes that drip'"),
    ),
    "rules formulas": (("All that rules may call", "diag rules formulas --json"),),
    "rules schema": (("For an editor, beside your own rules", "diag rules schema --write"),),
}
