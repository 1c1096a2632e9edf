"""The numbers in a line with their units, each put as one word, so that phrases can hold it."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from diag.model.amounts import (
    AMOUNT_IN_TEXT,
    CODE_IN_TEXT,
    HOUR_IN_TEXT,
    OVER_RANGE_IN_TEXT,
    unit_spelt,
)
from diag.model.rulebook import Finding, Value
from diag.rulebook import parse_answer
from diag.rulebook.kinds import KINDS
from diag.session.hearing.words import stem

BARE = "b"
"""What stands behind the key of a slot that a number without a unit fills."""
MOST = 40
"""Numbers of a line that are read."""
_NOT_MEASURED = ("month", "months", "year", "years", "old")
"""What makes a number none that answers a question, though it is no unit of ours."""
_FIRST = 10**12
"""What stands for the first number of a line; nobody types that many digits."""
_COUNTED = [
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen"),
    *("eighteen", "nineteen", "twenty"),
]
_SPELT = {word: str(number) for number, word in enumerate(_COUNTED)}
_SPELT |= {"thirty": "30", "forty": "40", "fifty": "50", "sixty": "60", "hundred": "100"}
_SPELT |= {"half a": "0.5", "half an": "0.5", "a couple of": "2"}
_SPELT |= {f"{word} and a half": f"{number}.5" for number, word in enumerate(_COUNTED)}
_SPELT_OUT = re.compile(
    rf"\b({'|'.join(sorted(_SPELT, key=len, reverse=True))})[ -]([a-z]{{3,12}})\b", re.IGNORECASE
)
_OFTEN = {"once": "1 times", "twice": "2 times", "thrice": "3 times"}
_COUNTED_BEFORE = re.compile(rf"\b([a-z]{{3,12}}) ({'|'.join(_OFTEN)})\b", re.IGNORECASE)
_LASTS = {"s": "second", "min": "minute", "h": "hour", "d": "day"}
"""Symbol of a unit of time to the word that phrases have for it."""
_A_SECOND = re.compile(
    r"(?:\b(?:times|pulses|ticks|clicks|beats) )?\b(?:a|per|every|each) sec(?:ond)?\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class SaidNumber:
    """One number of a line, as it was typed."""

    digits: str
    unit: str
    below: bool
    """Whether `minus` stands before it, which may also be a name."""
    like: str = ""
    """The unit of the last number before it, where it has none of its own."""

    @property
    def as_words(self) -> Sequence[str]:
        """Return the stems that it also fills: its digits, without a unit `five` for 5, and with
        one of time what it counts, as `minute`."""
        spelt = [stem(_COUNTED[int(self.digits)])] if self._is_counted else []
        unit = unit_spelt(self.unit) if self.unit else None
        lasts = [stem(_LASTS[unit.symbol])] if unit and unit.symbol in _LASTS else []
        return [*self.digits.lower().split(), *spelt, *lasts]

    @property
    def _is_counted(self) -> bool:
        few = self.digits.isascii() and self.digits.isdecimal() and len(self.digits) < 3
        return self.unit in ("", "times") and few and int(self.digits) < len(_COUNTED)

    def is_like(self, finding: Finding) -> bool:
        """Return whether its unit, or that of the number before it, is one of the finding's."""
        unit = unit_spelt(self.unit or self.like)
        wanted = finding.unit
        return unit is not None and wanted is not None and unit.dimension == wanted.dimension

    def value(self, finding: Finding) -> Value | None:
        """Return what it says of a finding, None where it can be none of its answers."""
        if KINDS[finding.kind].is_coded:
            written = [self.digits] if not self.unit or self.unit == "times" else []
        else:
            plain = f"{self.digits} {self.unit}".strip() if self.unit != "times" else ""
            written = [f"-{plain}", plain] if self.below else [plain]
        for text in written:
            try:
                return parse_answer(text, finding)
            except ValueError:
                continue
        return None


def put_as_words(
    line: str, kept: Iterable[str], counted: Collection[str] = ()
) -> tuple[str, dict[str, SaidNumber]]:
    """Return the line with one word for each number, and those words with their numbers.

    Words with digits in them that are `kept`, as names are, stay as they stand; of what is
    `counted`, by words in the plural, numbers are read that are spelt out.
    """
    text = _A_SECOND.sub("hz", line.replace("−", "-"))
    text = HOUR_IN_TEXT.sub("at that hour", text)
    text = _SPELT_OUT.sub(lambda match: _in_digits(match, counted), text)
    text = _COUNTED_BEFORE.sub(lambda match: _often(match, counted), text)
    names, found, pieces = frozenset(kept), dict[str, SaidNumber](), list[str]()
    end, like = 0, ""
    for match in _matches(text, names):
        if match.start() < end or len(found) == MOST:
            continue
        number, rest = _number(match, text)
        token, like = str(_FIRST + len(found)), number.unit or like
        found[token] = number if number.unit else replace(number, like=like)
        pieces += [text[end : match.start()], f" {token}{rest} "]
        end = match.end()
    return "".join([*pieces, text[end:]]), found


def _matches(text: str, names: frozenset[str]) -> list[re.Match[str]]:
    """Return codes and amounts in order of place; of those that begin alike the code first."""
    codes = [
        one
        for one in CODE_IN_TEXT.finditer(text)
        if not (one[0].isdecimal() or one[0].lower() in names)
        and not (one[0][0].isalpha() and _behind_digits(text, one.start()))
    ]
    amounts = [
        one
        for one in AMOUNT_IN_TEXT.finditer(text)
        if not (text[one.start() - 1 : one.start()] or " ").isalnum()
    ]
    over = OVER_RANGE_IN_TEXT.finditer(text)
    return sorted(
        [*codes, *amounts, *over], key=lambda one: (one.start(), one.re is AMOUNT_IN_TEXT)
    )


def _behind_digits(text: str, start: int) -> bool:
    """Return whether digits stand before a place, with a blank between or none."""
    return text[max(0, start - 2) : start].rstrip()[-1:].isdecimal()


def _number(match: re.Match[str], text: str) -> tuple[SaidNumber, str]:
    """Return what was typed as a number, and what of the match is none of it."""
    if match.re in (CODE_IN_TEXT, OVER_RANGE_IN_TEXT):
        return SaidNumber(match[0], "", False), ""
    digits, word = match[1].rstrip(".,"), match[2] or ""
    mark = match[1][len(digits) :]
    unit = _unit(word, text[match.end() : match.end() + 1], match[0])
    below = text[: match.start()].endswith("minus ")
    return SaidNumber(digits, unit, below), mark if unit and unit != "times" else f"{mark} {word}"


def _unit(word: str, after: str, whole: str) -> str:
    """Return the unit that a word behind a number is; empty where it is none."""
    article = word in ("a", "in") and " " in whole and after not in ("", *",.;)!?")
    return word if word in ("times", *_NOT_MEASURED) or (unit_spelt(word) and not article) else ""


def _in_digits(match: re.Match[str], counted: Collection[str]) -> str:
    digits, word = _SPELT[match[1].lower()], match[2].lower()
    many = word in counted and word.endswith("s") and digits not in ("0", "1")
    if many or word in ("times", "long", "short") or unit_spelt(match[2]):
        return f"{digits} {match[2]}"
    return match[0]


def _often(match: re.Match[str], counted: Collection[str]) -> str:
    word = match[1].lower()
    return f"{match[1]} {_OFTEN[match[2].lower()]}" if word in counted else match[0]


def slots_filled(
    numbers: Mapping[str, SaidNumber], numbered: Mapping[str, Finding]
) -> dict[str, tuple[str, ...]]:
    """Return, for each word that stands for a number, the slots that it can fill."""
    return {
        token: (*number.as_words, *_slots(number, numbered)) for token, number in numbers.items()
    }


def _slots(number: SaidNumber, numbered: Mapping[str, Finding]) -> Iterator[str]:
    for key, finding in numbered.items():
        if number.value(finding) is not None:
            coded = KINDS[finding.kind].is_coded
            whole = number.unit == "times" if coded else number.is_like(finding)
            yield key if whole else f"{key}{BARE}"
