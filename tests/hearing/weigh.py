"""Work out what words weigh, from the invented sentences beside this file.

Run by hand after sentences have changed: `python tests/hearing/weigh.py`. It writes
`rules/hearing-weights.yaml`. With `across` behind it, it writes nothing but says what is missed and
read back of each writer's sentences when only the others' have been learnt from: that is what to
expect of people not met yet. A logistic regression with a ridge is fitted to all sentences
(common practice; see any handbook of statistical learning): what votes gets the weight by which
sentences that hold it are better told apart. Which danger it is is weighed among the sentences of
danger alone.
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
from diag.session.hearing import PhraseTable, Told, danger_phrases
from diag.session.hearing.listening import Listening
from diag.session.hearing.votes import ANY, BEGIN, Votes, kinds_of, read_votes, runs
from diag.session.hearing.words import words_of
from tests.hearing.readings import meant

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
RULES, WRITTEN = ROOT / "rules", ROOT / "rules" / "hearing-weights.yaml"
WORDED = "worded"
SETS = ("first", "second", "third", "fourth", "fifth")
OLDER = tuple(f"older-{letter}" for letter in "abcef")
WRITERS = {
    "older": (*SETS, *OLDER),
    **{f"plain-{letter}": (f"plain-{letter}",) for letter in "abcdefghij"},
}
"""Who wrote sentences without sight of the phrases, and in what files they stand."""
RIDGE, RIDGE_EACH, SEEN = 2.0, 1.0, 2
"""Spread of weights, and how many sentences must hold what votes."""
OF_WORDED, OF_PRACTICE, OF_PARTS = 0.15, 0.5, 0.5
OF_PHRASES, OF_PHRASES_EACH = 0.06, 0.1
"""What count beside a sentence: those that the phrases were tuned on, a part of a harmless text,
and a phrase, for danger of any kind and for each."""
STEP, LEAST = 0.05, 0.075
STEP_EACH, LEAST_EACH = 0.25, 0.25
"""To what weights are rounded, and the least that are kept."""


Listed = tuple[Sequence[tuple[str, str]], Sequence[str]]
"""Sentences of danger, each behind what it is about, and harmless ones."""


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
def sentences(name: str) -> Listed:
    """Return a file's sentences of danger, each behind what it is about, and the harmless ones."""
    read = yaml.safe_load((HERE / f"{name}.yaml").read_text("utf-8"))
    danger = [(about, said) for about, all_ in read["danger"].items() for said in all_]
    harmless = read["harmless"]
    if name == WORDED:
        danger = [(about, one) for about, said in danger for one in expanded(said)]
        harmless = [one for said in harmless for one in expanded(said)]
    return tuple(danger), tuple(harmless)


def practice() -> Listed:
    """Return the sayings that the phrases were tuned on."""
    read = yaml.safe_load((HERE.parent / "rules" / "danger-words.yaml").read_text("utf-8"))
    told = [(f"{name} is yes", said) for name, all_ in read["dangers"].items() for said in all_]
    return told, read["harmless"]


class Ear:
    """Hears what votes in a text, as a session does."""

    def __init__(self, book: Rulebook) -> None:
        self.table = danger_phrases(book)
        self.kinds = kinds_of(book.word_groups)
        self._known = {key_of(told) for told in self.table.meanings}

    def runs(self, text: str) -> list[frozenset[str]]:
        words = words_of(text)
        listening = Listening(self.table, words)
        listening.best()
        return [frozenset(run.votes) for run in runs(words, listening.stems, self.kinds)]

    def whole(self, text: str) -> frozenset[str]:
        return frozenset[str]().union(*self.runs(text))

    def examples(self, names: Iterable[str]) -> Iterator[Example]:
        for name in names:
            yield from self._examples(sentences(name), OF_WORDED if name == WORDED else 1.0)
        yield from self._examples(practice(), OF_PRACTICE)

    def _examples(self, listed: Listed, counts: float) -> Iterator[Example]:
        danger, harmless = listed
        for about, said in danger:
            about = meant(about, said)
            known = about if about in self._known else ""
            yield Example(self.whole(said), True, counts, known)
        for said in harmless:
            yield Example(self.whole(said), False, counts)
            parts = self.runs(said)
            if len(parts) > 1:
                yield from (Example(part, False, OF_PARTS * counts) for part in parts)


def key_of(told: Told) -> str:
    return f"{told.finding} is {told.state}"


def spoken(book: Rulebook) -> Iterator[tuple[str, str]]:
    """Give every phrase with each of its words once, behind what it tells of."""
    for (finding, state), phrases in book.heard_as.items():
        for phrase in phrases:
            for said in turned(phrase, book):
                yield f"{finding} is {state}", said


def turned(phrase: str, book: Rulebook) -> Iterator[str]:
    """Give a phrase as it may be said, each of its words once."""
    slots = Saying.read(phrase, book.word_groups).slots
    for turn in range(max(map(len, slots), default=0)):
        said = (slot[turn * (1 + at) % len(slot)] for at, slot in enumerate(slots))
        yield " ".join(word.partition("..")[0].replace("-", " ").rstrip("!") for word in said)


Weighed = tuple[frozenset[str], bool, float]


def kept(examples: Sequence[Weighed], ridge: float, least: float) -> dict[str, float]:
    """Return the weights fitted again to those votes alone that weigh enough to be kept."""
    seen = Counter(vote for votes, _, _ in examples for vote in votes)
    first = fitted(examples, [vote for vote in seen if seen[vote] >= SEEN], ridge)
    return fitted(examples, [one for one in first if abs(first[one]) >= least], ridge)


def fitted(examples: Sequence[Weighed], votes: Iterable[str], ridge: float) -> dict[str, float]:
    """Return the weight of each vote, and that of `BEGIN`; both sides count the same in all."""
    index = {vote: at for at, vote in enumerate(sorted({*votes} - {BEGIN}))}
    rows = [[index[vote] for vote in sorted(held) if vote in index] for held, _, _ in examples]
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


def weights_from(ear: Ear, names: Iterable[str], book: Rulebook) -> dict[str, dict[str, float]]:
    """Return what words weigh, worked out from the named files, by what they tell of."""
    examples = list(ear.examples(names))
    any_ = [(one.votes, one.danger, one.counts) for one in examples]
    said = [(about, ear.whole(text)) for about, text in spoken(book)]
    any_ += [(votes, True, OF_PHRASES) for _, votes in said]
    found = {ANY: kept(any_, RIDGE, LEAST)}
    told = [(one.about, _plain(one.votes), one.counts) for one in examples if one.about]
    told += [(about, _plain(votes), OF_PHRASES_EACH) for about, votes in said]
    for meaning in sorted({about for about, _, _ in told}):
        each = [(votes, about == meaning, counts) for about, votes, counts in told]
        found[meaning] = kept(each, RIDGE_EACH, LEAST_EACH)
    return found


def _plain(votes: frozenset[str]) -> frozenset[str]:
    """Return words, kinds and pairs of kinds."""
    return frozenset(vote for vote in votes if not set("+_~") & set(vote))


def lines(weights: dict[str, float], step: float, least: float) -> list[str]:
    """Return weights as rule files keep them, the heaviest first."""
    by: dict[float, list[str]] = {}
    for vote, weight in sorted(weights.items()):
        rounded = round(round(weight / step) * step, 3)
        if abs(rounded) >= least or vote == BEGIN:
            by.setdefault(rounded, []).append(vote)
    return [f"{weight:g} {' '.join(by[weight])}" for weight in sorted(by, reverse=True)]


def as_rules(weights: dict[str, dict[str, float]]) -> dict[str, list[str]]:
    return {
        about: lines(each, *((STEP, LEAST) if about == ANY else (STEP_EACH, LEAST_EACH)))
        for about, each in weights.items()
    }


def across(ear: Ear, book: Rulebook) -> None:
    """Print what is missed and read back of each writer's sentences, learnt from the others'."""
    taken_for = Counter[tuple[str, str]]()
    for writer, left_out in WRITERS.items():
        names = [name for one in WRITERS if one != writer for name in WRITERS[one]]
        learn(ear.table, ear.kinds, as_rules(weights_from(ear, [*names, WORDED], book)))
        danger = [one for name in left_out for one in sentences(name)[0]]
        harmless = [said for name in left_out for said in sentences(name)[1]]
        missed = 0
        for about, said in danger:
            heard = ear.table.matches(said)
            missed += not heard
            taken_for[meant(about, said), key_of(heard[0].meaning) if heard else "nothing"] += 1
        read_back = sum(bool(ear.table.matches(said)) for said in harmless)
        print(f"{writer}: missed {missed} of {len(danger)}", end=", ")
        print(f"read back {read_back} of {len(harmless)}", flush=True)
    for about in sorted({about for about, _ in taken_for}):
        taken = Counter({heard: n for (one, heard), n in taken_for.items() if one == about})
        print(f"{about}, taken for", ", ".join(f"{one}: {n}" for one, n in taken.most_common()))


def learn(
    table: PhraseTable[Told], kinds: dict[str, tuple[str, ...]], rules: dict[str, list[str]]
) -> None:
    """Let a table listen with these weights."""
    each = {
        told: read_votes(rules[key_of(told)]) for told in table.meanings if key_of(told) in rules
    }
    table.votes = Votes(read_votes(rules[ANY]), each, kinds)


def main() -> None:
    """Write the weights worked out from all sentences, or try them across writers."""
    book = load_rules(RULES, formulas=FORMULAS)
    ear = Ear(book)
    if sys.argv[1:] == ["across"]:
        across(ear, book)
        return
    names = [name for names in WRITERS.values() for name in names]
    rules = as_rules(weights_from(ear, [*names, WORDED], book))
    text = [
        "# What words weigh beside the phrases, worked out by tests/hearing/weigh.py from invented",
        "# sentences: do not edit. `drip+floor` is two words near each other, `drip_on` one behind",
        "# the other, `~drip` a piece of one, `not-drip` one that is denied; capitals are kinds of",
        "# words, a number the lower end of a range, `*` every line.",
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
