"""Fault diagnosis by forward-chaining rules, as a command and as a library.

As a library it runs any rulebook, here one about bread:

>>> from diag import Session, load_rules
>>> session = Session(load_rules("tests/books/bread"), complaint="does not rise")
>>> session.question.text
'Does it smell of gas?'
>>> session.answer("no")
>>> session.events[-1]["finding"], session.events[-1]["value"]
('smell of gas', 'no')
>>> Session.resume(session.rulebook, session.events).question == session.question
True

It touches no collector of dead circles, clock, environment or file but the folders it is given.
The names are fetched when they are first used, so that to import the package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from diag.library.question import Question
    from diag.library.rules import load_rules
    from diag.library.session import Session
    from diag.library.standing import Standing
    from diag.model.problem import Problem, ProblemsFound
    from diag.session.slips import NotUnderstood

__version__ = "0.1.0"

__all__ = [
    "NotUnderstood",
    "Problem",
    "ProblemsFound",
    "Question",
    "Session",
    "Standing",
    "__version__",
    "load_rules",
]

_HOMES = {
    "NotUnderstood": "diag.session.controller",
    "Problem": "diag.model.problem",
    "ProblemsFound": "diag.model.problem",
    "Question": "diag.library.question",
    "Session": "diag.library.session",
    "Standing": "diag.library.standing",
    "load_rules": "diag.library.rules",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module `{__name__}` has no `{name}`")
    return getattr(import_module(_HOMES[name]), name)
