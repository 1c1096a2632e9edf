"""What is wrong in the content of rule files: whole messages, caret and all."""

# ruff: noqa: E501 - a message stands as it is printed

from __future__ import annotations

from pathlib import Path

import pytest
from lamps import CAUSE, SIGNS, UNIT, complaint_about, edited

CLASH = """\
source: invented
figures:
  beam: {unit: V, sum: cell volts}
"""
CIRCLE = """\
source: invented
signs:
  halo:
    states: [on, off]
    rules:
      - {when: not shine is on, then: on}
  shine:
    states: [on, off]
    rules:
      - when: >-
          cell volts > 1 V
          and not halo is off
        then: off
"""
ROUND = """\
figures:
  one volt: {unit: V, sum: another volt}
  another volt: {unit: V, sum: one volt}
"""
HOMES = {SIGNS: "signs.yaml", CAUSE: "power/flat-cells.yaml", UNIT: "units/lamp.yaml"}


@pytest.mark.parametrize(
    ("text", "old", "new", "said"),
    [
        (
            SIGNS,
            "cell volts < unit",
            "cell vols < unit",
            "signs.yaml:36:15: there is no finding, sign or figure `cell vols`\n"
            "  |       - when: cell vols < unit rated volts - 0.5 V\n"
            "  |               ^^^^^^^^^\n"
            "  did you mean `cell volts`?",
        ),
        (
            SIGNS,
            "rated volts - 0.5 V\n        then: sags",
            "rated volts - 0.5 A\n        then: sags",
            "signs.yaml:36:28: a current cannot be taken from a voltage\n"
            "  |       - when: cell volts < unit rated volts - 0.5 A\n"
            "  |                            ^^^^^^^^^^^^^^^^\n"
            "  look at the units",
        ),
        (
            SIGNS,
            "cell volts < unit rated volts - 0.5 V",
            "cell volts < 12 A",
            "signs.yaml:36:28: `12 A` is a current; a voltage in V is expected\n"
            "  |       - when: cell volts < 12 A\n"
            "  |                            ^^^^\n"
            "  look at the units",
        ),
        (
            SIGNS,
            "then: sags",
            "then: sgas",
            "signs.yaml:37:15: there is no state `sgas`\n"
            "  |         then: sgas\n"
            "  |               ^^^^\n"
            "  did you mean `sags`?",
        ),
        (
            SIGNS,
            "kind: count",
            "kind: cuont",
            "signs.yaml:21:41: `cuont` is none of `quantity`, `count`, `code`, `choice`, `yes/no`\n"
            "  |   blinks: {ask: How many blinks?, kind: cuont, believable: 0 to 20}\n"
            "  |                                         ^^^^^",
        ),
        (
            SIGNS,
            "unit: V\n    believable: 0 V",
            "unit: V\n    believable: 0 A",
            "signs.yaml:17:17: `0 A` is a current and `20 V` a voltage\n"
            "  |     believable: 0 A to 20 V\n"
            "  |                 ^^^^^^^^^^^",
        ),
        (
            SIGNS,
            "    minutes: 1\n",
            "    minute: 1\n",
            "signs.yaml:26:5: this check has no `minutes`\n"
            "  |     do: Switch the lamp on and look.\n"
            "  |     ^\n"
            "  add a line `minutes: ...`\n"
            "signs.yaml:27:5: `minute` is not a key of a check\n"
            "  |     minute: 1\n"
            "  |     ^^^^^^\n"
            "  did you mean `minutes`?",
        ),
        (
            SIGNS,
            "yields: [beam, wet]",
            "yields: [beam, wett]",
            "signs.yaml:28:20: there is no finding `wett`\n"
            "  |     yields: [beam, wett]\n"
            "  |                    ^^^^\n"
            "  did you mean `wet`?",
        ),
        (
            SIGNS,
            "must hold: unit rated volts",
            "must hold: unit ratd volts",
            "signs.yaml:8:16: there is no unit datum `ratd volts`\n"
            "  |   - must hold: unit ratd volts > 2 V\n"
            "  |                ^^^^^^^^^^^^^^^\n"
            "  did you mean `rated volts`?",
        ),
        (
            SIGNS,
            "taken from: beam",
            "taken from: cell volts",
            "signs.yaml:41:46: `cell volts` shares no state with this sign\n"
            "  |   light: {states: [bright, dim], taken from: cell volts}\n"
            "  |                                              ^^^^^^^^^^\n"
            "  give both the same states",
        ),
        (
            SIGNS,
            "{unit: ohm, sum",
            "{unit: W, sum",
            "signs.yaml:45:35: the sum is a resistance; a power in W is expected\n"
            "  |   lamp resistance: {unit: W, sum: cell volts / lamp amps}\n"
            "  |                                   ^^^^^^^^^^^^^^^^^^^^^^\n"
            "  look at the sum and at `unit`",
        ),
        (
            SIGNS,
            "cell volts / lamp amps",
            "cell volts + air * 2",
            "signs.yaml:45:50: a temperature cannot stand beside `*`\n"
            "  |   lamp resistance: {unit: ohm, sum: cell volts + air * 2}\n"
            "  |                                                  ^^^\n"
            "  take the difference of two temperatures first",
        ),
        (
            SIGNS,
            "current: lamp amps",
            "current: cell volts",
            "signs.yaml:44:79: `current` is a current in A, not a voltage\n"
            "  |   lamp power: {unit: W, formula: power, takes: {voltage: cell volts, current: cell volts}}\n"
            "  |                                                                               ^^^^^^^^^^\n"
            "  look at the units",
        ),
        (
            SIGNS,
            "formula: power",
            "formula: powr",
            "signs.yaml:44:34: there is no formula `powr`\n"
            "  |   lamp power: {unit: W, formula: powr, takes: {voltage: cell volts, current: lamp amps}}\n"
            "  |                                  ^^^^\n"
            "  did you mean `power`?",
        ),
        (
            SIGNS,
            "beam is dark and",
            "beam is drak and",
            "signs.yaml:49:18: `beam` has no state `drak`\n"
            "  |     raised when: beam is drak and wet is yes\n"
            "  |                  ^^^^\n"
            "  did you mean `dark`?",
        ),
        (
            SIGNS,
            "ask: How is the beam?",
            "ask: [How, is]",
            "signs.yaml:22:15: one text is expected here, not a list\n"
            "  |   beam: {ask: [How, is], kind: choice, choices: {bright: white, dim: yellow, dark: none}}\n"
            "  |               ^",
        ),
        (
            SIGNS,
            "as it should be: no",
            "as it should be: false",
            "signs.yaml:23:64: `false` is neither `yes` nor `no`\n"
            "  |   wet: {ask: Is it wet inside?, kind: yes/no, as it should be: false}\n"
            "  |                                                                ^^^^^",
        ),
        (
            SIGNS,
            "source: invented\nunit data",
            "source: hearsay\nunit data",
            "signs.yaml:1:9: `hearsay` does not begin with `published`, `common practice`, `memory` or `invented`\n"
            "  | source: hearsay\n"
            "  |         ^^^^^^^",
        ),
        (
            SIGNS,
            "minutes: 3",
            "minutes: -3",
            "signs.yaml:31:43: `-3` is not a number of 0 or more\n"
            "  |   read the meter: {do: Read it., minutes: -3, yields: [cell volts, lamp amps], access: bench}\n"
            "  |                                           ^^",
        ),
        (
            SIGNS,
            "access: bench",
            "access: bnch",
            "signs.yaml:31:87: `bnch` is not a word of the scale `access`\n"
            "  |   read the meter: {do: Read it., minutes: 3, yields: [cell volts, lamp amps], access: bnch}\n"
            "  |                                                                                       ^^^^\n"
            "  did you mean `bench`?",
        ),
        (
            CAUSE,
            "sags: probable",
            "sags: probabel",
            "power/flat-cells.yaml:8:18: `probabel` is not a word of the scale `likelihood`\n"
            "  |   supply: {sags: probabel}\n"
            "  |                  ^^^^^^^^\n"
            "  did you mean `probable` or `improbable`?",
        ),
        (
            CAUSE,
            "dim: fifty-fifty",
            "dim: fifty-fifty, bright: improbable",
            "power/flat-cells.yaml:9:28: `bright` is as it should be: no cause and no chance brings it about\n"
            "  |   beam: {dim: fifty-fifty, bright: improbable, dark: improbable}\n"
            "  |                            ^^^^^^\n"
            "  name the other states only",
        ),
        (
            CAUSE,
            "dark: improbable",
            "dark: probable",
            "power/flat-cells.yaml:9:3: the states of `beam` add to 1.35; they must stay below 1\n"
            "  |   beam: {dim: fifty-fifty, dark: probable}\n"
            "  |   ^^^^\n"
            "  choose weaker words",
        ),
        (
            CAUSE,
            "cause: flat cells",
            "cause: empty cells",
            "power/flat-cells.yaml:1:8: the cause `empty cells` stands in a file named `flat-cells.yaml`\n"
            "  | cause: empty cells\n"
            "  |        ^^^^^^^^^^^\n"
            "  name the file `empty-cells.yaml`",
        ),
        (
            CAUSE,
            "area: power",
            "area: light",
            "power/flat-cells.yaml:3:7: the area `light` stands in the folder `power`\n"
            "  | area: light\n"
            "  |       ^^^^^\n"
            "  move the file or change the area",
        ),
        (
            CAUSE,
            "beam: {dim",
            "cell volts: {dim",
            "power/flat-cells.yaml:9:3: there is no sign, choice or yes/no finding `cell volts`\n"
            "  |   cell volts: {dim: fifty-fifty, dark: improbable}\n"
            "  |   ^^^^^^^^^^\n"
            "  known are `beam`, `code`, `light`, `supply`, `wet`",
        ),
        (
            CAUSE,
            "{will not light",
            "{wont light",
            "power/flat-cells.yaml:6:14: there is no complaint `wont light`\n"
            "  | complaints: {wont light: probable}\n"
            "  |              ^^^^^^^^^^\n"
            "  did you mean `will not light`?",
        ),
        (
            CAUSE,
            "minutes: 2",
            "minutes: 2 V",
            "power/flat-cells.yaml:11:42: `2 V` is not a plain number\n"
            "  | repair: {do: Change the cells., minutes: 2 V, parts: {cells: cheap}}\n"
            "  |                                          ^^^",
        ),
        (
            CAUSE,
            "cells: cheap",
            "cells: dear",
            "power/flat-cells.yaml:11:60: `dear` is not a word of the scale `parts`\n"
            "  | repair: {do: Change the cells., minutes: 2, parts: {cells: dear}}\n"
            "  |                                                            ^^^^\n"
            "  known are `cheap`",
        ),
        (
            CAUSE,
            "cautions: glass",
            "cautions: glas",
            "power/flat-cells.yaml:13:11: there is no caution `glas`\n"
            "  | cautions: glas\n"
            "  |           ^^^^\n"
            "  did you mean `glass`?",
        ),
        (
            CAUSE,
            "source: invented\n",
            "",
            "power/flat-cells.yaml:1:8: the numbers here do not say where they come from\n"
            "  | cause: flat cells\n"
            "  |        ^^^^^^^^^^\n"
            "  add a line `source: ...`",
        ),
        (
            UNIT,
            "6 V",
            "60 V",
            "units/lamp.yaml:4:21: `60 V` is beyond the believable 1 V to 20 V\n"
            "  | data: {rated volts: 60 V}\n"
            "  |                     ^^^^\n"
            "  look at the number and at its unit",
        ),
        (
            UNIT,
            "6 V",
            "6 A",
            "units/lamp.yaml:4:21: `6 A` is a current; a voltage in V is expected\n"
            "  | data: {rated volts: 6 A}\n"
            "  |                     ^^^\n"
            "  give the value its unit",
        ),
        (
            UNIT,
            "3: open",
            "3: opn",
            "units/lamp.yaml:5:12: no sign that is looked up has a state `opn`\n"
            "  | codes: {3: opn}\n"
            "  |            ^^^\n"
            "  did you mean `open`?",
        ),
        (
            UNIT,
            "0.02 V",
            "0.02 A",
            "units/lamp.yaml:6:33: `0.02 A` is a current; a voltage in V is expected\n"
            "  | instrument errors: {cell volts: 0.5 % + 0.02 A}\n"
            "  |                                 ^^^^^^^^^^^^^^",
        ),
    ],
)
def test_message(tmp_path, text, old, new, said):
    """One word changed is one message, with its line, a caret and what to do."""
    assert complaint_about(tmp_path, {HOMES[text]: edited(text, old, new)}) == said


def test_clash(tmp_path):
    """A name is a finding, a sign or a figure, never two of them; both places are named."""
    assert complaint_about(tmp_path, {"more.yaml": CLASH}) == (
        "more.yaml:3:3: `beam` is already a finding or a sign, in signs.yaml:22:3\n"
        "  |   beam: {unit: V, sum: cell volts}\n"
        "  |   ^^^^\n"
        "  give one of the two another id"
    )


def test_circle(tmp_path):
    """Signs that rest on each other's denial are refused; every step of the circle has its place."""
    assert complaint_about(tmp_path, {"more.yaml": CIRCLE}) == (
        "more.yaml:6:9: this cannot be settled: `halo` rests on `shine` not being so, and `shine` rests on `halo`\n"
        "  |       - {when: not shine is on, then: on}\n"
        "  |         ^\n"
        "  break the circle at one of its steps, also in more.yaml:10:9"
    )


def test_round(tmp_path):
    """Figures that are computed from one another are refused."""
    assert complaint_about(tmp_path, {"more.yaml": ROUND}) == (
        "more.yaml:3:3: this cannot be settled: `another volt` is computed from `one volt`, and `one volt` is computed from `another volt`\n"
        "  |   another volt: {unit: V, sum: one volt}\n"
        "  |   ^\n"
        "  break the circle at one of its steps, also in more.yaml:2:3"
    )


def test_all_problems_sorted(tmp_path):
    """All problems of a run are told at once, sorted by file, line and column."""
    said = complaint_about(
        tmp_path,
        {
            "signs.yaml": edited(SIGNS, "then: sags", "then: sgas"),
            "power/flat-cells.yaml": edited(CAUSE, "cautions: glass", "cautions: glas"),
            "units/lamp.yaml": edited(UNIT, "6 V", "6 A"),
        },
    )
    places = [line.split(": ")[0] for line in said.splitlines() if not line.startswith("  ")]
    assert places == ["power/flat-cells.yaml:13:11", "signs.yaml:37:15", "units/lamp.yaml:4:21"]


IS_FLAT = "light: {states: [bright, dim], taken from: beam, is: {dim: flat cells}}"
SHOWS_FLAT = "shows:\n  light: {dim: probable}\n"
SECOND = """\
cause: worn switch
title: Switch worn
area: power
share: rare
source: invented
complaints: {will not light: probable}
shows:
  light: {dim: improbable}
repair: {do: Change the switch., minutes: 9}
proof: [beam is bright]
status: trial
"""


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "flat cells}}",
            "flt cells}}",
            "signs.yaml:41:62: there is no cause `flt cells`\n"
            "  |   light: {states: [bright, dim], taken from: beam, is: {dim: flt cells}}\n"
            "  |                                                              ^^^^^^^^^\n"
            "  did you mean `flat cells`?",
        ),
        (
            "{dim: flat cells}",
            "{dim: [flat cells, worn switch]}",
            "signs.yaml:41:62: 2 causes claim this state, and a state is one fault\n"
            "  |   light: {states: [bright, dim], taken from: beam, is: {dim: [flat cells, worn switch]}}\n"
            "  |                                                              ^\n"
            "  keep one, or split the state",
        ),
        (
            "{dim: flat cells}",
            "{bright: flat cells}",
            "signs.yaml:41:57: `bright` is as it should be: no cause and no chance brings it about\n"
            "  |   light: {states: [bright, dim], taken from: beam, is: {bright: flat cells}}\n"
            "  |                                                         ^^^^^^\n"
            "  name the other states only",
        ),
        (
            "is: {dim: flat cells}",
            "shows anyway: {dim: seldom}, is: {dim: flat cells}",
            "signs.yaml:41:67: `dim` is a fault in plain sight, so it never shows anyway\n"
            "  |   light: {states: [bright, dim], taken from: beam, shows anyway: {dim: seldom}, is: {dim: flat cells}}\n"
            "  |                                                                   ^^^\n"
            "  take the line out",
        ),
        (
            "choices: {bright: white, dim: yellow, dark: none}}",
            "choices: {bright: white, dim: yellow, dark: none}, known by: told, is: {dim: flat cells}}",
            "signs.yaml:22:114: a fault is in plain sight where it is seen or measured, not told\n",
        ),
    ],
)
def test_a_state_that_is_a_fault_names_one_cause_that_there_is(
    old: str, new: str, said: str, tmp_path: Path
) -> None:
    """Each mistake in `is` is told with its place."""
    signs = SIGNS.replace("light: {states: [bright, dim], taken from: beam}", IS_FLAT)
    assert old in signs
    cause = CAUSE.replace("shows:\n", SHOWS_FLAT)
    files = {"signs.yaml": signs.replace(old, new), "power/flat-cells.yaml": cause}
    assert said in complaint_about(tmp_path, files)


@pytest.mark.parametrize(
    ("flat", "other", "said"),
    [
        (
            SHOWS_FLAT,
            SECOND,
            "power/worn-switch.yaml:8:11: `light` `dim` is the fault `flat cells`, which stands for itself\n"
            "  |   light: {dim: improbable}\n"
            "  |           ^^^\n"
            "  take the line out, or the `is` of the sign",
        ),
        (
            "shows:\n",
            "",
            "power/flat-cells.yaml:7:1: `light` `dim` is this fault, and it does not show it\n"
            "  | shows:\n"
            "  | ^^^^^\n"
            "  add `light: {dim: certain}` to `shows`",
        ),
    ],
)
def test_a_state_that_is_a_fault_is_shown_by_that_cause_alone(
    flat: str, other: str, said: str, tmp_path: Path
) -> None:
    """A second cause that claims it, and one that does not show itself, are told with the place."""
    signs = SIGNS.replace("light: {states: [bright, dim], taken from: beam}", IS_FLAT)
    files = {"signs.yaml": signs, "power/flat-cells.yaml": CAUSE.replace("shows:\n", flat)}
    if other:
        files["power/worn-switch.yaml"] = other
    assert said in complaint_about(tmp_path, files)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "must not show",
            "any of: [supply]\nmust not show",
            "`supply` alone is no choice of variants\n"
            "  | any of: [supply]\n"
            "  |         ^^^^^^^^\n"
            "  name the sign of another variant, or take the line out",
        ),
        (
            "must not show",
            "any of: [supply, wet]\nmust not show",
            "this cause does not show `wet`, which is no sign of a variant of it\n"
            "  | any of: [supply, wet]\n"
            "  |                  ^^^\n",
        ),
        (
            "must not show",
            "brought out by: [supply]\nmust not show",
            "only what comes and goes is brought out\n"
            "  | brought out by: [supply]\n"
            "  | ^^^^^^^^^^^^^^\n"
            "  add `comes and goes: ...`, or take the line out",
        ),
        (
            "must not show",
            "comes and goes: sometimes\nmust not show",
            "`sometimes` is not a word of the scale `likelihood`",
        ),
        (
            "parts: {cells: cheap}",
            "mends as well: [flat cells]",
            "`flat cells` is what this repair mends anyway\n",
        ),
    ],
)
def test_what_a_cause_bundles_and_mends_is_checked(
    old: str, new: str, said: str, tmp_path: Path
) -> None:
    """A lone variant, what brings out a steady fault, and a repair that mends itself are told."""
    assert said in complaint_about(tmp_path, {"power/flat-cells.yaml": edited(CAUSE, old, new)})
