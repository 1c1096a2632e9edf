"""Small rulebooks drawn by a seed, of no trade, with all that a session can meet."""

from __future__ import annotations

import random
from pathlib import Path

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook

SCALES = (Path(__file__).parents[1] / "books" / "bicycle" / "scales.yaml").read_text("utf-8")
ACTS = ("turns it on", "opens it")


def random_book(seed: int, folder: Path) -> Rulebook:
    """Return the rulebook of a seed; its files are written below a folder."""
    rng = random.Random(seed)
    home = folder / str(seed)
    home.mkdir(parents=True, exist_ok=True)
    names = [f"look {letter}" for letter in "abcdefg"[: rng.randint(4, 7)]]
    (home / "book.yaml").write_text(_book(rng, names), encoding="utf-8")
    (home / "the-one.yaml").write_text(UNIT, encoding="utf-8")
    (home / "scales.yaml").write_text(SCALES, encoding="utf-8")
    area = home / "shop"
    area.mkdir(exist_ok=True)
    for number in range(rng.randint(2, 4)):
        text = _cause(rng, number, names)
        (area / f"fault-{'abcd'[number]}.yaml").write_text(text, encoding="utf-8")
    return load_rulebook([home], {})


def _book(rng: random.Random, names: list[str]) -> str:
    findings = "".join(_finding(rng, name) for name in names)
    checks, free = "", []
    for number in range(0, len(names), 2):
        pair = names[number : number + 2]
        act = rng.choice(("", *ACTS)) if number else ""
        free += [] if act else pair
        acts = f", acts: [{act}]" if act else ""
        held = ", held back: yes" if act == "" and number and rng.random() < 0.2 else ""
        minutes = rng.randint(1, 9)
        checks += f"  check {'abcd'[number // 2]}: {{do: Look at it., minutes: {minutes}, "
        checks += f"yields: [{', '.join(pair)}]{acts}{held}}}\n"
    checks += "  switch on: {do: Switch it on., minutes: 1, yields: [runs], there: unit,"
    checks += " shares run: turning, acts: [turns it on]}\n"
    checks += "  open up: {do: Open it., minutes: 5, yields: [inside], acts: [opens it]}\n"
    return f"""\
source: invented
acts: {{turns it on: It runs., opens it: It is open.}}
findings:
{findings}  runs: {{ask: Does it run?, kind: yes/no, as it should be: yes}}
  inside: {{ask: Is it clean inside?, kind: yes/no, as it should be: yes}}
  level: {{ask: How much?, kind: quantity, unit: V, believable: 0 V to 20 V, known by: measured}}
checks:
{checks}  measure: {{do: Measure it., minutes: {rng.randint(1, 6)}, yields: [level], tools: gauge,
    shares run: turning}}
runs:
  turning: {{minutes: 1, in order: [level, runs]}}
profiles:
  afar: {{title: Somebody told, reaches: ask, tools: [], only told: yes}}
  near: {{title: Somebody there, reaches: ask, there: unit}}
signs:
  measured:
    states: [good, low]
    shows anyway: {{low: seldom}}
    rules:
      - {{when: level >= 10 V, then: good}}
      - {{when: level < 10 V, then: low}}
dangers:
  smoke:
    title: Smoke
    raised when: {free[0]} is bad or level > 18 V
    forbids: [{rng.choice(ACTS)}]
    ask first: [{free[0]}]
    do now: [Go away.]
    released when: {free[0]} is fine and level < 15 V
    work may go on when: it is fine and measures little
complaints:
  stands still: {{title: It stands still, intake: [check a], proof: [runs is yes, measured is good],
    lesser proof: [runs is yes]}}
unit data:
  size: {{ask: How big is it?, unit: V, believable: 1 V to 30 V}}
"""


def _finding(rng: random.Random, name: str) -> str:
    bad = rng.choice(("bad: broken", "bad: broken, worse: in pieces"))
    return (
        f"  {name}: {{ask: How is it?, kind: choice, choices: {{fine: whole, {bad}}}, "
        f"known by: {rng.choice(('told', 'seen'))}}}\n"
    )


def _cause(rng: random.Random, number: int, names: list[str]) -> str:
    shows = "".join(
        f"  {name}: {{bad: {rng.choice(('probable', 'uncertain', 'improbable'))}}}\n"
        for name in rng.sample(names, rng.randint(1, 3))
    )
    act = rng.choice(("", "opens it"))
    acts = f", acts: [{act}]" if act else ""
    seen = f"{rng.choice(names)} is fine"
    return f"""\
cause: fault {"abcd"[number]}
title: Fault {number}
area: shop
status: proven
source: invented
share: {rng.choice(("common", "rare"))}
complaints: {{stands still: probable}}
shows:
{shows}  measured: {{low: {rng.choice(("probable", "improbable"))}}}
repair: {{do: [Put it right.], minutes: {rng.randint(2, 30)}{acts}}}
proof: [{seen}]
"""


UNIT = """\
source: invented
unit: the one
title: The one
data: {size: 12 V}
"""
