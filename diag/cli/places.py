"""Where things lie: the user's data folder, and the rules that come with the program."""

from __future__ import annotations

import os
from pathlib import Path

HOME = "DIAG_HOME"


def data_folder() -> Path:
    """Return the user's data folder, `DIAG_HOME` if that is set; it need not exist yet."""
    named = os.environ.get(HOME)
    if named:
        return Path(named).expanduser()
    import typer

    return Path(typer.get_app_dir("diag"))


def sessions_file() -> Path:
    """Return the file that keeps the sessions."""
    return data_folder() / "sessions.db"


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
