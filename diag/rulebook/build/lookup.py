"""Looking names up: each reference to an id, a state or a word of a scale, or the problem."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from diag.model.amounts import excerpt
from diag.model.expression import Condition, Expression, Formula, Literal, Term, names_in, walk
from diag.model.quantity import Dimension
from diag.model.settings import Scales
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.gather import Gathered
from diag.rulebook.build.thresholds import inlined
from diag.rulebook.language.clauses import Form, Read
from diag.rulebook.language.dimensions import Names, TypeMismatch, mistake_in
from diag.rulebook.language.grammar import Made, Places, placed_condition, placed_term
from diag.rulebook.yaml.nodes import Node
from diag.rulebook.yaml.scalars import nearest

DEFAULT_LEAK = "seldom"
TAKE_OUT = "take the line out"
SINGULAR = {
    "findings": "finding",
    "checks": "check",
    "signs": "sign",
    "causes": "cause",
    "cautions": "caution",
    "acts": "act",
    "runs": "run",
    "units": "unit",
    "complaints": "complaint",
    "dangers": "danger",
    "unit data": "unit datum",
    "thresholds": "threshold",
}


def draft_wanted(name: str) -> tuple[str, str]:
    """Say that a cause which is named elsewhere is a draft, and what to do."""
    return (
        f"the cause `{excerpt(name)}` is a draft, which takes no part",
        "set its status to `trial`, or take its name out here",
    )


@dataclass(slots=True, eq=False, repr=False)
class Lookup:
    """What has been gathered, and what each name in it stands for."""

    gathered: Gathered
    names: Names
    scales: Scales
    formulas: Mapping[str, Formula]
    unsound: frozenset[str]
    """Names whose own entry is refused: nothing more is said about their use."""
    fitting: set[Form] = field(default_factory=set)
    """Forms of clauses whose names, states and dimensions fit."""
    signless: set[Form] = field(default_factory=set)
    """Those of them that mention no sign."""
    limits: Mapping[str, Term] = field(default_factory=dict)
    """Thresholds as the sums that stand for their names."""

    def refer(self, entry: Entry, kind: str, name: str, node: Node) -> bool:
        """Tell whether an id of a kind exists, and note it when it does not."""
        known = self.gathered.of(kind)
        if name in known:
            return True
        if kind == "causes" and name in self.gathered.drafts:
            entry.source.refuse(node, *draft_wanted(name))
            return False
        message = f"there is no {SINGULAR[kind]} `{excerpt(name)}`"
        entry.source.refuse(node, message, nearest(name, known))
        return False

    def refer_all(self, entry: Entry, kind: str, key: str) -> tuple[str, ...]:
        """Look up every id in the list under a key, and return the list."""
        names: tuple[str, ...] = entry.values.get(key, ())
        for number, name in enumerate(names):
            self.refer(entry, kind, name, entry.item_at(key, number))
        return names

    def word(self, entry: Entry, scale: str, word: str, node: Node) -> float:
        """Return the number behind a word of a scale; 0 when there is no such word."""
        words: Mapping[str, float] = getattr(self.scales, scale)
        if word in words:
            return words[word]
        message = f"`{excerpt(word)}` is not a word of the scale `{scale}`"
        entry.source.refuse(node, message, nearest(word, words) or "see the scales")
        return 0.0

    def words(self, entry: Entry, scale: str, *keys: str) -> dict[str, float]:
        """Return a mapping with the words of a scale turned into numbers."""
        holder = entry.values
        for key in keys:
            holder = holder.get(key, {})
        return {
            name: self.word(entry, scale, word, entry.at(*keys, name))
            for name, word in holder.items()
        }

    def listed(self, entry: Entry, scale: str, key: str) -> tuple[str, ...]:
        """Return the list under a key, each of its items a word of the scale."""
        words: tuple[str, ...] = entry.values.get(key, ())
        for number, word in enumerate(words):
            self.word(entry, scale, word, entry.item_at(key, number))
        return words

    def access(self, entry: Entry) -> str:
        """Return the word for what must be opened, `ask` when nothing is said."""
        word: str = entry.values.get("access", "ask")
        if "access" in entry.values:
            self.word(entry, "access", word, entry.at("access"))
        return word

    def condition(self, entry: Entry, node: Node, read: Read | None) -> Condition | None:
        """Check a condition's names, states and dimensions; return it, thresholds written out."""
        if read is None:
            return None
        if not self.fitting.issuperset(read.forms):
            try:
                for form in read.forms:
                    self._check(form)
            except TypeMismatch:
                self._refuse(entry, node, read.condition, placed_condition, self.names.check)
        return inlined(read.condition, self.limits)

    def _check(self, form: Form) -> None:
        """Check a form, and remember what fits; raises `TypeMismatch`."""
        self.names.check(form.condition)
        self.fitting.add(form)
        if not any(name in self.gathered.of("signs") for name in names_in(form.condition)):
            self.signless.add(form)

    def may_rest_on_sign(self, read: Read) -> bool:
        """Tell whether a condition mentions a sign, as far as its clauses were found to fit."""
        return not self.signless.issuperset(read.forms)

    def term(self, entry: Entry, node: Node, read: Term) -> Dimension | None:
        """Check the names and dimensions of a sum, and return its dimension."""
        try:
            return self.names.dimension(read)
        except TypeMismatch:
            self._refuse(entry, node, read, placed_term, self.names.dimension)
            return None

    def _refuse(
        self,
        entry: Entry,
        node: Node,
        read: Made,
        parse: Callable[[str], tuple[Made, Places]],
        check: Callable[[Made], object],
    ) -> None:
        """Parse and check once more what does not fit, and note the place of what is to blame."""
        if isinstance(node, str) and self.unsound.isdisjoint(names_in(read)):
            found = mistake_in(parse(node), check)
            assert found is not None
            entry.source.refuse_within(node, found.at, found.width, found.message, found.advice)

    def leaks(self, entry: Entry, states: tuple[str, ...]) -> dict[str, float]:
        """Return how often each state but the first shows anyway; unsaid, it is `seldom`.

        A state that is a fault never does.
        """
        given = self.words(entry, "anyway", "shows anyway")
        for state in given:
            if state not in states[1:]:
                self.refuse_state(entry, state, states, entry.key_at("shows anyway", state))
            elif state in entry.values.get("is", {}):
                message = f"`{state}` is a fault in plain sight, so it never shows anyway"
                entry.source.refuse(entry.key_at("shows anyway", state), message, TAKE_OUT)
        usual = self.scales.anyway.get(DEFAULT_LEAK, 0.0)
        faults = entry.values.get("is", {})
        leaks = {one: given.get(one, 0.0 if one in faults else usual) for one in states[1:]}
        if sum(leaks.values()) >= 1:
            message = "the states that show anyway add to 1 or more"
            entry.source.refuse(entry.key, message, "choose rarer words")
        return leaks

    def defects(self, entry: Entry, states: tuple[str, ...]) -> dict[str, str]:
        """Return which states are faults in plain sight, each with the one cause that it is."""
        faults: dict[str, str] = entry.values.get("is", {})
        for state, cause in faults.items():
            if state not in states[1:]:
                self.refuse_state(entry, state, states, entry.key_at("is", state))
            self.refer(entry, "causes", cause, entry.at("is", state))
        if faults and entry.values.get("known by") == "told":
            message = "a fault is in plain sight where it is seen or measured, not told"
            entry.source.refuse(entry.key_at("is"), message, TAKE_OUT)
        return faults

    def refuse_state(self, entry: Entry, state: str, states: tuple[str, ...], node: Node) -> None:
        """Say that a state is unknown, or is the first one, which nothing brings about."""
        if states and state == states[0]:
            message = f"`{state}` is as it should be: no cause and no chance brings it about"
            entry.source.refuse(node, message, "name the other states only")
        else:
            message = f"there is no state `{excerpt(state)}`"
            entry.source.refuse(node, message, nearest(state, states))

    def needs_origin(self, entry: Entry, *read: Expression | None, always: bool = False) -> None:
        """Note an entry with a number in it that does not say where the number comes from.

        A threshold has said so in its own place.
        """
        if entry.origin is not None:
            return
        said = {id(part) for term in self.limits.values() for part in walk(term)}
        parts = (part for each in read if each for part in walk(each))
        if always or any(isinstance(part, Literal) and id(part) not in said for part in parts):
            message = "the numbers here do not say where they come from"
            entry.source.refuse(entry.key, message, "add a line `source: ...`")
