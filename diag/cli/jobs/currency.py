"""`diag jobs currency`: in what prices are meant that name no currency themselves."""

from __future__ import annotations

from diag.cli.guard import WrongUse
from diag.cli.jobs.typed import is_currency, is_price
from diag.cli.places import settings_file
from diag.cli.terminal.screen import Screen
from diag.store.at_hand import keep_at_hand, kept_at_hand

SETTING = "currency"


def currency() -> str:
    """Return the currency that was set; empty where none was."""
    said = kept_at_hand(settings_file()).get(SETTING, "")
    return said if isinstance(said, str) and is_currency(said) else ""


def in_currency(price: str) -> str:
    """Return a price as it was typed, with the currency behind it where it names none itself."""
    bare = is_price([price]) and price.isascii()
    return f"{price} {currency()}".rstrip() if bare else price


def run_currency(name: str | None) -> int:
    """Run the command; return the exit code."""
    screen = Screen()
    if name is not None:
        if not is_currency(name):
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
