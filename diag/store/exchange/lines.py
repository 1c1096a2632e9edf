"""Bundles as JSON Lines (RFC 8259, one object a line): a first line that says what it is, then one
job or session a line."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import IO, Any

from diag.store.errors import StoreError
from diag.store.exchange.bundle import Bundle, bundle_as_data, bundle_from_data

FORMAT, VERSION = "diag jobs", 1
LONGEST_LINE = 64 * 2**20
"""Bytes of a line that are taken; a whole job is far shorter."""
MOST_DIGITS = 400
"""Digits of a whole number that are taken: beyond a float's range none means anything."""


def lines_of(bundles: Iterable[Bundle], count: int, *, people: bool = True) -> Iterator[str]:
    """Yield the lines of a file of so many bundles, each with its end."""
    yield _line({"format": FORMAT, "version": VERSION, "lines": count, "people": people})
    for bundle in bundles:
        yield _line(bundle_as_data(bundle))


def _line(data: dict[str, Any]) -> str:
    return json.dumps(data, allow_nan=False) + "\n"


def read_lines(file: IO[bytes], name: str) -> Iterator[tuple[int, Bundle | str]]:
    """Yield the number of each line with its bundle, or with a sentence on what is wrong with it.

    Raises `StoreError`, before anything is yielded, for a file that is none of ours or of a newer
    version.
    """
    said, number = _head(file.readline(LONGEST_LINE), name), 1
    found = 0
    while line := file.readline(LONGEST_LINE + 1):
        number += 1
        if len(line) > LONGEST_LINE:
            _skip(file, line)
            yield number, f"is longer than {LONGEST_LINE // 2**20} MB: it is left out"
        elif isinstance(one := _bundle(line, name), int):
            said += one
        elif line.strip():
            found += 1
            yield number, one
    if found < said:
        more = f", and {said - found - 1} more" if said - found > 1 else ""
        yield number + 1, f"is missing{more}: the file was cut off, ask for it again"


def _head(line: bytes, name: str) -> int:
    """Return how many lines a first line promises; `StoreError` where it is none that we know."""
    if not line:
        raise StoreError(f"`{name}` is empty: nothing is taken in")
    try:
        head = _plain(line.removeprefix(b"\xef\xbb\xbf"))
    except (ValueError, RecursionError):
        head = None
    if not isinstance(head, dict) or head.get("format") != FORMAT:
        raise StoreError(
            f"`{name}` is no file of exported jobs, its first line does not say so: nothing is "
            "taken in"
        )
    version, lines = head.get("version"), head.get("lines")
    if version != VERSION:
        newer = type(version) is int and version > VERSION
        raise StoreError(
            f"`{name}` was written by {'a newer' if newer else 'another'} version (its format is "
            f"{str(version)[:10]}, this version knows {VERSION}): "
            f"{'update this program' if newer else 'ask for it again'}; nothing is taken in"
        )
    return lines if type(lines) is int and lines > 0 else 0


def _bundle(line: bytes, name: str) -> Bundle | str | int:
    """Return what a line holds, or what is wrong with it; the number of lines that a head says."""
    try:
        data = _plain(line)
        if isinstance(data, dict) and data.get("format") == FORMAT:
            return _head(line, name)
        return bundle_from_data(data)
    except RecursionError:
        return "is nested too deeply: it is left out"
    except ValueError as error:
        if not line.endswith(b"\n"):
            return "is cut off, the file ends in the middle of it: ask for it again"
        if isinstance(error, json.JSONDecodeError | UnicodeDecodeError):
            return "is no JSON: it is left out"
        return f"is no job ({error}): it is left out"


def _plain(line: bytes) -> Any:
    return json.loads(line.decode("utf-8"), parse_constant=_refused, parse_int=_whole)


def _whole(digits: str) -> int:
    if len(digits) > MOST_DIGITS:
        raise ValueError(f"a number of {len(digits)} digits is none of ours")
    return int(digits)


def _refused(word: str) -> Any:
    raise ValueError(f"`{word}` is no number")


def _skip(file: IO[bytes], line: bytes) -> None:
    """Read on to the end of a line that is too long."""
    while line and not line.endswith(b"\n"):
        line = file.readline(LONGEST_LINE)
