"""What people say: word groups, and phrases by the finding and the state that they tell of."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from diag.logic.rests_on import raised_by
from diag.model.amounts import excerpt
from diag.model.rulebook import Rulebook, WordGroup
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.lookup import Lookup
from diag.rulebook.language.phrases import GROUP, groups_named, phrases_of, wants_something
from diag.rulebook.language.tokens import PLAIN_NUMBER
from diag.rulebook.yaml.nodes import Items, Node
from diag.rulebook.yaml.scalars import nearest

PhrasesHeard = dict[tuple[str, str], tuple[str, ...]]
GROUPS, HEARD, TOLD, WEIGHTS = "word groups", "heard as", "told as", "word weights"
COUNTS, TALK = "word counts", "nothing"
"""The section of words counted, and its key for talk that tells of nothing."""
ANY, KIND = "any danger", "KIND-"
"""The key of the votes for danger of any kind; how a word group is named that is for votes."""
MOST_IN_ROW, MOST_TEXTS = 2, 1024


def word_group(look: Lookup, entry: Entry) -> WordGroup:
    """Build a word group; what bars it may be other groups, its own words may not."""
    words, bars = entry.values["words"], entry.values.get("but not", ())
    for number, word in enumerate(words):
        if word.isalpha() and word.islower():
            continue
        if GROUP.fullmatch(word) or len(word.replace("-", " ").split()) > MOST_IN_ROW:
            message = f"`{excerpt(word)}` is more than a word, or two that follow each other"
            advice = "write groups side by side in the phrase: `ONE/OTHER`"
            entry.source.refuse(entry.item_at("words", number), message, advice)
    for number, word in enumerate(bars):
        _check(look, entry, entry.item_at("but not", number), word)
    return WordGroup(words, bars)


def heard_in(look: Lookup, entry: Entry) -> PhrasesHeard:
    """Return the phrases of a danger's own `heard as`."""
    found: PhrasesHeard = {}
    for key, phrases in entry.values.get(HEARD, {}).items():
        told = _told(look, entry, entry.key_at(HEARD, key), key)
        if told:
            found[told] = phrases
            _check_all(look, entry, entry.at(HEARD, key), phrases)
    return found


def heard_as(look: Lookup) -> PhrasesHeard:
    """Return the phrases of the section `heard as`, whichever file it stands in."""
    found: PhrasesHeard = {}
    for name, entry in sorted(look.gathered.of(HEARD).items()):
        told = _told(look, entry, entry.key, name)
        if told:
            found[told] = entry.values["phrases"]
            _check_all(look, entry, entry.at(name), entry.values["phrases"])
    return found


def told_as(look: Lookup) -> dict[tuple[str, str], str]:
    """Return the phrases of the section `told as`, one text for each meaning.

    They are taken apart once somebody says something: here only their groups are looked up.
    """
    found: dict[tuple[str, str], str] = {}
    groups = look.gathered.of(GROUPS)
    for name, entry in sorted(look.gathered.of(TOLD).items()):
        if told := _meaning(look, entry, name):
            found[told] = ";".join(entry.values["phrases"])
            if not groups.keys() >= _groups_in(found[told]):
                for phrase in phrases_of(found[told]):
                    _check(look, entry, entry.at(name), phrase)
    return found


def _meaning(look: Lookup, entry: Entry, name: str) -> tuple[str, str] | None:
    """Return what a key names: a complaint, a finding of numbers or codes, or a state."""
    if name in look.gathered.of("complaints"):
        return ("", name)
    if name in look.gathered.of("findings") and _is_of_numbers(look, name):
        return (name, "")
    return _told(look, entry, entry.key, name)


def word_counts(look: Lookup) -> dict[tuple[str, str], str]:
    """Return the section `word counts`, one text for each meaning, read once somebody speaks."""
    found: dict[tuple[str, str], str] = {}
    for name, entry in sorted(look.gathered.of(COUNTS).items()):
        told = ("", TALK) if name == TALK else _meaning(look, entry, name)
        if told is None:
            continue
        found[told] = text = ";".join(entry.values["phrases"])
        if not all(map(_is_counted, text.split(";"))):
            message = f"`{excerpt(text)}` holds more than counts and their words"
            entry.source.refuse(entry.at(name), message, "write a whole number before its words")
    return found


def _is_counted(part: str) -> bool:
    """Return whether words stand behind their count."""
    count, _, words = part.strip().partition(" ")
    return count.isdecimal() and bool(words.strip())


@lru_cache(MOST_TEXTS)
def _groups_in(text: str) -> frozenset[str]:
    """Return the groups that the phrases of a text name; each text is gone through twice."""
    return frozenset(groups_named(text.replace(";", " ; ")))


def _is_of_numbers(look: Lookup, finding: str) -> bool:
    return not isinstance(look.names.types.get(finding), tuple) or not look.names.types[finding]


def word_weights(look: Lookup) -> dict[str, tuple[str, ...]]:
    """Return the lines of the section `word weights`: a weight, and the words that weigh that."""
    found: dict[str, tuple[str, ...]] = {}
    for name, entry in sorted(look.gathered.of(WEIGHTS).items()):
        if name != ANY and not _told(look, entry, entry.key, name):
            continue
        found[name] = entry.values["phrases"]
        node = entry.at(name)
        for number, line in enumerate(found[name]):
            if not PLAIN_NUMBER.fullmatch(line.partition(" ")[0]):
                at = node.items[number] if isinstance(node, Items) else node
                message = f"`{excerpt(line)}` does not begin with a weight"
                entry.source.refuse(at, message, "write a number, and behind it its words")
    return found


def checked_use(look: Lookup, book: Rulebook) -> Rulebook:
    """Note phrases that tell of no danger, and word groups that no phrase names.

    What is missing for another mistake is told once that is mended.
    """
    if look.gathered.problems:
        return book
    for (finding, state), _ in book.heard_as.items():
        if not raised_by(book.dangers, finding, state):
            entry = look.gathered.of(HEARD)[f"{finding} is {state}"]
            message = f"`{finding} is {state}` raises no danger"
            advice = "name a reading that stands in the `raised when` of a danger"
            entry.source.refuse(entry.key, message, advice)
    named = set(_named(book))
    for name, entry in look.gathered.of(GROUPS).items():
        if name not in named and not (name.startswith(KIND) and book.word_weights):
            message = f"no phrase names the word group `{name}`"
            entry.source.refuse(entry.key, message, "use it in a phrase, or take it out")
    return book


def _named(book: Rulebook) -> Iterator[str]:
    mappings = (book.heard_as, *(danger.heard_as for danger in book.dangers.values()))
    for heard in mappings:
        for phrases in heard.values():
            for phrase in phrases:
                yield from groups_named(phrase)
    for text in book.told_as.values():
        yield from _groups_in(text)
    for group in book.word_groups.values():
        yield from group.but_not


def _told(look: Lookup, entry: Entry, node: Node, key: str) -> tuple[str, str] | None:
    """Return the finding and the state that a key names, written `FINDING is STATE`."""
    name, _, state = key.partition(" is ")
    known = look.names.types.get(name)
    if name not in look.gathered.of("findings") or not isinstance(known, tuple):
        message = f"`{excerpt(key)}` does not begin with a choice or a yes/no finding"
        advice = nearest(name, look.gathered.of("findings")) or "write it `FINDING is STATE`"
        entry.source.refuse(node, message, advice)
        return None
    if state not in known:
        look.refuse_state(entry, state, known, node)
        return None
    return name, state


def _check_all(look: Lookup, entry: Entry, node: Node, phrases: tuple[str, ...]) -> None:
    for number, phrase in enumerate(phrases):
        _check(look, entry, node.items[number] if isinstance(node, Items) else node, phrase)


def _check(look: Lookup, entry: Entry, node: Node, phrase: str) -> None:
    """Note a word group that is none, and a phrase of which nothing must be said."""
    groups = look.gathered.of(GROUPS)
    for name in groups_named(phrase):
        if name not in groups:
            message = f"there is no word group `{excerpt(name)}`"
            advice = nearest(name, groups) or "write plain words in small letters"
            entry.source.refuse(node, message, advice)
    if not wants_something(phrase):
        message = f"`{excerpt(phrase)}` has no words that must be said"
        entry.source.refuse(node, message, "put some before `but not`")
