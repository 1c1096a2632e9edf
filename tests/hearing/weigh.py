"""Work out what words weigh, from the invented sentences beside this file.

Run by hand after sentences have changed: `python tests/hearing/weigh.py`. It writes
`rules/hearing-weights.yaml`. A logistic regression with a ridge is fitted to all sentences
(common practice; see any handbook of statistical learning): a word, or a pair of words, gets the
weight by which sentences that hold it are better told apart. Which danger it is is weighed among
the sentences of danger alone, by words without their pairs. What phrases say counts a little too.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from textwrap import fill

import numpy as np
import yaml
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from diag import load_rules
from diag.model.rulebook import Rulebook
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook.language.phrases import Saying
from diag.session.hearing import danger_phrases
from diag.session.hearing.listening import Listening
from diag.session.hearing.votes import ANY, BEGIN, runs, voting
from diag.session.hearing.words import words_of

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
RULES, WRITTEN = ROOT / "rules", ROOT / "rules" / "hearing-weights.yaml"
WORDED = "worded"
SETS = ("first", "second", "third", "fourth", "fifth")
OLDER = tuple(f"older-{letter}" for letter in "abcef")
ABOUT = {
    "fumes": "fumes inside is yes", "poisoning": "felt ill is yes", "fuel leak": "fuel leak is yes",
    "wrong fuel": "strange fuel is yes", "bang": "bang at light-up is yes",
    "battery": "battery swollen is yes", "fuse": "hot wiring is yes",
    "exhaust joints is leaking": "fumes inside is yes",
}  # fmt: skip
"""What the sentences say that they are about, and the reading by which it is read back."""
RIDGE, OF_PHRASES, OF_PARTS, SEEN = 5.0, 0.1, 0.5, 2
"""Spread of weights, what a phrase and a part of a harmless text count beside a sentence, and
how many sentences must hold what votes."""
STEP, STEP_EACH, LEAST_EACH = 0.1, 0.5, 0.5
"""To what weights are rounded."""


@dataclass(frozen=True)
class Example:
    """What votes in a sentence, whether it is of danger, what it counts and what it tells of."""

    votes: frozenset[str]
    danger: bool
    counts: float = 1.0
    about: str = ""


def expanded(line: str) -> list[str]:
    """Return the sentences of a line with `{a|b}` in it, one for each word of its longest list."""
    inner = re.compile(r"\{([^{}]*\{[^{}]*\}[^{}]*)+\}")
    while found := inner.search(line):
        flat = re.sub(r"\{([^{}]*)\}", r"\1", found.group()[1:-1])
        line = line[: found.start()] + "{" + flat + "}" + line[found.end() :]
    parts = [part.split("|") for part in re.split(r"[{}]", line)]
    most = max(map(len, parts))
    return [
        "".join(
            part[(turn * (1 if len(part) == most else 1 + at // 2) + 3 * at) % len(part)]
            for at, part in enumerate(parts)
        )
        for turn in range(most)
    ]


@cache
def sentences(name: str) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Return a file's sentences of danger, each behind what it is about, and the harmless ones."""
    read = yaml.safe_load((HERE / f"{name}.yaml").read_text("utf-8"))
    danger = [(about, said) for about, all_ in read["danger"].items() for said in all_]
    harmless = read["harmless"]
    if name == WORDED:
        danger = [(about, one) for about, said in danger for one in expanded(said)]
        harmless = [one for said in harmless for one in expanded(said)]
    return tuple(danger), tuple(harmless)


def practice() -> tuple[list[tuple[str, str]], list[str]]:
    """Return the sayings that the phrases were tuned on."""
    read = yaml.safe_load((HERE.parent / "rules" / "danger-words.yaml").read_text("utf-8"))
    told = [(f"{name} is yes", said) for name, all_ in read["dangers"].items() for said in all_]
    return told, read["harmless"]


class Ear:
    """Hears what votes in a text, as a session does."""

    def __init__(self, book: Rulebook) -> None:
        self._table = danger_phrases(book)
        self._known = {f"{told.finding} is {told.state}" for told in self._table.meanings}

    def runs(self, text: str) -> list[frozenset[str]]:
        words = words_of(text)
        listening = Listening(self._table, words)
        listening.best()
        return [frozenset(voting([key for _, key in run])) for run in runs(words, listening.stems)]

    def whole(self, text: str) -> frozenset[str]:
        return frozenset[str]().union(*self.runs(text))

    def examples(self, names: Iterable[str]) -> Iterator[Example]:
        listed = [sentences(name) for name in names]
        for danger, harmless in [*listed, practice()]:
            for about, said in danger:
                about = ABOUT.get(about, about)
                known = about if about in self._known else ""
                yield Example(self.whole(said), True, about=known)
            for said in harmless:
                yield Example(self.whole(said), False)
                parts = self.runs(said)
                if len(parts) > 1:
                    yield from (Example(part, False, OF_PARTS) for part in parts)


def spoken(book: Rulebook) -> Iterator[tuple[str, str]]:
    """Give every phrase with each of its words once, behind what it tells of."""
    for (finding, state), phrases in book.heard_as.items():
        for phrase in phrases:
            slots = Saying.read(phrase, book.word_groups).slots
            for turn in range(max(map(len, slots))):
                said = (slot[turn * (1 + at) % len(slot)] for at, slot in enumerate(slots))
                words = (word.partition("..")[0].replace("-", " ").rstrip("!") for word in said)
                yield f"{finding} is {state}", " ".join(words)


def fitted(
    examples: Sequence[tuple[frozenset[str], bool, float]], ridge: float
) -> dict[str, float]:
    """Return the weight of each vote, and that of `BEGIN`; both sides count the same in all."""
    seen = Counter(vote for votes, _, _ in examples for vote in votes)
    index = {vote: at for at, vote in enumerate(sorted(v for v in seen if seen[v] >= SEEN))}
    rows = [[index[vote] for vote in sorted(votes) if vote in index] for votes, _, _ in examples]
    ends = np.cumsum([0, *map(len, rows)]).astype(np.int32)
    columns = np.array([at for row in rows for at in row], dtype=np.int32)
    holds = csr_matrix((np.ones(len(columns)), columns, ends), (len(rows), len(index)))
    transposed = holds.T.tocsr()
    side = np.array([1.0 if danger else -1.0 for _, danger, _ in examples])
    counts = np.array([count for _, _, count in examples])
    share = [counts[side == one].sum() for one in (1.0, -1.0)]
    counts = counts * np.where(side > 0, 1 / share[0], 1 / share[1]) * sum(share) / 2

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        margin = side * (holds @ weights[:-1] + weights[-1])
        slope = -counts * side / (1 + np.exp(np.clip(margin, -500, 500)))
        penalty = 0.5 / ridge * weights[:-1] @ weights[:-1]
        total = (counts * np.logaddexp(0, -margin)).sum() + penalty
        return total, np.append(transposed @ slope + weights[:-1] / ridge, slope.sum())

    best = minimize(loss, np.zeros(len(index) + 1), jac=True, method="L-BFGS-B").x
    return {**{vote: best[at] for vote, at in index.items()}, BEGIN: best[-1]}


def weights_from(names: Iterable[str], book: Rulebook) -> dict[str, dict[str, float]]:
    """Return what words weigh, worked out from the named files, by what they tell of."""
    ear = Ear(book)
    examples = list(ear.examples(names))
    said = [(about, ear.whole(text)) for about, text in spoken(book)]
    any_ = [(one.votes, one.danger, one.counts) for one in examples]
    found = {ANY: fitted([*any_, *((votes, True, OF_PHRASES) for _, votes in said)], RIDGE)}
    told = [(one.about, _single(one.votes), 1.0) for one in examples if one.about]
    told += [(about, _single(votes), OF_PHRASES) for about, votes in said]
    for meaning in sorted({about for about, _, _ in told}):
        found[meaning] = fitted([(v, about == meaning, n) for about, v, n in told], 1.0)
    return found


def _single(votes: frozenset[str]) -> frozenset[str]:
    return frozenset(vote for vote in votes if "+" not in vote)


def lines(weights: dict[str, float], step: float, least: float) -> list[str]:
    """Return weights as rule files keep them, the heaviest first."""
    by: dict[float, list[str]] = {}
    for vote, weight in sorted(weights.items()):
        rounded = round(round(weight / step) * step, 3)
        if abs(rounded) >= least:
            by.setdefault(rounded, []).append(vote)
    return [f"{weight:g} {' '.join(by[weight])}" for weight in sorted(by, reverse=True)]


def as_rules(weights: dict[str, dict[str, float]]) -> dict[str, list[str]]:
    return {
        about: lines(each, *((STEP, STEP) if about == ANY else (STEP_EACH, LEAST_EACH)))
        for about, each in weights.items()
    }


def main() -> None:
    """Write the weights worked out from all sentences, but those of files named behind `but`."""
    left_out = sys.argv[2:] if sys.argv[1:2] == ["but"] else []
    names = [name for name in (*SETS, *OLDER, WORDED) if name not in left_out]
    rules = as_rules(weights_from(names, load_rules(RULES, formulas=FORMULAS)))
    text = [
        "# What words weigh where no phrase tells of danger, worked out by tests/hearing/weigh.py",
        "# from invented sentences: do not edit. `drip+floor` is two words near each other,",
        "# `not-drip` one that is denied, a number the lower end of a range, `*` every line.",
        "source: common practice",
        "",
        "word weights:",
    ]
    for about, each in rules.items():
        text.append(f"  {about}:")
        for line in each:
            text.append("    - >-")
            text.append(fill(line, 100, initial_indent=" " * 6, subsequent_indent=" " * 6,
                             break_long_words=False, break_on_hyphens=False))  # fmt: skip
    WRITTEN.write_text("\n".join(text) + "\n", "utf-8")


if __name__ == "__main__":
    main()
