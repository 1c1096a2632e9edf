"""A small rulebook about bicycle lamps (invented) that every lint is content with."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from diag.authoring.lints import Material
from diag.rulebook import load_cases, load_rulebook
from tests.rulebook.lamps import FORMULAS, SCALES

LAMPS = """\
source: invented
unit data:
  rated volts: {ask: What is the lamp rated for?, unit: V, believable: 1 V to 20 V}
cautions:
  glass: Broken glass cuts.
findings:
  cell volts: {ask: What do the cells read?, kind: quantity, unit: V, believable: 0 V to 20 V,
    known by: measured, measure: {with: Multimeter on DC volts., when: With the lamp on.,
      where: "Red on the cap of the cell, black on its base.", mistakes: The lamp is off.}}
  beam: {ask: How is the beam?, kind: choice, choices: {bright: white, dim: yellow, dark: none}}
  wet: {ask: Is it wet inside?, kind: yes/no, as it should be: no}
  wire: {ask: How is the wire?, kind: choice, choices: {whole: whole, parted: in two}}
checks:
  look at it: {do: Switch the lamp on and look., minutes: 1, yields: [beam, wet], cautions: glass}
  read the meter: {do: Read it., minutes: 3, yields: [cell volts]}
  open it: {do: Take the glass off., minutes: 2, yields: [wire], access: bench, cautions: glass}
signs:
  supply:
    states: [holds, sags]
    rules:
      - {when: cell volts < unit rated volts - 0.5 V, then: sags}
      - {when: cell volts >= unit rated volts - 0.5 V, then: holds}
complaints:
  will not light: {title: It does not light, words: dead, intake: [look at it],
    proof: [beam is bright]}
"""
CAUSES = """\
flat cells:
  area: power
  title: Cells flat
  status: trial
  share: common
  source: invented
  complaints: {will not light: probable}
  explain: The cells are used up.
  shows: {supply: {sags: probable}, beam: {dark: fifty-fifty}}
  must not show: {wire: [parted]}
  confused with: {broken wire: supply}
  repair: {do: [Change the cells.], minutes: 2, parts: {cells: cheap}}
  proof: [beam is bright]
  tell the owner: The cells were flat.
broken wire:
  area: power
  title: Wire broken
  status: trial
  share: rare
  source: invented
  complaints: {will not light: probable}
  explain: A wire inside is broken.
  shows: {wire: {parted: probable}, beam: {dark: fifty-fifty}}
  confused with: {flat cells: supply}
  repair: {do: [Solder the wire.], minutes: 9, access: bench}
  proof: [beam is bright]
  cautions: [glass]
  tell the owner: A wire had broken.
rusty switch:
  area: power
  title: Switch rusty
  status: draft
  share: rare
  source: invented
  complaints: {will not light: probable}
  explain: Water came in.
  shows: {wet: {yes: improbable}, beam: {dark: probable}}
  repair: {do: [Change the switch.], minutes: 5}
  proof: [beam is bright]
  tell the owner: The switch had rusted.
"""
UNIT = """\
unit: LAMP 1
title: Small lamp
source: invented
data: {rated volts: 6 V}
"""
CASES = """\
source: invented
cases:
  LAMP 1 flat:
    unit: LAMP 1
    complaint: will not light
    truth: [flat cells]
    shows: {beam: dark, wet: no, cell volts: 4.1 V, wire: whole}
  LAMP 1 broken:
    unit: LAMP 1
    complaint: will not light
    truth: [broken wire]
    shows: {beam: dark, wet: no, cell volts: 6.1 V, wire: parted}
"""
Tree = dict[str, Any]


def written(folder: Path, fragment: str = "") -> Path:
    """Write the shop's rules with a fragment laid over them, and return the folder.

    In a fragment, causes stand by id under `causes`; a value of nothing takes a key out; `file`
    names the file of the one cause that it changes; `source: none` takes the source away from
    the fragment's own file.
    """
    over: Tree = yaml.load(fragment, yaml.CBaseLoader) or {}
    moved = over.pop("file", "")
    changed: Tree = over.pop("causes", {})
    causes = _over(yaml.load(CAUSES, yaml.CBaseLoader), changed)
    files: Tree = {"scales.yaml": yaml.load(SCALES, yaml.CBaseLoader)}
    files["cases/lamps.yaml"] = yaml.load(CASES, yaml.CBaseLoader)
    files["units/lamp.yaml"] = yaml.load(UNIT, yaml.CBaseLoader)
    if over.pop("source", "") == "none":
        files["more.yaml"] = over
        over = {}
    files["lamps.yaml"] = _over(yaml.load(LAMPS, yaml.CBaseLoader), over)
    for name, cause in causes.items():
        path = f"{cause['area']}/{name.replace(' ', '-')}.yaml"
        files[moved if moved and name in changed else path] = {"cause": name, **cause}
    for path, content in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        text = yaml.dump(content, sort_keys=False, width=1000)
        (folder / path).write_text(text, encoding="utf-8")
    return folder


def read(folder: Path) -> Material:
    """Load a folder of rules and the cases in it."""
    book = load_rulebook([folder], FORMULAS, drafts=True)
    return Material(book, load_cases(folder / "cases", book))


def _over(base: Tree, over: Tree) -> Tree:
    merged = dict(base)
    for key, value in over.items():
        if value == "":
            merged.pop(key, None)
        elif isinstance(value, dict) and isinstance(base.get(key), dict):
            merged[key] = _over(base[key], value)
        else:
            merged[key] = value
    return merged
