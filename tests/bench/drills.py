"""Drills in which the session plays the learner, through the words that a learner types.

Run by hand: `python -m tests.bench.drills [N] [SEED]`, N drills over all levels in turn. One in
four is done again from what was stored of it, and must stand where it stood. Any fault of the
program counts as a crash, and is told with its drill.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from traceback import format_exc

from diag.cli.drill.setting import Setting, drill_of, new_drill, setting
from diag.model.rulebook import Cause, Check
from diag.practice.drill.beside import looked_back, tool_path
from diag.practice.drill.deeds import as_payload, deed_from
from diag.practice.drill.drill import Drill
from diag.practice.drill.hindrances import Undertaking
from diag.practice.drill.levels import LEVELS
from diag.practice.drill.marks import is_right, marks_of
from diag.practice.drill.spoken import BenchEar
from diag.practice.drill.trade_words import READY
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, AskTogether, Closing, Prompt, ProposeRepair, RunAgain

MOST_LINES = 150
BESIDE_EACH = 4
"""Of so many drills one is done again, and played by the tool; the others go by their own minutes.
"""
MOST_ALIKE = 4
"""So often the same line is typed; then the learner says what seems likeliest."""


def lines_for(prompt: Prompt, drill: Drill) -> Iterator[str]:
    """Yield what somebody types who does as a prompt says, and gets ready for it before."""
    acts: list[Check | Cause] = []
    if isinstance(prompt, AskFinding):
        acts = [*prompt.members] or [*filter(None, [prompt.check])]
    elif isinstance(prompt, ProposeRepair | RunAgain):
        acts = [prompt.cause]
    for key in dict.fromkeys(key for act in acts for key in Undertaking.of(act).needs):
        if key not in drill.work.opened:
            yield READY[key][0]
    if isinstance(prompt, AskTogether):
        yield f"do {prompt.check.id}"
    elif isinstance(prompt, AskFinding):
        again = prompt.again is not None or prompt.fails
        whole = [one.id for one in prompt.members] or [prompt.check.id if prompt.check else ""]
        yield f"measure {prompt.finding.id}" if again or not whole[0] else f"do {', '.join(whole)}"
    elif isinstance(prompt, ProposeRepair | RunAgain):
        yield f"repair {prompt.cause.id}"
    else:
        yield call_of(prompt, drill)


def call_of(prompt: Prompt, drill: Drill) -> str:
    """Return what a learner says at the end who believes the session."""
    if isinstance(prompt, Closing) and prompt.ending.kind == "nothing wrong":
        return "call nothing wrong"
    done = [name for name in drill.repaired if name in drill.book.causes]
    if isinstance(prompt, Closing) and prompt.ending.kind == "proved" and done:
        return f"call {' and '.join(dict.fromkeys(done))}"
    return f"call {drill.state.posterior.ranking[0][0]}"


def played(of: Setting, number: int, seed: int) -> tuple[Drill, list[str]]:
    """Play one drill to its end; return it with the lines that were typed."""
    level = LEVELS[1 + number % len(LEVELS)]
    drill, ear = new_drill(of, level, (seed, number)), BenchEar(of.book, of.files)
    typed, counts = list[str](), Counter[str]()
    while not drill.ended:
        prompt = next_prompt(drill.state)
        for line in lines_for(prompt, drill):
            counts[line] += 1
            tired = len(typed) >= MOST_LINES or counts[line] > MOST_ALIKE
            _type(drill, ear, call_of(prompt, drill) if tired else line, typed)
    return drill, typed


def _type(drill: Drill, ear: BenchEar, line: str, typed: list[str]) -> None:
    """Type a line, and again once what it needs is brought about."""
    for _ in range(1 + len(READY)):
        typed.append(line)
        outcome = drill.do(ear.hear(line))
        stopped = outcome.stopped
        if stopped is None or stopped.kind == "danger" or "First `" not in stopped.say:
            return
        first = stopped.say.rpartition("First `")[2].partition("`")[0]
        typed.append(first)
        drill.do(ear.hear(first))


def again(of: Setting, drill: Drill, number: int, seed: int) -> Drill:
    """Do a drill again from what would be stored of it."""
    other = drill_of(of, drill.level, drill.unit.fault, (seed, number))
    for step in drill.steps:
        deed = deed_from(step.deed.kind, as_payload(step.deed))
        assert deed is not None
        other.do(deed)
    return other


def main() -> None:
    """Play drills and print how they went, level by level."""
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    of, began = setting(), time.monotonic()
    crashes, other, right, points, lines = 0, 0, Counter[int](), Counter[int](), 0
    drills, stops = Counter[int](), Counter[int]()
    for number in range(many):
        try:
            drill, typed = played(of, number, seed)
            looked_back(drill)
            same, minutes = True, drill.work.minutes
            if number // len(LEVELS) % BESIDE_EACH == 0:
                same = again(of, drill, number, seed).status() == drill.status()
                minutes = tool_path(of.files, of.book, drill, seed=seed).minutes
            found = marks_of(drill, minutes)
        except Exception:
            crashes += 1
            print(f"drill {number} of seed {seed} crashed:\n{format_exc()}", flush=True)
            continue
        level = drill.level.number
        drills[level] += 1
        right[level] += is_right(drill)
        stops[level] += len(drill.stops)
        points[level] += sum(each.points for each in found) / len(found)
        other, lines = other + (not same), lines + len(typed)
        called = f"{typed[-1]} | {'right' if is_right(drill) else 'wrong'}"
        print(f"{number} level {level} {drill.unit.fault} | {called}", flush=True)
    print(f"\n{many} drills, seed {seed}: {crashes} crashes; {other} otherwise when done again")
    print(f"{lines} lines typed, {time.monotonic() - began:.0f} s")
    print("level  drills  right  marks  stops")
    for level, n in sorted(drills.items()):
        print(
            f"{level:5}{n:8}{100 * right[level] / n:6.0f} %{points[level] / n:7.1f}"
            f"{stops[level] / n:7.1f}"
        )


if __name__ == "__main__":
    main()
