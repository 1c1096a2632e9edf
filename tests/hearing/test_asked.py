"""What is typed at a question belongs to it first: laws on the rules and on small findings."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.rulebook import parse_answer
from diag.session.hearing import Ear
from diag.session.prompt import AskFinding
from diag.session.slips import NotUnderstood

ALONE = {"panel": "dark", "volts at rest": "12.4", "flash count": "3-2", "lights up": "no"}
"""A question, and an answer to it just as it is asked for."""


@pytest.fixture(scope="module")
def ear(tmp_path_factory: pytest.TempPathFactory) -> Ear:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return Ear(load_book())


def heard(ear: Ear, asked: str, said: str) -> dict[str, str]:
    """Return finding to value, complaints left out."""
    prompt = AskFinding(ear.rulebook.findings[asked], None, opening=True, reason="")
    return {one.finding: str(one.value) for one in ear.hear(said, prompt).facts if one.finding}


@given(
    st.sampled_from(sorted(ALONE)),
    st.sampled_from([", ", "; ", " and ", " but ", ". "]),
    st.sampled_from(
        ["9.8 at the plug while it glows", "the filter is dirty", "the pump is silent"]
    ),
)
@settings(deadline=None, max_examples=60)
def test_the_answer_that_leads_a_line_is_the_one_asked_for(
    ear: Ear, asked: str, between: str, also: str
) -> None:
    """Whatever follows is heard as if it were said alone."""
    own = str(parse_answer(ALONE[asked], ear.rulebook.findings[asked]))
    expected = {asked: own, **heard(ear, "isolator", also)}
    assert expected == heard(ear, asked, ALONE[asked] + between + also)


@pytest.mark.parametrize(
    ("asked", "said", "value"),
    [
        ("volts at rest", "about 12.4 volts", "12.4 V"),
        ("volts at rest", "it reads 12.4 now", "12.4 V"),
        ("flash count", "three flashes", "3"),
        ("flash count", "3 times", "3"),
        ("flash count", "E10 on the display", "E10"),
        ("panel", "it stays dark", "dark"),
        ("panel", "well it flickers a lot", "flickers"),
        ("panel", "it comes and goes", "flickers"),
        ("lights up", "no it does not", "no"),
        ("lights up", "it lights and goes out after a minute", "dies"),
        ("fan at start", "it runs but scrapes", "rough"),
        ("lights dim", "yes a bit", "yes"),
        ("lights dim", "not really", "no"),
    ],
)
def test_what_is_left_over_answers_the_question(
    ear: Ear, asked: str, said: str, value: str
) -> None:
    """The one number, or the one state named, that nothing else is told by is the answer."""
    assert {asked: value} == heard(ear, asked, said)


@pytest.mark.parametrize("said", ["the fan fuse reads 12.4 and then 11.9", "it is not dark", "hm"])
@pytest.mark.parametrize("asked", ["volts at rest", "panel"])
def test_what_does_not_say_one_answer_says_none(ear: Ear, asked: str, said: str) -> None:
    """Two numbers, or a state denied, are no answer."""
    assert asked not in heard(ear, asked, said)


@pytest.mark.parametrize("said", ["dark, and the panel is lit", "it lights and it stays dark"])
def test_two_answers_in_a_line_contradict(ear: Ear, said: str) -> None:
    """Neither is taken; one sentence asks which of the two it is."""
    with pytest.raises(NotUnderstood, match=r"says both .* of `panel`; say which of the two"):
        heard(ear, "panel", said)
