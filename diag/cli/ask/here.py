"""Who works where, and with what: asked once, kept for the next session, told and changed."""

from __future__ import annotations

from diag.cli.guard import WrongUse
from diag.cli.places import at_hand_file
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Source, at_keyboard
from diag.model.rulebook import Rulebook
from diag.model.work import most_wanted
from diag.session.candidates import candidate_checks
from diag.session.journal.events import Equipped, as_record, from_record
from diag.session.offer.reach import AtHand
from diag.session.offer.words import begin
from diag.session.slips import NotUnderstood
from diag.session.state import SessionState
from diag.store.at_hand import keep_at_hand, kept_at_hand

QUESTION = "Who works on it, where, and with what? It is kept; `here` and `tools` change it."


def at_the_start(
    book: Rulebook, profile: str | None, without: str | None, screen: Screen, source: Source
) -> Equipped | None:
    """Return what is at hand: as the options say, as it was kept, or as it is picked.

    None where everything is: nothing was said, and nobody is at a keyboard to be asked. Raises
    `WrongUse` for a name that there is not, `EOFError` where the question is left.
    """
    said = told_by_options(book, profile, without)
    if said is not None:
        keep(said)
        return said
    return _kept(book) or _picked(book, screen, source)


def told_by_options(book: Rulebook, profile: str | None, without: str | None) -> Equipped | None:
    """Return what is at hand as the options say, None where they say nothing.

    Raises `WrongUse` for a name that there is not.
    """
    if not (profile or without):
        return None
    kept = "" if profile else _kept_profile(book)
    try:
        return begin(book, profile or kept, without or "")
    except NotUnderstood as error:
        raise WrongUse(str(error)) from None


def _kept(book: Rulebook) -> Equipped | None:
    event = from_record("equipped", kept_at_hand(at_hand_file()))
    known = isinstance(event, Equipped) and event.profile in ("", *book.profiles)
    return event if isinstance(event, Equipped) and known else None


def _kept_profile(book: Rulebook) -> str:
    kept = _kept(book)
    return kept.profile if kept else ""


def _picked(book: Rulebook, screen: Screen, source: Source) -> Equipped | None:
    if not book.profiles or not at_keyboard():
        return None
    titles = {name: one.title for name, one in book.profiles.items()}

    def named(text: str) -> str:
        try:
            return begin(book, text).profile
        except NotUnderstood as error:
            raise WrongUse(str(error)) from None

    name = pick(screen, source, QUESTION, titles, named)
    if name is None:
        raise EOFError
    said = begin(book, name)
    keep(said)
    return said


def keep(said: Equipped) -> None:
    """Keep what is at hand as the default of this bench."""
    at_hand_file().parent.mkdir(parents=True, exist_ok=True)
    keep_at_hand(at_hand_file(), as_record(said)[1])


def need_something_to_ask(state: SessionState) -> None:
    """Raise `WrongUse` where nothing can be asked with what is at hand; say what would help."""
    if state.reach.is_known and not candidate_checks(state):
        raise WrongUse(_nothing(state.rulebook, state.reach))


def _nothing(book: Rulebook, reach: AtHand) -> str:
    most = most_wanted(reach.here, book.checks.values())
    helps = f"; `{most}` would help most" if most else ""
    return f"with what is at hand nothing more can be asked{helps}"


def show_here(screen: Screen, state: SessionState) -> None:
    """Say in a line who works where, and which tools that checks name are not there."""
    book, here = state.rulebook, state.reach.here
    away = [tool for tool in book.tools if tool not in here.tools]
    tools = "all tools"
    if away:
        tools = f"without {', '.join(away)}" if len(away) <= len(here.tools) else "with "
        tools += "" if len(away) <= len(here.tools) else ", ".join(here.tools) or "no tools"
    screen.say(f"Here: {here.title}; {tools}.")


def show_tools(screen: Screen, state: SessionState) -> None:
    """Say who works where, with which tools, and how many checks wait for what is not here."""
    show_here(screen, state)
    here, counts = state.reach.here, dict[str, int]()
    for check in state.rulebook.checks.values():
        missing = {*here.lacks(check), *(check.needed_for.keys() - set(here.tools))}
        for name in missing if state.reach.is_known else ():
            counts[name] = counts.get(name, 0) + 1
    rows = sorted(counts.items(), key=lambda one: (-one[1], one[0]))
    if rows:
        screen.say("What waits for something that is not here:")
        screen.table((name, f"{n} check{'' if n == 1 else 's'}") for name, n in rows)
    for name, profile in state.rulebook.profiles.items():
        screen.item(f"here {name}", profile.title, width=16)


def show_change(screen: Screen, state: SessionState) -> None:
    """Say what is at hand now, and where nothing can be asked with it."""
    show_here(screen, state)
    if not candidate_checks(state):
        screen.say(f"{_nothing(state.rulebook, state.reach).capitalize()}.")
