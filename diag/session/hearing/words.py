"""A line as words: each with its stem, its sentence and its clause, contractions written out."""

from __future__ import annotations

import re
from dataclasses import dataclass

WORD = re.compile(r"[^\W\d_]+|\d+(?:[.,]\d+)?")
RANGE = re.compile(r"(\d+(?:\.\d+)?)\.\.(\d+(?:\.\d+)?)")
"""Any number from one to another, as a phrase asks for it."""
TURNS = ("but", "although", "however")
"""Words that turn what was said."""
INITIALS = re.compile(r"\b(?:[a-z]\.){2,}")
SENTENCE_END = re.compile(r"[.;!?\n](?!\d)")
CLAUSE_END = re.compile(r"[,:()\[\]/]|\s[-–—]+\s|—")


def word_set(text: str) -> frozenset[str]:
    """Return the words of a text that lists them."""
    return frozenset(text.split())


NOT = word_set("no not never none nothing nobody nowhere neither nor without cannot nil zero nope")
"""Words that deny what follows them."""

IDLE_WORDS = word_set(
    """a an the this that these those it its i me my we us our you your he she his her they them
    their there here is are was were be been being am do does did done have has had having will
    would shall can could may might must of at to with for in into inside within and or as by from
    if whether when while then so too also very really quite just some bit little lot lots all
    both one ones please now hi hello help what which who whole whose"""
) - {"inside", "own"}
"""Words that carry little: a phrase does without them, and they part nothing."""

_JOINED = {
    "dont": "do not", "doesnt": "does not", "didnt": "did not", "isnt": "is not",
    "arent": "are not", "wasnt": "was not", "werent": "were not", "hasnt": "has not",
    "havent": "have not", "hadnt": "had not", "wont": "will not", "wouldnt": "would not",
    "cant": "can not", "couldnt": "could not", "shouldnt": "should not", "aint": "is not",
    "mustnt": "must not", "neednt": "need not", "shant": "shall not",
}  # fmt: skip
_CONTRACTED = re.compile(r"\b(" + "|".join(_JOINED) + r")\b")
_IRREGULAR = {
    form: base
    for base, forms in {
        "go": "goes went gone", "come": "came", "feel": "felt", "fall": "fell fallen",
        "smell": "smelt", "burn": "burnt", "catch": "caught", "light": "lit",
        "blow": "blew blown", "throw": "threw thrown", "run": "ran", "shoot": "shot",
        "wake": "woke woken", "get": "got gotten", "spill": "spilt", "stink": "stank stunk",
        "ring": "rang rung", "swell": "swollen swole", "keep": "kept", "break": "broke broken",
        "make": "made", "spit": "spat", "find": "found", "begin": "began begun",
        "die": "dead died dying",
        "gas": "gases gasses gassed gassing", "do": "does did done",
        "lose": "lost", "take": "took taken", "give": "gave given", "leave": "left",
        "see": "saw seen", "hear": "heard", "set": "setting", "rise": "rose risen",
        "turn": "turnt", "shut": "shutting", "melt": "molten",
        "dry": "dried dries",
    }.items()
    for form in forms.split()
}  # fmt: skip
_VOWEL = re.compile(r"[aeiouy]")


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a line."""

    text: str
    stem: str
    sentence: int
    clause: int
    """Counted over the whole line, so that clauses of two sentences differ."""
    at: int
    """How far along it stands: telling words before it, and two more for each clause ended."""

    @property
    def denies(self) -> bool:
        """Return whether the word denies what follows."""
        return self.text in NOT

    @property
    def idle(self) -> bool:
        """Return whether the word carries little."""
        return self.text in IDLE_WORDS


def words_of(line: str) -> tuple[Word, ...]:
    """Return the words of a line, in order. `but` ends a sentence, as it turns what was said.

    >>> [word.stem for word in words_of("It DOESN'T stop; horns ringing!")]
    ['it', 'do', 'not', 'stop', 'horn', 'ring']
    """
    full, words = _written_out(line), list[Word]()
    sentence = clause = at = end = 0
    for found in WORD.finditer(full):
        between, text = full[end : found.start()], found.group()
        if SENTENCE_END.search(between) or text in TURNS:
            sentence, clause, at = sentence + 1, clause + 1, at + 2
        elif CLAUSE_END.search(between):
            clause, at = clause + 1, at + 2
        words.append(Word(text, stem(text), sentence, clause, at))
        at += text not in IDLE_WORDS
        end = found.end()
    return tuple(words)


def plain_words(text: str) -> list[str]:
    """Return the words of a text as they stand, in small letters."""
    return WORD.findall(text.lower())


def _written_out(line: str) -> str:
    lower = line.lower().replace("’", "'").replace("`", "'")
    lower = INITIALS.sub(lambda found: found.group().replace(".", "") + " ", lower)
    lower = lower.replace("can't", "can not").replace("won't", "will not").replace("n't", " not")
    lower = re.sub(r"'(?:s|m|re|ve|ll|d)\b", " ", lower)
    return _CONTRACTED.sub(lambda found: _JOINED[found.group()], lower)


def stem(word: str) -> str:
    """Return a word without its ending, American and British spellings alike.

    >>> [stem(word) for word in ("smoking", "smoked", "smoky", "odour", "ladies", "dripped")]
    ['smok', 'smok', 'smok', 'odor', 'lad', 'drip']
    """
    if word[:1].isdigit():
        return word
    if word in _IRREGULAR:
        return _bare(_IRREGULAR[word])
    for ending in ("ings", "ing", "ed", "es", "s"):
        if word.endswith(ending) and not word.endswith("ss"):
            cut = word[: -len(ending)]
            if len(cut) >= (2 if ending == "ing" else 3) and _VOWEL.search(cut):
                return _bare(cut)
    bare = _bare(word)
    return word if bare in NOT else bare  # `note` is no denial


def _bare(word: str) -> str:
    """Take off what still differs between the forms of a word: a final e, y or i, a double."""
    if len(word) > 4 and word.endswith("our"):
        return word[:-3] + "or"
    if len(word) > 3 and word[-1] in "eyi":
        word = word[:-1]
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "aeious":
        word = word[:-1]
    return word
