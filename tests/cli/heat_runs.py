"""How the tests run `diag heat`: on a command line, for its JSON, or answering its questions."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from typer.testing import CliRunner, Result

from diag.cli.app import app


def run(*arguments: str, text: str | None = None) -> Result:
    """Run `diag heat` with these words, and `text` on standard input."""
    return CliRunner().invoke(app, ["heat", *arguments], input=text)


def told_object(*arguments: str) -> dict[str, Any]:
    """Return the object that it prints as JSON."""
    result = run(*arguments, "--json")
    assert 0 == result.exit_code, result.output
    parsed: dict[str, Any] = json.loads(result.stdout)
    return parsed


def answering(*answers: str) -> Callable[[str], str]:
    """Return who answers its questions with these, one after another."""
    waiting = list(answers)
    return lambda question: waiting.pop(0)
