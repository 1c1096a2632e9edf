"""How a finding is measured is read whole, or refused with what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.model.problem import ProblemsFound
from diag.model.work import Measure
from diag.rulebook import load_rulebook
from tests.rulebook.lamps import FILES, FORMULAS, write

SOUND = "with: Scales., where: On the plate., when: At rest., mistakes: [It hangs., It swings.]"

TALL = '"' + "o\\n" * 13 + '"'


def read(folder: Path, *measures: str) -> dict[str, Measure | None]:
    """Return how findings called weight, other and third are measured, as written."""
    text = "findings:\n"
    named = dict(zip(("weight", "other", "third"), measures, strict=False))
    for name, how in named.items():
        text += (
            f"  {name}: {{ask: How heavy?, kind: choice, choices: {{light: so, heavy: not}},\n"
            f"    measure: {{{how}}}}}\n"
        )
    book = load_rulebook([write(folder, {**FILES, "more.yaml": text})], FORMULAS)
    return {
        name: book.findings[name].measure for name in ("weight", "other", "third")[: len(measures)]
    }


def test_all_that_is_written_is_kept(tmp_path: Path) -> None:
    """Every key stands in the model as it stands in the file, the drawing line by line."""
    drawing = 'good: Little., drawing: "[lamp]\\n  scales  ", in words: It lies on the scales.'
    made = read(tmp_path, f"{SOUND}, {drawing}")
    expected = Measure(
        tool="Scales.",
        where="On the plate.",
        when="At rest.",
        mistakes=("It hangs.", "It swings."),
        good="Little.",
        drawing=("[lamp]", "  scales"),
        in_words="It lies on the scales.",
    )
    assert {"weight": expected} == made


def test_what_is_left_out_is_as_for_the_other(tmp_path: Path) -> None:
    """All but what is good is taken over, and what is said anew stands in its place."""
    made = read(tmp_path, f"{SOUND}, good: Little.", "as for: weight, when: Wet.")
    expected = Measure("Scales.", "On the plate.", "Wet.", ("It hangs.", "It swings."))
    assert expected == made["other"]


@pytest.mark.parametrize(
    ("measures", "message", "advice"),
    [
        (
            ["with: Scales., when: At rest., mistakes: [It hangs.]"],
            "this does not say `where`",
            "add a line `where: ...`",
        ),
        (
            [f"{SOUND}, drawing: '[lamp]'"],
            "`drawing` stands without `in words`",
            "add a line `in words: ...`, which tells the same",
        ),
        (
            [f"{SOUND}, in words: It lies there."],
            "`in words` stands without `drawing`",
            "add a line `drawing: ...`, which tells the same",
        ),
        (
            [f"{SOUND}, in words: So., drawing: {'=' * 39}"],
            "line 1 of this drawing has more than 38 characters",
            "draw it narrower, for small terminals",
        ),
        (
            [f"{SOUND}, in words: So., drawing: {TALL}"],
            "this drawing has 13 lines, and 12 fit",
            "leave out what the words say",
        ),
        (
            [f"{SOUND}, in words: So., drawing: 100 µm"],
            "a drawing is made of plain ASCII characters",
            "use letters and - | / + o and the like",
        ),
        (
            ["as for: wat"],
            "there is no finding `wat`",
            "did you mean `wet`?",
        ),
        (
            [SOUND, "as for: weight, when: Wet.", "as for: other"],
            "`other` does not say itself how it is measured",
            "name a finding that does",
        ),
        (
            [f"{SOUND}, good: About 5 g."],
            "the numbers here do not say where they come from",
            "add a line `source: ...`",
        ),
        (
            [f"{SOUND}, mistake: It hangs."],
            "`mistake` is not a key of a measure",
            "did you mean `mistakes`?",
        ),
    ],
)
def test_what_is_missing_or_does_not_fit_is_refused(
    tmp_path: Path, measures: list[str], message: str, advice: str
) -> None:
    """One sentence says what is wrong, and another what to do."""
    with pytest.raises(ProblemsFound) as found:
        read(tmp_path, *measures)
    told = [(one.message, one.advice) for one in found.value.problems]
    assert [(message, advice)] == told[:1]
