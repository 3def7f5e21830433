"""The embedded broker's files: a message that was taken is kept for a while, then removed."""

from __future__ import annotations

import time
from pathlib import Path

from django.conf import settings

KEPT_SECONDS = 3600  # long enough to look at, short enough to fill no disk


def prune_taken(folder: Path = settings.QUEUE_DIR / "processed") -> int:
    """Remove taken messages of more than an hour ago; how many went."""
    before = time.time() - KEPT_SECONDS
    old = [path for path in folder.glob("*.msg") if _changed_at(path) < before]
    for path in old:
        path.unlink(missing_ok=True)  # another sweep may have been quicker
    return len(old)


def _changed_at(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return time.time()
