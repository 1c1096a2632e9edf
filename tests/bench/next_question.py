"""How long a session thinks before its next question, on the worked cases of the shipped rulebook.

Run by hand: `python -m tests.bench.next_question [every]`: of the cases every twelfth, unless told
otherwise. Timed is each prompt that had to be planned, from the answer before it, on the clock;
beside it what goes into it, and as a peer the greedy choice of most bits a minute on the same
problems, which looks one step ahead. As in a session at the keyboard, what was read beforehand is
kept out of the search for dead circles.
"""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable
from statistics import median
from typing import Any

from diag.authoring import case_runner
from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.reason.plan import DecisionProblem, choose
from diag.reason.plan.rollout import by_gain_per_cost
from diag.reason.plan.state import Model
from diag.rulebook import load_cases
from diag.session import next_prompt as dialogue
from diag.session.prompt import Prompt
from diag.session.state import SessionState

GOAL = 100.0
taken: dict[str, list[float]] = {}
"""Milliseconds, by what they went into."""


def timed(name: str, function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a function that does the same and keeps how long it took."""
    kept = taken.setdefault(name, [])

    def run(*given: Any, **named: Any) -> Any:
        begin = time.perf_counter()
        result = function(*given, **named)
        kept.append(1e3 * (time.perf_counter() - begin))
        return result

    return run


def greedily(problem: DecisionProblem) -> int:
    """Choose one step ahead."""
    model = Model(problem)
    return by_gain_per_cost(model, model.root)


def watch() -> None:
    """Time the parts of a prompt, and let the peer choose on each problem too."""
    ask, planned = case_runner.next_prompt, taken.setdefault("the next question", [])
    plan = timed("of which planning", choose.plan_reduced)
    choose_greedily = timed("greedy, one step", greedily)

    def plan_both(problem: DecisionProblem, *given: Any, **named: Any) -> Any:
        began = time.perf_counter()
        choose_greedily(problem)
        aside.append(1e3 * (time.perf_counter() - began))
        return plan(problem, *given, **named)

    def next_prompt(state: SessionState) -> Prompt:
        aside.clear()
        begin = time.perf_counter()
        prompt: Prompt = ask(state)
        if aside:
            planned.append(1e3 * (time.perf_counter() - begin) - sum(aside))
        return prompt

    aside: list[float] = []
    setattr(case_runner, "next_prompt", next_prompt)  # noqa: B010 (the checker knows no such change)
    setattr(choose, "plan_reduced", plan_both)  # noqa: B010
    for name, part in (
        ("candidate_checks", "what checks would tell"),
        ("due_reread", "what does not fit"),
    ):
        setattr(dialogue, name, timed(f"of which {part}", getattr(dialogue, name)))


def main(every: int) -> None:
    """Print the times of every so-manieth case."""
    watch()
    book = load_book()
    cases = load_cases(shipped_rules() / "cases", book)
    case_runner.run_case(book, cases[0])
    for kept in taken.values():
        kept.clear()
    for case in cases[::every]:
        gc.collect()
        gc.freeze()
        case_runner.run_case(book, case)
    peer = median(taken["greedy, one step"])
    columns = "".join(f"{title:>8}" for title in ("count", "median", "90 %", "99 %", "most"))
    print(f"{'milliseconds on the clock':34}{columns}{'times greedy':>14}")
    for name, kept in taken.items():
        kept.sort()
        at = [kept[int(share * (len(kept) - 1))] for share in (0.5, 0.9, 0.99, 1)]
        row = "".join(f"{one:8.1f}" for one in at)
        print(f"{name:34}{len(kept):8}{row}{at[0] / peer:14.1f}")
    asked = taken["the next question"]
    within = sum(one <= GOAL for one in asked) / len(asked)
    print(f"within {GOAL:.0f} ms: {within:.1%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 12)
