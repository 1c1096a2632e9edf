"""`diag jobs currency`: in what prices are meant that name no currency themselves."""

from __future__ import annotations

from diag.cli.guard import WrongUse
from diag.cli.places import settings_file
from diag.cli.terminal.screen import Screen
from diag.jobs.report.prices import is_currency, price_of
from diag.store.at_hand import keep_at_hand, kept_at_hand

SETTING = "currency"


def currency() -> str:
    """Return the currency that was set; empty where none was."""
    said = kept_at_hand(settings_file()).get(SETTING, "")
    return said if isinstance(said, str) and said and is_currency(said) else ""


def in_currency(price: str) -> str:
    """Return a price as it was typed, with the currency behind it where it names none itself."""
    found = price_of(price)
    return f"{price} {currency()}".rstrip() if found is not None and not found.currency else price


def run_currency(name: str | None) -> int:
    """Run the command; return the exit code."""
    screen = Screen()
    if name is not None:
        if not (name and is_currency(name)):
            raise WrongUse(
                f"`{name[:20]}` is no currency: type its sign, or its code of three capital "
                "letters, such as EUR"
            )
        path = settings_file()
        path.parent.mkdir(parents=True, exist_ok=True)
        keep_at_hand(path, {**kept_at_hand(path), SETTING: name})
    said = currency()
    screen.say(
        f"Prices that name no currency are in {said}."
        if said
        else "No currency is set; `diag jobs currency EUR`, say, sets it."
    )
    return 0
