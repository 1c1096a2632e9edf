"""Where things lie: the user's data folder, and the rules that come with the program."""

from __future__ import annotations

import os
from pathlib import Path

from diag.cli.guard import WrongUse

HOME = "DIAG_HOME"


def path_of(typed: str) -> Path:
    """Return the path that was typed; a `~` that stands for no folder is left as it is."""
    return Path(os.path.expanduser(typed))


def new_file(typed: str) -> Path:
    """Return the path of a file that is to be written; `WrongUse` where none can be."""
    path = path_of(typed)
    if not typed or path.is_dir():
        raise WrongUse(f"`{typed[:200]}` is a folder: name the file to write")
    if not path.parent.is_dir():
        raise WrongUse(
            f"there is no folder `{path.parent}` to write `{path.name}` in: make it, or name "
            "another"
        )
    return path


def data_folder() -> Path:
    """Return the user's data folder, `DIAG_HOME` if that is set; it need not exist yet.

    Raises `WrongUse` where `~` stands for no folder.
    """
    named = os.environ.get(HOME)
    if not named:
        import typer

        named = typer.get_app_dir("diag")
    if os.path.expanduser(named).startswith("~"):
        raise WrongUse(f"`{named[:60]}` has no home folder to begin with; set {HOME} to a folder")
    return path_of(named)


def sessions_file() -> Path:
    """Return the file that keeps the sessions."""
    return data_folder() / "sessions.db"


def history_file(session: str) -> Path:
    """Return the file that keeps what was typed at the keyboard in a session."""
    return data_folder() / "history" / session


def at_hand_file() -> Path:
    """Return the file that keeps who works at this bench, where and with what."""
    return data_folder() / "at-hand.json"


def settings_file() -> Path:
    """Return the file that keeps what this workshop has set, as its currency."""
    return data_folder() / "settings.json"


def user_rules() -> Path:
    """Return the folder of the workshop's own rules, loaded on top of the shipped ones."""
    return data_folder() / "rules"


def user_units() -> Path:
    """Return the folder of the workshop's own unit files."""
    return data_folder() / "units"


def shipped_rules() -> Path:
    """Return the folder of rules that come with the program.

    Installed from a wheel they lie inside the package; in a checkout, beside it. Raises
    `FileNotFoundError` when neither is there.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "rules", package.parent / "rules"):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(
        2, "no rules came with this installation, install it again", str(package / "rules")
    )
