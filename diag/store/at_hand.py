"""What was last said to be at hand, kept for the next session in a file of its own."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from diag.store.errors import told_plainly


def keep_at_hand(path: Path, said: dict[str, Any]) -> None:
    """Keep plain data in a file, whole or not at all; `StoreError` when the disk refuses."""
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    with told_plainly(path):
        try:
            fresh.write_text(json.dumps(said), encoding="utf-8")
            fresh.replace(path)
        finally:
            fresh.unlink(missing_ok=True)


def kept_at_hand(path: Path) -> dict[str, Any]:
    """Return what was kept; nothing where there is no file, or one that cannot be read."""
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return data if isinstance(data, dict) else {}
