"""What owners and fitters type, and the dangers that it tells of (invented sayings)."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.model.rulebook import Rulebook
from diag.session.hearing import PhraseTable, Told, danger_phrases, hear_dangers

HERE = Path(__file__).parent
SAYINGS = yaml.safe_load((HERE / "danger-words.yaml").read_text("utf-8"))
PHRASES = yaml.safe_load((HERE / "heard-as.yaml").read_text("utf-8"))
TOLD = [(finding, said) for finding, all_ in SAYINGS["dangers"].items() for said in all_]
SAID = [said for _, said in TOLD]
COMMON = settings(deadline=None, max_examples=150)


def with_phrases(book: Rulebook) -> Rulebook:
    """Return the rulebook with the phrases of the file beside this one."""
    dangers = dict(book.dangers)
    for name, heard in PHRASES.items():
        pairs = ((key.partition(" is "), tuple(map(str, all_))) for key, all_ in heard.items())
        heard_as = {(finding, state): all_ for (finding, _, state), all_ in pairs}
        dangers[name] = replace(dangers[name], heard_as=heard_as)
    return replace(book, dangers=dangers)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return with_phrases(load_book())


@pytest.fixture(scope="module")
def table(book: Rulebook) -> PhraseTable[Told]:
    return danger_phrases(book)


def heard_in(text: str, table: PhraseTable[Told]) -> set[str]:
    return {match.meaning.finding for match in table.matches(text)}


@pytest.mark.parametrize(("finding", "said"), TOLD)
def test_words_of_danger_are_heard(table: PhraseTable[Told], finding: str, said: str) -> None:
    """A sentence of danger tells of the finding that it means, perhaps among others."""
    heard = heard_in(said, table)
    assert finding in heard or (finding == "any" and heard)


def test_few_harmless_words_are_taken_for_danger(table: PhraseTable[Told]) -> None:
    """Of harmless sentences full of words of danger at most one in twenty is read back."""
    taken = [said for said in SAYINGS["harmless"] if heard_in(said, table)]
    assert len(taken) * 20 <= len(SAYINGS["harmless"]), taken


def test_a_danger_is_named_with_its_finding_and_state(book: Rulebook) -> None:
    """What is heard says how to read it back: danger, finding, state and the words."""
    best = hear_dangers("Help, the fuse holder MELTED!", book)[0]
    assert "hot wiring" == best.danger.id
    assert ("hot wiring", "yes") == (best.finding.id, best.state)
    assert ("holder", "melted") == best.words


def test_every_phrase_is_heard_as_written(table: PhraseTable[Told]) -> None:
    """The first words of each phrase, said as they stand in the rules, tell of its danger."""
    deaf = []
    for danger, heard in PHRASES.items():
        for key, phrases in heard.items():
            for phrase in map(str, phrases):
                wanted = phrase.replace("/ ", "/").partition(" but not ")[0].split()
                said = " ".join(slot.split("/")[0].replace("-", " ") for slot in wanted)
                if key.partition(" is ")[0] not in heard_in(said, table):
                    deaf.append((danger, said))
    assert [] == deaf


HARMLESS = st.lists(
    st.sampled_from(
        (
            "hello",
            "there",
            "i",
            "have",
            "your",
            "old",
            "unit",
            "since",
            "spring",
            "it",
            "is",
            "blue",
        )
    ),
    max_size=12,
).map(" ".join)


@given(st.sampled_from(SAID), HARMLESS, HARMLESS)
@COMMON
def test_talk_around_a_danger_does_not_hide_it(
    table: PhraseTable[Told], said: str, before: str, after: str
) -> None:
    """Sentences before and after a sentence of danger leave it heard."""
    assert heard_in(said, table) <= heard_in(f"{before}. {said}. {after}", table)


@given(st.sampled_from(SAID), st.sampled_from(["upper", "title", "capitalize"]))
@COMMON
def test_case_and_punctuation_do_not_matter(table: PhraseTable[Told], said: str, form: str) -> None:
    """Capitals and marks at the end change nothing."""
    assert heard_in(said, table) == heard_in(f"  {getattr(said.lower(), form)()}!!", table)


NAMED = [
    ("leaks", "fuel leak"),
    ("smell of diesel", "fuel leak"),
    ("fumes in the cabin", "fumes inside"),
    ("melted connectors", "hot wiring"),
    ("burning smell", "hot wiring"),
    ("headaches", "felt ill"),
    ("explosion", "bang at light-up"),
    ("soot at the outlets", "soot in the warm air"),
    ("petrol in the tank", "strange fuel"),
]
DENIALS = [
    "no {}",
    "there are no {} at all",
    "we never had any {}",
    "I haven't noticed any {}",
    "without {}",
    "no noise, {} or vibration",
    "no sign of {}",
    "neither noise nor {}",
    "{}: none",
    "checked for {}",
]


@pytest.mark.parametrize(("thing", "finding"), NAMED)
@pytest.mark.parametrize("denial", DENIALS)
def test_a_denial_is_kept(table: PhraseTable[Told], thing: str, finding: str, denial: str) -> None:
    """What is denied is not heard, and the same words without the denial are."""
    assert finding in heard_in(f"there are {thing}", table)
    assert set() == heard_in(denial.format(thing), table)


@pytest.mark.parametrize(
    "said",
    [
        "not working, it leaks fuel",
        "no heat but fumes in the cabin",
        "it won't stop leaking diesel",
        "I can't stop the alarm beeping",
        "no the fuse has melted",
        "not only fumes inside, headaches too",
        "never mind the noise. There is petrol in the tank",
    ],
)
def test_a_denial_of_something_else_hides_nothing(table: PhraseTable[Told], said: str) -> None:
    """Only what a denial is about is denied."""
    assert set() != heard_in(said, table)


@pytest.mark.parametrize(
    "line",
    [
        "alarm " * 16_000,
        "no alarm beep " * 7_000,
        "x" * 100_000,
        "no diesel leaks from exhaust smoke in the cabin " * 2_000,
        "smoke in the cabin fire flame " * 3_000,
        " ".join(
            f"{number:x}abcdefgh".translate(str.maketrans("0123456789", "ghijklmnop"))
            for number in range(10_000)
        ),
        "." * 100_000,
    ],
    ids=["one word", "denied", "one long word", "sentences", "dangers", "strange words", "marks"],
)
def test_a_long_line_is_heard_in_time(table: PhraseTable[Told], line: str) -> None:
    """A line of a hundred thousand characters, or ten thousand words, takes under a second."""
    began = time.process_time()
    table.matches(line)
    assert time.process_time() - began < 1.0
