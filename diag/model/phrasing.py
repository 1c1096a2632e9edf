"""Words as they stand in sentences, names as people may write them, texts made harmless."""

from __future__ import annotations

from collections.abc import Iterable


def capital(text: str) -> str:
    """Return a text with its first letter as a capital.

    >>> capital("no tea")
    'No tea'
    """
    return text[:1].upper() + text[1:]


def small(title: str) -> str:
    """Return a title as it stands within a sentence.

    >>> small("Worn tyre")
    'worn tyre'
    """
    return title[:1].lower() + title[1:]


def in_a_row(names: Iterable[str], last: str = "and") -> str:
    """Return names in a row, with a word before the last.

    >>> in_a_row(["hub", "rim", "tyre"]), in_a_row(["hub"])
    ('hub, rim and tyre', 'hub')
    """
    each = list(names)
    if len(each) < 2:
        return "".join(each)
    return f"{', '.join(each[:-1])} {last} {each[-1]}"


def plain_name(name: str) -> str:
    """Return a name as it is compared: capitals, hyphens and spare blanks do not matter.

    >>> plain_name(" Worn-Tyre ")
    'worn tyre'
    """
    return " ".join(name.lower().replace("-", " ").split())


def printable(text: str, keep: str = "\n") -> str:
    r"""Return the text with every control character written out, but those in `keep`.

    >>> printable("red\x1b[31m")
    'red\\x1b[31m'
    """
    return "".join(
        each if each in keep or each.isprintable() else ascii(each)[1:-1] for each in text
    )
