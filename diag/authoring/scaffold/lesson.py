"""The file of a new lesson."""

from __future__ import annotations

from diag.authoring.scaffold.names import DRAFT, listed
from diag.model.rulebook import Rulebook


def lesson_lines(rulebook: Rulebook, lesson: str, area: str) -> list[str]:
    """Return the lines of a lesson's file, with one question.

    Raises `ValueError` when the rulebook knows no cause to practise.
    """
    if not rulebook.causes:
        raise ValueError("these rules know no cause yet; write one first")
    return [
        "# Why something is so, shown on one unit that is run as each page is read. Write down no",
        "# number that the unit or the rules know: in any text {volts at rest} is what the unit",
        "# reads, {sound volts at rest} what it would read without its fault, {unit NAME} a datum",
        "# of its class, {NAME} a threshold. `diag rules show NAME` shows what each is.",
        DRAFT,
        "source: <published in ... or common practice or memory or invented>",
        "lessons:",
        f"  {lesson}:    # its name, in plain lower-case words",
        "    number: <its place in the order of teaching, which no other lesson has>",
        "    title: <What it teaches, as a heading>",
        "    why:    # short paragraphs",
        "      - <Why it is so, before anything is measured.>",
        "    # What can hurt while it is done.",
        f"    # cautions: []    # {listed(rulebook.cautions)}",
        f"    unit: <a class of the workshop>    # among {listed(rulebook.units)}",
        "    # What is wrong with it, by a fault of the workshop; without it the unit is sound.",
        "    # fault: bad earth",
        "    seed: <a whole number; another one, another unit>",
        *_step(),
        "    # Causes to practise afterwards, each with the level at which its drills begin.",
        f"    practise: {{{next(iter(rulebook.causes))}: <a level from 1 to 4>}}",
    ]


def _step() -> list[str]:
    return [
        "    steps:    # in order; each asks before it tells",
        "      first question:    # answers are kept under this name: leave it once it is taught",
        "        ask: <What does the learner have to find out?>",
        "        choices:    # each answer, and what is told of it",
        "          - the right answer: <Yes. Why it is right.>",
        "          - another answer: <No. Why it is wrong.>",
        "        right: the right answer    # just as it stands above",
        "        # Readings that are shown then.",
        "        # shows: [volts at rest]",
        "        # A picture, current, supply or heat, drawn of a start or another act.",
        "        # picture: current",
        "        # of: a switch-off",
        "        tell:",
        "          - <What follows, with the readings.>",
    ]
