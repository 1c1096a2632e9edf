"""What is heard by counted words: as an outside library counts, denials kept, and in time."""

from __future__ import annotations

import time
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import logsumexp
from sklearn.feature_extraction import DictVectorizer
from sklearn.naive_bayes import MultinomialNB

from diag.cli.book import load_book
from diag.rulebook import parse_answer
from diag.session.hearing import Ear
from diag.session.hearing.counted.counts import TALK, Counts
from diag.session.hearing.counted.tokens import spread
from diag.session.hearing.meanings import Meaning
from diag.session.hearing.votes import BEGIN, kinds_of
from diag.session.prompt import AskFinding
from tests.hearing.count import Counting

HERE = Path(__file__).parent
COMMON = settings(deadline=None, max_examples=40)
QUICK = 0.03
"""Seconds of the processor within which a line is heard."""


@pytest.fixture(scope="module")
def ear(tmp_path_factory: pytest.TempPathFactory) -> Ear:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return Ear(load_book())


def fitted(rows: list[Counter[str]], sentences: list[int]) -> tuple[DictVectorizer, MultinomialNB]:
    """Return scikit-learn's own naive Bayes of the same counts, each meaning one row."""
    table = DictVectorizer()
    model = MultinomialNB(alpha=1.0, class_prior=np.array(sentences) / sum(sentences))
    return table, model.fit(table.fit_transform(rows), range(len(rows)))


def log_chances(
    table: DictVectorizer, model: MultinomialNB, heard: Counter[str], counts: Counts[Meaning]
) -> np.ndarray:
    known = {one: times for one, times in heard.items() if one in counts.speaks}
    return model.predict_log_proba(table.transform([known]))[0]


WORD = st.sampled_from(["drip", "dripped", "floor", "rings", "not-drip", "not", "the", "#V"])
SAID = st.lists(WORD, min_size=1, max_size=6)
KINDS = {"drip": ("LEAK",), "rings": ("ALARM",)}


@given(st.lists(st.tuples(SAID, st.integers(1, 9)), min_size=2, max_size=5), SAID)
@COMMON
def test_weights_are_those_of_an_outside_library(
    corpus: list[tuple[list[str], int]], said: list[str]
) -> None:
    """Counts as rules keep them give the chances of scikit-learn's multinomial naive Bayes."""
    counted = [Counter(words) for words, _ in corpus]
    texts = {
        Meaning("", str(number)): "; ".join(
            [f"{many} {BEGIN}", *(f"{times} {word}" for word, times in words.items())]
        )
        for number, (words, (_, many)) in enumerate(zip(counted, corpus, strict=True))
    }
    counts = Counts.read(texts, KINDS)
    rows = [spread(words.elements(), KINDS) for words in counted]
    table, model = fitted(rows, [many for _, many in corpus])
    expected = log_chances(table, model, spread(said, KINDS), counts)
    weights = np.array(counts.weights(said))
    assert np.allclose(expected, weights - logsumexp(weights), atol=1e-9)


def test_shipped_counts_weigh_as_an_outside_library_does(ear: Ear) -> None:
    """On the rules' own counts, too, the likeliest meaning and its chance are scikit-learn's."""
    book, kinds = ear.rulebook, kinds_of(ear.rulebook.word_groups)
    texts = {Meaning(*told): text for told, text in book.word_counts.items()}
    counts, counting = Counts.read(texts, kinds), Counting(book)
    rows, sentences = [], []
    for text in texts.values():
        words = Counter(
            {word: int(part.split()[0]) for part in text.split(";") for word in part.split()[1:]}
        )
        sentences.append(words.pop(BEGIN))
        rows.append(spread(words.elements(), kinds))
    table, model = fitted(rows, sentences)
    for entry in yaml.safe_load((HERE / "told.yaml").read_text("utf-8"))[::60]:
        said = counting.heard(entry["says"])
        weights = np.array(counts.weights(said))
        expected = log_chances(table, model, spread(said, kinds), counts)
        assert np.allclose(expected, weights - logsumexp(weights), atol=1e-6)


@given(st.lists(st.sampled_from(["rings", "the", "not", "is"]), max_size=6))
@COMMON
def test_chances_add_up_and_a_denial_speaks_against(said: list[str]) -> None:
    """Chances are a whole, and a word that is denied leaves less for what it would speak for."""
    texts = {"wet": "3 *; 5 drip floor; 1 not", "loud": "3 *; 5 rings the; 1 not"}
    counts = Counts.read(texts, KINDS)
    plain = dict(counts.chances([*said, "drip"]))
    denied = dict(counts.chances([*said, "not-drip"]))
    assert pytest.approx(1.0) == sum(plain.values())
    assert denied["wet"] < plain["wet"]


TROUBLES = {
    "smoke": {"white smoke", "dark smoke"}, "white smoke": {"white smoke"}, "smell": {"smell"},
    "black smoke": {"dark smoke"}, "noise": {"noise"}, "fumes": {"smell"}, "bang": {
    "bangs as it lights"}, "crackle on the radio": {"radio noise"}, "error": {"shows a fault"},
    "water dripping": {"water drips"}, "rattling": {"noise"}, "stink": {"smell"},
}  # fmt: skip


@given(
    st.sampled_from(sorted(TROUBLES)),
    st.sampled_from(
        ["no {}", "there is no {}", "never any {}", "not a trace of {}", "it runs without any {}",
         "no sign of {} at all", "{}: none", "I have not noticed any {} so far"]
    ),
    st.sampled_from(["", ", heater warm", " since the service", ", fan runs"]),
)  # fmt: skip
@settings(deadline=None, max_examples=150)
def test_what_is_denied_is_never_heard(ear: Ear, trouble: str, said: str, more: str) -> None:
    """`No smoke` is never taken for smoke, nor is it asked whether it was."""
    hearing = ear.hear(said.format(trouble) + more * (not said.endswith("none")))
    heard = {
        one.complaint
        for one in (*hearing.facts, *(one for all_ in hearing.choices for one in all_))
    }
    assert set() == heard & TROUBLES[trouble]


@pytest.mark.parametrize(
    ("asked", "said", "expected"),
    [
        ("panel", "lights up fine", {("panel", "lit")}),
        ("panel", "it lights up fine", {("panel", "lit")}),
        ("panel", "comes on ok", {("panel", "lit")}),
        ("lights up", "lights up fine", {("lights up", "yes")}),
        ("lights up", "the panel lights up fine", {("panel", "lit")}),
    ],
)
def test_words_that_fit_two_things_are_of_the_one_asked_for(
    ear: Ear, asked: str, said: str, expected: set[tuple[str, str]]
) -> None:
    """What may be said of two things is said of the one in question, unless the other is named."""
    prompt = AskFinding(ear.rulebook.findings[asked], None, opening=True, reason="")
    assert expected == {(one.finding, str(one.value)) for one in ear.hear(said, prompt).facts}


def test_a_guess_with_a_number_has_one_that_fits(ear: Ear) -> None:
    """A reading that is guessed takes a number of the line, and can be that number."""
    for entry in yaml.safe_load((HERE / "more-told.yaml").read_text("utf-8"))[::7]:
        hearing = ear.hear(entry["says"])
        for one in (*hearing.facts, *(one for all_ in hearing.choices for one in all_)):
            finding = ear.rulebook.findings.get(one.finding)
            if finding and not finding.states:
                assert one.value is not None
                assert one.value == parse_answer(str(one.value), finding)


@pytest.mark.parametrize(
    "said", ["thank you very much", "what time do you open", "hm", "is it far"]
)
def test_talk_tells_of_nothing(ear: Ear, said: str) -> None:
    """What tells of no complaint and no reading is not asked about."""
    hearing = ear.hear(said)
    assert ((), ()) == (hearing.facts, hearing.choices)
    assert ("", TALK) in ear.rulebook.word_counts


def test_a_line_is_heard_in_time(ear: Ear) -> None:
    """Of sentences of every kind 95 in 100 are heard within 30 ms of the processor."""
    taken = []
    for entry in yaml.safe_load((HERE / "told.yaml").read_text("utf-8"))[::10]:
        began = time.process_time()
        ear.hear(entry["says"])
        taken.append(time.process_time() - began)
    assert sorted(taken)[len(taken) * 95 // 100] < QUICK
