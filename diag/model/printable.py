"""Text from files and people, made harmless for a terminal."""


def printable(text: str, keep: str = "\n") -> str:
    r"""Return the text with every control character written out, but those in `keep`.

    >>> printable("red\x1b[31m")
    'red\\x1b[31m'
    """
    return "".join(
        each if each in keep or each.isprintable() else ascii(each)[1:-1] for each in text
    )
