"""What sentences of danger and harmless ones come to (all invented), and how words vote."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.session.hearing import PhraseTable, Told, danger_phrases
from diag.session.hearing.votes import Votes, read_votes
from diag.session.hearing.words import words_of

HERE = Path(__file__).parent
FILES = (
    "first", "second", "third", "fourth", "fifth", "older-a", "older-b", "older-c", "older-e",
    "older-f", "plain-a", "plain-b", "plain-c", "plain-d", "plain-e", "plain-f", "plain-g",
    "plain-h", "plain-i", "plain-j",
)  # fmt: skip
FLOORS = {
    **dict.fromkeys(FILES, (0, 0)), "plain-c": (0, 1), "plain-g": (1, 1), "plain-h": (1, 3),
}  # fmt: skip
"""File to the most that may be missed of danger and read back of harmless sentences."""


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> PhraseTable[Told]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return danger_phrases(load_book())


@pytest.mark.parametrize("name", FLOORS)
def test_sentences_come_out_as_they_did(table: PhraseTable[Told], name: str) -> None:
    """No more danger is missed, and no more harmless talk read back, than when last weighed."""
    read = yaml.safe_load((HERE / f"{name}.yaml").read_text("utf-8"))
    danger = [said for all_ in read["danger"].values() for said in all_]
    missed = [said for said in danger if not table.matches(said)]
    taken = [said for said in read["harmless"] if table.matches(said)]
    assert len(missed) <= FLOORS[name][0], missed
    assert len(taken) <= FLOORS[name][1], taken


@pytest.mark.parametrize(
    ("said", "asked"),
    [
        ("it will not go off", "starts by itself"),
        ("heater keeps burning although I switched it off", "starts by itself"),
        ("I bridged the fuse with foil", "fuse against the cable"),
        ("supply wired direct, no fuse", "fuse against the cable"),
        ("the fuse holder melted", "hot wiring"),
    ],
)
def test_danger_is_read_back_by_the_question_that_fits(
    table: PhraseTable[Told], said: str, asked: str
) -> None:
    """What is read back first is what the speaker can say yes to."""
    assert asked == table.matches(said)[0].meaning.finding


ANY = read_votes(
    ["1 drip floor ring", "1.5 drip+floor not-sur", "-2 not-drip", "-1 cup", "-1.25 *"]
)
VOTES = Votes(ANY, {"wet": read_votes(["1 drip floor"]), "loud": read_votes(["1 ring not-sur"])})
WORDS = ("drip", "floor", "ring", "cup", "not", "sure", "the", "dry")


def heard(line: str, votes: Votes[str] = VOTES) -> list[str]:
    words = words_of(line)
    return [vote.meaning for vote in votes.told(words, [word.stem for word in words])]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("drips on the floor", ["wet"]),
        ("drips", []),
        ("it does not drip. Floor, ring", []),
        ("a cup, and it drips on the floor", ["wet"]),
        ("cup. cup. cup. cup. It drips on the floor", ["wet"]),
        ("I am not sure, it rings", ["loud"]),
        ("", []),
    ],
)
def test_votes_are_added_up(line: str, expected: list[str]) -> None:
    """Words and pairs vote once each, denied ones as their denial, against a threshold."""
    assert expected == heard(line)


def test_votes_without_a_meaning_tell_of_nothing() -> None:
    """Rules that weigh danger as such, and none in particular, hear nothing by votes."""
    assert [] == heard("drips on the floor", Votes(ANY, {}))


TALK = st.lists(st.sampled_from(WORDS), max_size=8).map(" ".join)


@given(TALK, TALK, TALK)
@settings(deadline=None)
def test_other_sentences_do_not_outvote_a_danger(said: str, before: str, after: str) -> None:
    """What a text tells of by votes, it tells of among other sentences."""
    assert set(heard(said)) <= set(heard(f"{before}. {said}. {after}"))


@given(st.lists(st.sampled_from(WORDS), max_size=8))
@settings(deadline=None)
def test_votes_of_a_short_text_are_its_sum(said: list[str]) -> None:
    """One sentence of few words weighs what its words and near pairs weigh, added by hand."""
    told = [word for word in said if word not in ("not", "the")]
    if "not" not in said and told:
        pairs = {
            "+".join(sorted((one, other)))
            for at, one in enumerate(told)
            for other in told[at + 1 : at + 5]
        }
        words = words_of(" ".join(said))
        best = VOTES.best(words, [word.text for word in words])
        assert sum(ANY.get(one, 0.0) for one in {*told, *pairs}) - 1.25 == best
