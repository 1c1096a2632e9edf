"""A sum kept with each row: SQLite tells a damaged page, but not a letter changed in a text."""

from __future__ import annotations

from zlib import crc32

NOTHING = "\x00"


def sum_of(*values: object) -> int:
    """Return the CRC-32 of a row's values; it differs wherever a single bit of one does.

    >>> sum_of("noted", None) == sum_of("noted", "")
    False
    """
    texts = (NOTHING if each is None else str(each) for each in values)
    return crc32("\x1f".join(texts).encode("utf-8", "surrogatepass"))
