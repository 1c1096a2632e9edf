"""Words, prices and minutes as they are typed for a job."""

from __future__ import annotations

from diag.cli.guard import WrongUse
from diag.jobs.entries import PartUsed, Worked
from diag.jobs.report.prices import price_of
from diag.model.amounts import NotAnAmount, amount
from diag.model.quantity import UNITS

LONGEST_LABEL, LONGEST_TEXT = 200, 4000
MOST_MINUTES = 100_000
TIMES = ("min", "mins", "minute", "minutes", "h", "hour", "hours")


def words(text: str, what: str, longest: int = LONGEST_LABEL) -> str:
    """Return words as one line, with single blanks; `WrongUse` for none, or for too many.

    Bytes that are no text come out as marks of doubt, since no file could keep them.

    >>> words("  LIB-03\\n", "tag")
    'LIB-03'
    """
    clean = text.encode("utf-8", "surrogatepass").decode("utf-8", "replace")
    line = " ".join(clean.split())
    if not line:
        raise WrongUse(f"the {what} is empty: type some words, or leave it out")
    if len(line) > longest:
        raise WrongUse(f"the {what} is {len(line)} characters long: write at most {longest}")
    return line


def minutes(text: str) -> float:
    """Return minutes that were typed: `20`, `20 min`, `1.5 h`; `WrongUse` for what is none."""
    if not text.strip():
        raise WrongUse("type how long, such as `minutes 20`, and what was done behind it")
    try:
        found = amount(text, UNITS["min"]).si / 60
    except NotAnAmount as error:
        raise WrongUse(str(error)) from None
    if not 0 < found <= MOST_MINUTES:
        raise WrongUse(f"`{text[:20]}` is no time of work: type minutes, such as 20")
    return round(found, 2)


def part_and_price(text: str) -> tuple[str, str]:
    """Return a part's name and its price, as it stands at the end; empty where there is none.

    >>> part_and_price("fuel filter 12.50"), part_and_price("fuel filter 12,50 EUR")
    (('fuel filter', '12.50'), ('fuel filter', '12,50 EUR'))
    >>> part_and_price("relay 12 V"), part_and_price("hose")
    (('relay 12 V', ''), ('hose', ''))
    """
    parts = text.split()
    for count in (1, 2):
        price = " ".join(parts[-count:])
        if len(parts) > count and price_of(price) is not None:
            return " ".join(parts[:-count]), price
    return " ".join(parts), ""


def part_of(text: str, price: str | None = None, cause: str | None = None) -> PartUsed:
    """Return the part that was typed, its price behind it or by itself; `WrongUse` for neither."""
    if text.lower().startswith("of "):
        raise WrongUse(
            "to tell something, type `say` before it; `part NAME PRICE` is a part fitted"
        )
    typed = words(text, "part")
    name, said = (typed, words(price, "price")) if price else part_and_price(typed)
    if price and price_of(said) is None:
        raise WrongUse(f"`{said[:20]}` is no price: type a number, such as 12.50 or 12.50 EUR")
    return PartUsed(name, said, words(cause, "fault") if cause else "")


def worked(time: str, what: str = "") -> Worked:
    """Return the work that was typed: its minutes, and what was done; `WrongUse` for no time."""
    return Worked(minutes(time), words(what, "work") if what else "")


def worked_in(text: str) -> Worked:
    """Return the work of one line: minutes, or hours with their unit, then what was done.

    >>> worked_in("20 cleaned the grille"), worked_in("1.5 h").minutes
    (Worked(minutes=20.0, what='cleaned the grille'), 90.0)
    """
    first, _, rest = text.strip().partition(" ")
    second, _, more = rest.strip().partition(" ")
    if second.lower() in TIMES:
        return worked(f"{first} {second}", more)
    return worked(first, rest.strip())
