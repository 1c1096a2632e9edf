"""The language of conditions and sums: tokens, then recursive descent."""

from __future__ import annotations

import re
from typing import TypeVar

from diag.model.amounts import NotAnAmount, amount
from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Condition,
    Expression,
    Is,
    Known,
    Literal,
    Not,
    Or,
    Ref,
    Term,
    UnitRef,
)
from diag.model.quantity import Quantity, quantity
from diag.rulebook.language.tokens import END, KEYWORD, NAME, NUMBER, STRANGE, Token, tokens_of

DEEPEST = 40
LONGEST = 400
_OR, _AND, _NOT, _COMPARE, _SUM, _PRODUCT = range(1, 7)
_LEVELS = {
    "or": _OR,
    "and": _AND,
    "between": _COMPARE,
    **dict.fromkeys(("<", "<=", ">", ">=", "=", "!=", "is"), _COMPARE),
}
"""How tightly each operator binds; `is one of` is told by its first three characters."""
_SIGNS = {**dict.fromkeys("+-", _SUM), **dict.fromkeys("*/", _PRODUCT)}
_IS = ("is ", "is\n", "is\t")

Made = TypeVar("Made", bound=Expression)
Places = dict[int, int]
"""Where each node that can be to blame begins in its text, by the node's `id`."""


class Mistake(ValueError):
    """What is wrong in an expression, at which offset, and what to write instead."""

    def __init__(self, at: int, width: int, message: str, advice: str = "") -> None:
        super().__init__(f"{message}; {advice}" if advice else message)
        self.at = at
        self.width = width
        self.message = message
        self.advice = advice


def parse(text: str) -> Expression:
    """Parse a condition or a sum; raises `Mistake`.

    >>> parse("lamp is one of on, flickers")
    Is(name='lamp', states=('on', 'flickers'))
    """
    return _Parser(text).whole()


def condition(text: str) -> Condition:
    """Parse a condition; raises `Mistake`."""
    return placed_condition(text)[0]


def term(text: str) -> Term:
    """Parse a sum; raises `Mistake`."""
    return placed_term(text)[0]


def placed_condition(text: str) -> tuple[Condition, Places]:
    """Parse a condition and tell where its parts stand; raises `Mistake`."""
    parser = _Parser(text)
    return parser.as_condition(parser.whole()), parser.places


def placed_term(text: str) -> tuple[Term, Places]:
    """Parse a sum and tell where its parts stand; raises `Mistake`."""
    parser = _Parser(text)
    return parser.as_term(parser.whole()), parser.places


class _Parser:
    __slots__ = ("depth", "places", "position", "text", "tokens")

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens: list[Token] = tokens_of(text)
        if len(self.tokens) > LONGEST + 1:
            at = self.tokens[LONGEST][2]
            advice = "split it into several rules or figures"
            raise Mistake(at, 1, f"this is longer than {LONGEST} words and marks", advice)
        self.position = 0
        self.depth = 0
        self.places: Places = {}

    def whole(self) -> Expression:
        """Parse all of the text."""
        node = self.expression()
        kind, word, at = self.tokens[self.position]
        if kind != END:
            raise self.strange(kind, word, at)
        return node

    def as_condition(self, node: Expression) -> Condition:
        """Return the node when it can be true or false."""
        if isinstance(node, Term):
            advice = "compare it, or write `NAME is STATE`"
            message = "this is a value where a condition is expected"
            raise Mistake(self.places[id(node)], 1, message, advice)
        return node

    def as_term(self, node: Expression) -> Term:
        """Return the node when it has a value."""
        if not isinstance(node, Term):
            message = "this is a condition where a value is expected"
            raise Mistake(self.places[id(node)], 1, message)
        return node

    def _at(self, at: int, node: Made) -> Made:
        self.places[id(node)] = at
        return node

    def _from(self, first: Expression, node: Made) -> Made:
        return self._at(self.places[id(first)], node)

    def expression(self, least: int = _OR) -> Expression:
        """Parse as far as operators bind at least as tightly as `least`."""
        tokens = self.tokens
        _, word, at = tokens[self.position]
        if word == "not":
            left: Expression = self._denial(at)
            most = _AND
        else:
            left, most = self._sum(), _COMPARE
        while True:
            kind, word, at = tokens[self.position]
            level = _LEVELS.get(word, 0)
            if level == 0 and kind == KEYWORD and word[:3] in _IS:
                level = _COMPARE
            if not least <= level <= most:
                return left
            if level == _COMPARE:
                # What has been compared can only be joined, not compared again.
                left, most = self._comparison(left, word, at), _AND
            else:
                items = [self.as_condition(left)]
                while tokens[self.position][1] == word:
                    self.position += 1
                    items.append(self.as_condition(self.expression(level + 1)))
                joined = (Or if level == _OR else And)(tuple(items))
                left, most = self._from(items[0], joined), level

    def _sum(self, least: int = _SUM) -> Expression:
        """Parse what is reckoned by signs that bind at least as tightly as `least`."""
        tokens = self.tokens
        left = self._factor()
        while True:
            _, word, at = tokens[self.position]
            level = _SIGNS.get(word, 0)
            if level < least:
                return left
            if level == _SUM and not self._stands_free(at):
                raise Mistake(at, 1, f"`{word}` needs a blank on both sides")
            self.position += 1
            right = self.as_term(self._sum(_PRODUCT) if level == _SUM else self._factor())
            left = self._from(left, Arithmetic(word, self.as_term(left), right))

    def _denial(self, at: int) -> Condition:
        self.position += 1
        self._deeper(at)
        item = self.as_condition(self.expression(_NOT))
        self.depth -= 1
        return self._at(at, Not(item))

    def _comparison(self, left: Expression, word: str, at: int) -> Condition:
        self.position += 1
        if word == "between":
            value, low = self.as_term(left), self.as_term(self._sum())
            self._expect("and", "after `between X`")
            high = self.as_term(self._sum())
            ends = Compare(">=", value, low), Compare("<=", value, high)
            return self._from(left, And(ends))
        if word[:2] == "is":
            if left.__class__ is not Ref:
                raise Mistake(at, 2, "`is` must follow the name of a finding or a sign")
            return self._from(left, Is(left.name, self._states(word != "is")))
        return self._from(left, Compare(word, self.as_term(left), self.as_term(self._sum())))

    def _stands_free(self, at: int) -> bool:
        return self.text[at - 1].isspace() and self.text[at + 1 : at + 2].isspace()

    def _states(self, several: bool) -> tuple[str, ...]:
        states = [self._name("a state is expected after `is`")]
        while several and self.tokens[self.position][1] == ",":
            self.position += 1
            states.append(self._name("a state is expected after the comma"))
        return tuple(states)

    def _factor(self) -> Expression:
        kind, word, at = self.tokens[self.position]
        self.position += 1
        if kind == NAME:
            return self._at(at, Ref(_plain(word)))
        if kind == NUMBER:
            return self._at(at, Literal(_quantity(word, at)))
        if word == "unit":
            name = self._name("the name of a datum is expected after `unit`")
            return self._at(at, UnitRef(name))
        if word == "known":
            self._expect("(", "after `known`")
            name = self._name("a name is expected in `known(...)`")
            self._expect(")", "after the name")
            return self._at(at, Known(name))
        if word == "(":
            self._deeper(at)
            inner = self.expression()
            self.depth -= 1
            self._expect(")", f"to close the `(` at character {at + 1}")
            return inner
        if word == "-":
            self._deeper(at)
            value = self.as_term(self._factor())
            self.depth -= 1
            minus = self._at(at, Literal(quantity(-1, "1")))
            return self._at(at, Arithmetic("*", minus, value))
        raise self._wanted(kind, word, at)

    def _wanted(self, kind: int, word: str, at: int) -> Mistake:
        if kind == END:
            return Mistake(at, 1, "the line ends where a name or a number is expected")
        if kind == STRANGE:
            return self.strange(kind, word, at)
        message = f"`{word}` stands where a name or a number is expected"
        return Mistake(at, len(word), message)

    def _name(self, message: str) -> str:
        kind, word, at = self.tokens[self.position]
        if kind != NAME:
            advice = "write `not NAME is STATE`" if word == "not" else ""
            raise Mistake(at, max(1, len(word)), message, advice)
        self.position += 1
        return _plain(word)

    def _expect(self, wanted: str, where: str) -> None:
        _, word, at = self.tokens[self.position]
        if word != wanted:
            raise Mistake(at, max(1, len(word)), f"`{wanted}` is missing {where}")
        self.position += 1

    def _deeper(self, at: int) -> None:
        self.depth += 1
        if self.depth > DEEPEST:
            raise Mistake(at, 1, f"this is nested more than {DEEPEST} levels deep")

    def strange(self, kind: int, word: str, at: int) -> Mistake:
        """Say why a token cannot stand after what is complete without it."""
        width = len(word)
        before = self.tokens[self.position - 1] if self.position else (0, "", 0)
        if kind == NUMBER and word.startswith("-"):
            return Mistake(at, 1, "`-` needs a blank on both sides")
        if kind == STRANGE and word.isalpha() and before[0] == NUMBER:
            word = re.match(r"\w+", self.text[at:])[0]  # type: ignore[index]
            kind, width = NAME, len(word)
        if kind == NAME and before[0] == NUMBER:
            return Mistake(at, width, f"`{word}` is not a known unit of measure")
        if word == ",":
            return Mistake(at, 1, "a comma cannot stand here", "write decimals with a point")
        if kind == STRANGE:
            advice = "names are written in lower case" if word.isupper() else ""
            return Mistake(at, 1, f"`{word}` cannot stand in a condition", advice)
        return Mistake(at, width, f"`{word}` is not expected here", "join with `and` or `or`")


def _plain(name: str) -> str:
    """Return a name with single blanks, however the line was broken."""
    return name if "\n" not in name and "  " not in name else " ".join(name.split())


def _quantity(text: str, at: int) -> Quantity:
    try:
        return amount(text)
    except NotAnAmount as error:
        raise Mistake(at, len(text), error.message, error.advice) from None
