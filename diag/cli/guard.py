"""The last line of defence: whatever goes wrong in a command ends as one clear sentence."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from diag.model.phrasing import printable

CONTENT, USAGE = 1, 2
INTERRUPTED = 130  # what a shell expects of a program that Ctrl-C ended
TRACEBACK = "DIAG_TRACEBACK"  # set it to see where a fault in diag itself comes from


class WrongUse(Exception):
    """Say in one sentence how the command was used wrongly; the exit code is 2."""


class Left(Exception):
    """The user leaves in the middle of the questions; what to say then."""


def say(message: str) -> None:
    """Print a message for people to the error stream: wrapped on a terminal, else as it is.

    In a pipe each problem keeps its one line, as programs that read places in files expect.
    """
    if sys.stderr is None:
        return
    if sys.stderr.isatty():
        from diag.cli.terminal.screen import Screen

        Screen(sys.stderr, plain=True).say(message)
    else:
        print(printable(message), file=sys.stderr)


def explained(error: Exception) -> tuple[str, int]:
    """Return the sentence and the exit code for an error."""
    from diag.model.problem import ProblemsFound
    from diag.store import StoreError

    if isinstance(error, WrongUse):
        return str(error), USAGE
    if isinstance(error, ProblemsFound | StoreError | ValueError):
        return str(error), CONTENT
    if isinstance(error, OSError):
        name = printable(str(error.filename or ""), keep="")
        where = f"`{name}`" if name else "the input or output"
        return f"{where} cannot be used: {(error.strerror or str(error)).lower()}", CONTENT
    return (
        f"a fault in diag itself ({type(error).__name__}: {error}): set {TRACEBACK}=1 and run "
        "again to see where",
        CONTENT,
    )


@contextmanager
def guarded() -> Iterator[None]:
    """Turn what a command raises into a sentence and an exit code."""
    try:
        if sys.stdout is None:
            raise WrongUse("there is no output to write to; run it at a terminal or into a file")
        try:
            yield
        finally:
            _flush()
    except KeyboardInterrupt:
        say("\nstopped")
        raise SystemExit(INTERRUPTED) from None
    except EOFError:
        say("\nstopped: the input ended before the last question was answered")
        raise SystemExit(CONTENT) from None
    except Left as left:
        say(str(left))
        raise SystemExit(0) from None
    except BrokenPipeError:
        # The reader has gone, as with `| head`: close quietly, and spare Python's own flush.
        _spare_the_last_flush()
        raise SystemExit(0) from None
    except Exception as error:
        if os.environ.get(TRACEBACK):
            raise
        message, code = explained(error)
        say(message)
        raise SystemExit(code) from None


def _flush() -> None:
    """Write out what was printed; `OSError` with a name where it cannot be, as on a full disk."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        _spare_the_last_flush()
        raise OSError(error.errno, error.strerror, "standard output") from None


def _spare_the_last_flush() -> None:
    """Let Python's own flush at the end go nowhere, or it would fail once more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
