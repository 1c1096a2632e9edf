"""A small rulebook about bicycle lamps (invented), and the means to break it one line at a time."""

from __future__ import annotations

from pathlib import Path

from diag.model.expression import Formula
from diag.model.problem import ProblemsFound
from diag.rulebook import load_rulebook

FORMULAS = {
    "power": Formula(
        name="power",
        inputs=(("voltage", "V"), ("current", "A")),
        unit="W",
        compute=lambda voltage, current: voltage * current,
        source="definition of the volt",
        explains="Power is voltage times current.",
    )
}

SCALES = """\
likelihood: {source: invented, words: {probable: 0.85, fifty-fifty: 0.5, improbable: 0.15}}
share: {source: invented, words: {common: 0.1, rare: 0.01}}
anyway: {source: invented, words: {seldom: 0.02, hardly ever: 0.001}}
parts: {source: invented, words: {cheap: 5}}
reliability: {source: invented, words: {told: 0.7, seen: 0.9, measured: 0.95}}
access: {source: invented, words: {ask: 0, bench: 10}}
needs: {source: invented, words: {dark room: 3}}
settings: {source: invented, words: {odds of the unknown: 0.02}}
"""
SIGNS = """\
source: invented
unit data:
  rated volts:
    ask: What is the lamp rated for?
    unit: V
    believable: 1 V to 20 V
unit limits:
  - must hold: unit rated volts > 2 V
    say: no lamp is rated that low
cautions:
  glass: Broken glass cuts.
findings:
  cell volts:
    ask: What do the cells read?
    kind: quantity
    unit: V
    believable: 0 V to 20 V
    known by: measured
  lamp amps: {ask: What does it draw?, kind: quantity, unit: A, believable: 0 A to 9 A}
  air: {ask: How cold is it?, kind: quantity, unit: C, believable: -40 C to 60 C}
  blinks: {ask: How many blinks?, kind: count, believable: 0 to 20}
  beam: {ask: How is the beam?, kind: choice, choices: {bright: white, dim: yellow, dark: none}}
  wet: {ask: Is it wet inside?, kind: yes/no, as it should be: no}
checks:
  look at it:
    do: Switch the lamp on and look.
    minutes: 1
    yields: [beam, wet]
    needs: dark room
    cautions: glass
  read the meter: {do: Read it., minutes: 3, yields: [cell volts, lamp amps], access: bench}
signs:
  supply:
    states: [holds, sags]
    rules:
      - when: cell volts < unit rated volts - 0.5 V
        then: sags
        why: a sound cell stays near its rating
      - when: cell volts >= unit rated volts - 0.5 V
        then: holds
  light: {states: [bright, dim], taken from: beam}
  code: {states: [none, open], looked up: blinks}
figures:
  lamp power: {unit: W, formula: power, takes: {voltage: cell volts, current: lamp amps}}
  lamp resistance: {unit: ohm, sum: cell volts / lamp amps}
dangers:
  broken glass:
    title: Broken glass
    raised when: beam is dark and wet is yes
    do now: [Put on gloves.]
    work may go on when: the glass is gone
    forbids: [drops it]
    released when: beam is bright
complaints:
  will not light:
    {title: It does not light, words: dead, intake: [look at it], proof: [beam is bright]}
"""
ACTS = """\
source: invented
acts: {holds it: Somebody holds the lamp., drops it: It may fall.}
checks:
  let it fall: {do: Drop it., minutes: 1, yields: [wet], acts: [holds it, drops it]}
"""
CAUSE = """\
cause: flat cells
title: Cells flat
area: power
share: common
source: invented
complaints: {will not light: probable}
shows:
  supply: {sags: probable}
  beam: {dim: fifty-fifty, dark: improbable}
must not show: {wet: [yes]}
repair: {do: Change the cells., minutes: 2, parts: {cells: cheap}}
proof: [cell volts > unit rated volts]
cautions: glass
status: trial
"""
UNIT = """\
unit: LAMP 1
title: Small lamp
source: invented
data: {rated volts: 6 V}
codes: {3: open}
instrument errors: {cell volts: 0.5 % + 0.02 V}
"""
FILES = {
    "scales.yaml": SCALES,
    "signs.yaml": SIGNS,
    "acts.yaml": ACTS,
    "power/flat-cells.yaml": CAUSE,
    "units/lamp.yaml": UNIT,
}


def write(folder: Path, files: dict[str, str]) -> Path:
    """Write the files into a folder and return it."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def complaint_about(folder: Path, files: dict[str, str]) -> str:
    """Return all that is wrong with the lamp rulebook once these files replace its own."""
    write(folder, {**FILES, **files})
    try:
        load_rulebook([folder], FORMULAS)
    except ProblemsFound as found:
        return str(found).replace(f"{folder}/", "")
    return ""


def edited(text: str, old: str, new: str) -> str:
    """Replace a passage that stands exactly once."""
    assert text.count(old) == 1
    return text.replace(old, new)
