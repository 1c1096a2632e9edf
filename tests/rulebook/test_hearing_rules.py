"""Word groups and phrases: what is refused is told with its place, and what to do about it."""

from __future__ import annotations

from pathlib import Path

import pytest
from lamps import FILES, FORMULAS, complaint_about, edited, write

from diag.model.rulebook import WordGroup
from diag.rulebook import load_rulebook
from diag.rulebook.language.phrases import Saying

HEARD = """\
source: invented
word groups:
  GLASS: {words: [glass, lens cover], but not: [spare, SHOP]}
  SHOP: {words: [shop, counter]}
heard as:
  wet is yes: [GLASS wet, rain ... GLASS]
word weights:
  any danger: [0.5 wet glass+wet, -1 dry]
  beam is dark: [1 rain]
word counts:
  beam is dark: 20 *; 3 wet pane; 1 not-dry
  nothing: 10 *
"""


def test_phrases_and_groups_are_kept_by_what_they_tell_of(tmp_path: Path) -> None:
    """Groups keep their words and what bars them, and phrases the reading that they mean."""
    book = load_rulebook([write(tmp_path, {**FILES, "heard.yaml": HEARD})], FORMULAS)
    assert {
        "GLASS": WordGroup(("glass", "lens cover"), ("spare", "SHOP")),
        "SHOP": WordGroup(("shop", "counter")),
    } == book.word_groups
    assert {("wet", "yes"): ("GLASS wet", "rain ... GLASS")} == book.heard_as
    weights = {"any danger": ("0.5 wet glass+wet", "-1 dry"), "beam is dark": ("1 rain",)}
    assert weights == book.word_weights
    counts = {("beam", "dark"): "20 *; 3 wet pane; 1 not-dry", ("", "nothing"): "10 *"}
    assert counts == book.word_counts
    said = Saying.read("rain ... GLASS", book.word_groups)
    slots = (("rain",), ("glass", "lens-cover"))
    assert Saying(slots, ("spare", "shop", "counter"), far=True) == said


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("GLASS wet", "GLAS wet", "heard.yaml:6:16: there is no word group `GLAS`"),
        ("GLASS wet", "GLAS wet", "did you mean `GLASS`?"),
        ("spare, SHOP", "spare, SHED", "heard.yaml:3:56: there is no word group `SHED`"),
        ("GLASS wet", "GLASS but not MUD", "there is no word group `MUD`"),
        ("GLASS wet", "but not wet", "heard.yaml:6:16: `but not wet` has no words that must"),
        ("rain ...", "... but not", "has no words that must be said"),
        ("lens cover", "cover of lens", "heard.yaml:3:26: `cover of lens` is more than a word"),
        ("lens cover", "SHOP", "heard.yaml:3:26: `SHOP` is more than a word"),
        ("  SHOP:", "  shop:", "heard.yaml:4:3: `shop` cannot be an id"),
        (", SHOP]", "]", "heard.yaml:4:3: no phrase names the word group `SHOP`"),
        ("wet is yes", "wet is soaked", "known are `no`, `yes`"),
        ("wet is yes", "west is yes", "`west is yes` does not begin with a choice or a yes/no"),
        ("wet is yes", "cell volts is yes", "does not begin with a choice or a yes/no finding"),
        ("wet is yes", "wet is no", "heard.yaml:6:3: `wet is no` raises no danger"),
        ("words: [shop", "word: [shop", "`word` is not a key of a word group"),
        ("heard as:", "heard:", "`heard` is not a section of a rule file"),
        ("-1 dry", "dry -1", "heard.yaml:8:35: `dry -1` does not begin with a weight"),
        ("[1 rain]", "[1.x rain]", "heard.yaml:9:18: `1.x rain` does not begin with a weight"),
        ("3 wet pane", "wet pane", "heard.yaml:11:17: `20 *; wet pane; 1 not-dry` holds more than"),
        ("10 *", "10", "heard.yaml:12:12: `10` holds more than counts and their words"),
        ("  nothing", "  something", "`something` does not begin with a choice or a yes/no"),
        ("any danger", "some danger", "`some danger` does not begin with a choice or a yes/no"),
        ("[GLASS wet, rain ... GLASS]", "{GLASS: wet}", "one text is expected here"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_with_its_place(tmp_path: Path, old: str, new: str, said: str) -> None:
    """Each mistake is one sentence with file, line and column, and what to do."""
    text = edited(HEARD, old, new)
    assert said in complaint_about(tmp_path, {**FILES, "heard.yaml": text})
