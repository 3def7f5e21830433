"""Taken messages are removed after an hour, others stay."""

import os
import time
from pathlib import Path

from surveillance.queue_files import KEPT_SECONDS, prune_taken


def test_only_old_messages_are_removed(tmp_path: Path) -> None:
    old, fresh, other = tmp_path / "1.msg", tmp_path / "2.msg", tmp_path / "notes.txt"
    for path in (old, fresh, other):
        path.touch()
    for path in (old, other):
        os.utime(path, (0, time.time() - KEPT_SECONDS - 1))
    assert prune_taken(tmp_path) == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["2.msg", "notes.txt"]


def test_a_folder_that_is_not_there_has_none(tmp_path: Path) -> None:
    assert prune_taken(tmp_path / "none") == 0
