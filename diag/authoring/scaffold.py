"""A new cause file, complete and readable as it stands, with every key explained."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diag.model.rulebook import Rulebook, Sign
from diag.rulebook.language.tokens import why_no_id


def cause_file(rulebook: Rulebook, cause: str, area: str) -> str:
    """Return the text of a draft of a cause; it loads on top of the rulebook.

    The sign, the complaint and the words are the first that the rulebook knows, there to be
    replaced. Raises `ValueError` when the id cannot be one or is taken, when the area is no plain
    word, or when the rulebook knows no sign or complaint at all.
    """
    why = why_no_id(cause, False)
    if why:
        raise ValueError(f"`{cause[:40]}` cannot be an id: {why}")
    if cause in rulebook.causes:
        place = rulebook.causes[cause].place
        raise ValueError(f"there is a cause `{cause}` already, in {place}")
    if not area or not all(part.isascii() and part.isalnum() for part in area.split("-")):
        known = ", ".join(f"`{one}`" for one in _areas(rulebook))
        raise ValueError(f"`{area[:40]}` cannot be an area; known are {known}")
    if not rulebook.signs or not rulebook.complaints:
        raise ValueError("these rules know no sign or no complaint yet; write those first")
    lines = (*_head(rulebook, cause, area), *_evidence(rulebook), *_repair(rulebook))
    return "\n".join(lines) + "\n"


def _head(rulebook: Rulebook, cause: str, area: str) -> list[str]:
    scales = rulebook.scales
    return [
        "# One fault, one file. Read it aloud: if it sounds wrong, it is.",
        "# Change what stands here; a line that begins with # is only for you.",
        f"cause: {cause}    # its id: plain lower-case words, the same as the file's name",
        f"title: {cause.capitalize()}    # as a heading",
        f"area: {area}    # the same as the folder; so far: {_listed(_areas(rulebook))}",
        "status: draft    # draft, then trial with a worked case, then proven with three",
        f"share: {_word(scales.share, 0.01)}    # how common: {_listed(scales.share)}",
        "source: memory    # of what stands here: published in ..., common practice, memory",
        "no fault: no    # yes where the unit is sound, and its use or the weather explains it",
    ]


def _evidence(rulebook: Rulebook) -> list[str]:
    scales = rulebook.scales
    sign = _example(rulebook)
    sound, state = sign.states[0], sign.states[1]
    likely = _word(scales.likelihood, 0.5)
    complaint = next(iter(rulebook.complaints))
    return [
        "# How likely each complaint is when this is the cause; together below 1.",
        f"# Words for how likely: {_listed(scales.likelihood)}",
        f"complaints: {{{complaint}: {likely}}}",
        "explain: Say here in two or three sentences what goes wrong and why.",
        "# Sign, then its states, each with how likely this cause shows it; together below 1.",
        f"# `{sound}` is as `{sign.id}` should be, so that no cause shows it.",
        "shows:",
        f"  {sign.id}: {{{state}: {likely}}}",
        "# What speaks strongly against this cause: sign, then states.",
        "# must not show:",
        f"#   {sign.id}: [{sound}]",
        "# Another cause that looks alike, and the sign or finding that tells the two apart.",
        "# confused with: {another cause: a sign}",
        "# Only for what physics forbids: a condition that rules this cause out for good.",
        "# rules out when:",
        f"#   - {{when: {sign.id} is {sound}, why: say what law it would break}}",
    ]


def _repair(rulebook: Rulebook) -> list[str]:
    scales = rulebook.scales
    sign = _example(rulebook)
    return [
        "repair:",
        "  do: [Write the steps in order., Each is a whole sentence.]",
        "  minutes: 10",
        f"  parts: {{part: {_word(scales.parts, 0.0)}}}    # {_listed(scales.parts)}",
        f"  access: {next(iter(scales.access), 'ask')}    # {_listed(scales.access)}",
        f"  needs: []    # {_listed(scales.needs)}",
        "# What must hold in the run after the repair: conditions.",
        f"proof: [{sign.id} is {sign.states[0]}]",
        f"cautions: []    # {_listed(rulebook.cautions)}",
        "tell the owner: Say here in a sentence or two what was found and done.",
    ]


def _example(rulebook: Rulebook) -> Sign:
    """Return the sign that most causes show: the likeliest to be wanted."""
    shown = [sign for cause in rulebook.causes.values() for sign in cause.shows]
    return max(rulebook.signs.values(), key=lambda sign: shown.count(sign.id))


def _areas(rulebook: Rulebook) -> list[str]:
    return sorted({cause.area for cause in rulebook.causes.values()})


def _word(scale: Mapping[str, float], wanted: float) -> str:
    """Return the word of a scale whose number lies nearest."""
    return min(scale, key=lambda word: abs(scale[word] - wanted))


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words)
