"""What people say, heard by phrases and by votes: denials kept, and always to be read back."""

from diag.session.hearing.asked import answers
from diag.session.hearing.dangers import (
    HeardDanger,
    Told,
    danger_phrases,
    hear_dangers,
    told_of,
)
from diag.session.hearing.hear import Ear, HeardFact, Hearing, hear
from diag.session.hearing.listening import Match
from diag.session.hearing.table import PhraseTable

__all__ = [
    "Ear",
    "HeardDanger",
    "HeardFact",
    "Hearing",
    "Match",
    "PhraseTable",
    "Told",
    "answers",
    "danger_phrases",
    "hear",
    "hear_dangers",
    "told_of",
]
