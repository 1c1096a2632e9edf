"""Where the program looks for the user's data and for the rules that it ships."""

from pathlib import Path

import pytest

from diag.cli import places


def test_home_is_overridden(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """`DIAG_HOME` moves everything that the user owns."""
    monkeypatch.setenv("DIAG_HOME", str(tmp_path))
    assert (tmp_path / "sessions.db", tmp_path / "rules", tmp_path / "units") == (
        places.sessions_file(),
        places.user_rules(),
        places.user_units(),
    )


def test_home_by_default(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without `DIAG_HOME` the folder is the one that the system gives to programs."""
    import typer

    monkeypatch.delenv("DIAG_HOME", raising=False)
    assert Path(typer.get_app_dir("diag")) == places.data_folder()


def test_shipped_rules_are_found() -> None:
    """The shipped rules are found, in a checkout as when installed, and hold the scales."""
    assert (places.shipped_rules() / "scales.yaml").is_file()
