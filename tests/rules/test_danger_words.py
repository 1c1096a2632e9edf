"""What owners and fitters type, and the dangers that it tells of (invented sayings)."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.model.rulebook import Rulebook
from diag.rulebook.language.phrases import Saying
from diag.session.hearing import PhraseTable, Told, danger_phrases, hear_dangers

HERE = Path(__file__).parent
SAYINGS = yaml.safe_load((HERE / "danger-words.yaml").read_text("utf-8"))
HELD_OUT = yaml.safe_load((HERE / "danger-words-held-out.yaml").read_text("utf-8"))
"""Sayings of somebody who had not seen the phrases. They are never tuned on."""
MISSED, READ_BACK = 0, 8
"""What came of those the first time: rules may better it, never worsen it."""
TOLD = [(finding, said) for finding, all_ in SAYINGS["dangers"].items() for said in all_]
SAID = [said for _, said in TOLD]
COMMON = settings(deadline=None, max_examples=150)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


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


def test_held_out_sayings_come_out_as_the_first_time(table: PhraseTable[Told]) -> None:
    """Of 60 and 60 sayings that nothing was tuned on, no more is missed or read back."""
    missed = [one["say"] for one in HELD_OUT["danger"] if not heard_in(one["say"], table)]
    taken = [said for said in HELD_OUT["harmless"] if heard_in(said, table)]
    assert [60, 60] == [len(HELD_OUT["danger"]), len(HELD_OUT["harmless"])]
    assert len(missed) <= MISSED, missed
    assert len(taken) <= READ_BACK, taken


def test_the_table_is_built_in_time(book: Rulebook) -> None:
    """All phrases are ready to be listened for long before anybody has typed a line."""
    began = time.process_time()
    danger_phrases(book)
    assert time.process_time() - began < 1.0


def test_a_danger_is_named_with_its_finding_and_state(book: Rulebook) -> None:
    """What is heard says how to read it back: danger, finding, state and the words."""
    best = hear_dangers("Help, the fuse holder MELTED!", book)[0]
    assert "hot wiring" == best.danger.id
    assert ("hot wiring", "yes") == (best.finding.id, best.state)
    assert ("holder", "melted") == best.words


def test_every_phrase_is_heard_as_written(book: Rulebook, table: PhraseTable[Told]) -> None:
    """The words of each phrase, each said once in its place, tell of its finding."""
    deaf = []
    for (finding, _), phrases in book.heard_as.items():
        for phrase in phrases:
            slots = Saying.read(phrase, book.word_groups).slots
            if not any(
                finding in heard_in(" ".join(spoken(slot, turn) for slot in slots), table)
                for turn in range(max(map(len, slots)))
            ):
                deaf.append((finding, phrase))
    assert [] == deaf


def spoken(slot: tuple[str, ...], turn: int) -> str:
    """Return one of a slot's words as people say it."""
    word = slot[turn % len(slot)]
    return word.partition("..")[0] if ".." in word else word.replace("-", " ").rstrip("!")


def test_every_word_of_a_group_is_listened_for(book: Rulebook) -> None:
    """No group says a word twice, or two forms of one word: one form stands for all."""
    for name, group in book.word_groups.items():
        assert len(set(group.words)) == len(group.words), name


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


SETTLED = [
    "there were {} last year, it was repaired and no trouble since",
    "had {} two winters ago, the part was replaced",
    "we had {} in 2019, all renewed then",
    "{} until we swapped it, fine ever since",
]
COME_BACK = [
    "it was replaced last year and now there are {}",
    "had {} last winter, it was replaced, now they are back",
    "had {} in 2019, fixed but there again",
    "{}, it was replaced last year",
    "there are {} since it was replaced",
    "had {} today, the part was replaced",
]


@pytest.mark.parametrize(("thing", "finding"), NAMED)
@pytest.mark.parametrize("told", SETTLED)
def test_what_was_settled_long_ago_is_not_heard(
    table: PhraseTable[Told], thing: str, finding: str, told: str
) -> None:
    """What was mended long ago, or is sound since its mend, is not heard."""
    assert finding in heard_in(f"there are {thing}", table)
    assert set() == heard_in(told.format(thing), table)


@pytest.mark.parametrize(("thing", "finding"), NAMED)
@pytest.mark.parametrize("told", COME_BACK)
def test_what_came_back_after_a_mend_is_heard(
    table: PhraseTable[Told], thing: str, finding: str, told: str
) -> None:
    """A mend settles nothing where the danger came after it, came back, or is of today."""
    assert finding in heard_in(told.format(thing), table)


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
