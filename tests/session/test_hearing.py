"""Phrases heard in what is typed: spelling, order, denials and bars, on invented phrases."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.rulebook import WordGroup
from diag.session.hearing import PhraseTable
from diag.session.hearing.spelling import LONGEST, Spelling, slips
from diag.session.hearing.words import stem

TABLE = PhraseTable.of(
    [
        ("bell", ["bell/horn rings/goes-off but not church", "alarms! everywhere"]),
        ("bridge", ["bridge collapses", "cannot cross bridge"]),
        ("window", ["window broken/smashed"]),
    ],
    right=["a brig is a ship"],
)
COMMON = settings(deadline=None)


def heard(line: str) -> list[str]:
    return [match.meaning for match in TABLE.matches(line)]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("the bell rings", ["bell"]),
        ("ringing horns", ["bell"]),
        ("the horn goes off again", ["bell"]),
        ("off it goes, the horn", []),
        ("a church bell rings", []),
        ("bell. It rings", []),
        ("a bell on the third floor of the old house by the river rings", []),
        ("we cannot cross the bridge", ["bridge"]),
        ("we can't cross that bridge", ["bridge"]),
        ("we cross the bridge", []),
        ("alarms everywhere", ["bell"]),
        ("alarm everywhere", []),
        ("the bell did not ring", []),
        ("no bell rings, the window is smashed", ["window"]),
        ("the window was broken but has been repaired", []),
        ("the brig collapses", []),
        ("", []),
        ("...", []),
    ],
)
def test_a_line_tells_of_these_meanings(line: str, expected: list[str]) -> None:
    """Forms, pairs, bars, sentences, distance and denials each do as the phrase says."""
    assert expected == heard(line)


GROUPED = PhraseTable.of(
    [("tower", ["TOWER leans", "TOWER ... cracks", "TOWER 9..99 degrees but not SEEN"])],
    groups={
        "TOWER": WordGroup(("tower", "bell house"), but_not=("chess",)),
        "SEEN": WordGroup(("postcard", "old picture")),
    },
)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("the tower leans", ["tower"]),
        ("the bell house is leaning", ["tower"]),
        ("the house leans", []),
        ("in chess a tower leans", []),
        ("the tower leans by 12 degrees", ["tower"]),
        ("a tower at 12,5 degrees", ["tower"]),
        ("a tower at 8 degrees", []),
        ("a tower at 100 degrees", []),
        ("12 minutes, tower degrees", []),
        ("a tower at 12 degrees on a postcard", []),
        ("a tower at 12 degrees in an old picture", []),
        ("the tower that all of us saw from afar last rather rainy summer shows cracks", ["tower"]),
        ("the tower that all of us saw from afar last rather rainy summer is leaning", []),
        ("the tower is old. Cracks are everywhere", []),
        ("no tower cracks, and cracks stay away", []),
    ],
)
def test_groups_numbers_and_far_words_do_as_they_say(line: str, expected: list[str]) -> None:
    """A group is any of its words, unless one that bars it is near; a range is any number in it
    that counts no time; what is far apart must be one sentence still."""
    assert expected == [match.meaning for match in GROUPED.matches(line)]


@pytest.mark.parametrize("line", ["there used to be a bell that rings", "should the bell ring"])
def test_what_was_once_or_might_be_is_not_told(line: str) -> None:
    """Something that is over, or only supposed, is no news."""
    assert [] == heard(line)


def test_the_best_fit_comes_first() -> None:
    """What is said in more words, closer together, outranks the rest."""
    line = "the window got badly smashed when the bridge collapsed"
    assert ["bridge", "window"] == heard(line)
    scores = [match.score for match in TABLE.matches(line)]
    assert sorted(scores, reverse=True) == scores


def test_the_words_that_told_it_are_given_back() -> None:
    """They are as typed but for capitals, in order."""
    assert ("bridge", "collapsd") == TABLE.matches("Our Bridge COLLAPSD!")[0].words


def alignments(word: str, other: str) -> int:
    """Return the fewest edits between two words, by trying them all: slow and obvious."""
    if not word or not other:
        return len(word) + len(other)
    found = [
        alignments(word[1:], other) + 1,
        alignments(word, other[1:]) + 1,
        alignments(word[1:], other[1:]) + (word[0] != other[0]),
    ]
    if len(word) > 1 and len(other) > 1 and word[:2] == other[1::-1]:
        found.append(alignments(word[2:], other[2:]) + 1)
    return min(found)


SHORT = st.text("abc", max_size=5)


@given(SHORT, SHORT)
@COMMON
def test_slips_are_counted_as_by_trying_all(word: str, other: str) -> None:
    """The count of slips is the fewest edits that make one word of the other."""
    assert alignments(word, other) == slips(word, other)


WORDS = ("bridge", "collapses", "window", "everywhere")


@given(st.sampled_from(WORDS), st.data())
@COMMON
def test_one_slip_behind_the_first_letter_is_forgiven(word: str, data: st.DataObject) -> None:
    """A letter left out, doubled, changed or swapped leaves a listed word what it is."""
    at = data.draw(st.integers(1, len(word) - 2))
    slip = data.draw(
        st.sampled_from(
            [
                word[:at] + word[at + 1 :],
                word[:at] + word[at] + word[at:],
                word[:at] + "q" + word[at + 1 :],
                word[:at] + word[at + 1] + word[at] + word[at + 2 :],
            ]
        )
    )
    spelling = Spelling.of([word])
    assert slip in spelling.right or stem(word) == spelling.meant(slip)


@given(st.text(max_size=300))
@COMMON
def test_any_text_can_be_heard(line: str) -> None:
    """Nothing that is typed is too odd, and each meaning is told once."""
    meanings = heard(line)
    assert len(set(meanings)) == len(meanings)


@given(st.text("abcdefgh", min_size=LONGEST + 1, max_size=200))
@COMMON
def test_endless_words_are_no_slips(word: str) -> None:
    """A word longer than any is taken as it stands."""
    assert "" == Spelling.of(WORDS).meant(word)
