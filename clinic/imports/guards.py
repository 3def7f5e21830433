"""What a file must be before a single cell of it is read: our CSV, UTF-8, no link, no workbook."""

from __future__ import annotations

import hashlib
import os
import stat
from dataclasses import dataclass
from pathlib import Path

from clinic.imports.places import Place, Remark

LARGEST_FOLDER_BYTES = 500_000_000  # setting: what is held in memory at once (ours)

_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # the newer and the older kind


class FileFault(Exception):
    """The file as a whole cannot be read."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code


@dataclass(frozen=True)
class FileBytes:
    """A file's content, what it was like when it was read, and its digest."""

    path: Path
    content: bytes
    state: tuple[int, int, int]

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.content).hexdigest()

    def changed(self) -> Remark | None:
        try:
            same = _state(os.lstat(self.path)) == self.state
        except OSError:
            same = False
        return None if same else changed_remark(self.path.name)


def changed_remark(name: str) -> Remark:
    return Remark(Place(name), "", "", "changed while it was read, try again", code="file_changed")


def _state(found: os.stat_result) -> tuple[int, int, int]:
    return found.st_ino, found.st_size, found.st_mtime_ns


def read_bytes(path: Path) -> FileBytes:
    """The file's bytes; a link is never followed, so that no other file is quoted."""
    before = os.lstat(path)
    if stat.S_ISLNK(before.st_mode):
        raise FileFault("file_link", f"{path.name} is a link; copy the file itself")
    if not stat.S_ISREG(before.st_mode):
        raise FileFault("file_kind", "not an ordinary file")
    with os.fdopen(os.open(path, os.O_RDONLY | os.O_NOFOLLOW), "rb") as file:
        content = file.read()
        after = os.fstat(file.fileno())
    if _state(after) != _state(before) or len(content) != after.st_size:
        raise FileFault("file_changed", "changed while it was read, try again")
    return FileBytes(path, content, _state(after))


def decoded(content: bytes) -> str:
    """The text; a byte that is no UTF-8 is carried along, and told at its cell."""
    if content.startswith(_UTF16):
        raise FileFault("file_utf16", "UTF-16; save as CSV UTF-8")
    if content.startswith(_WORKBOOKS):
        raise FileFault("file_workbook", "a spreadsheet workbook; export it as CSV UTF-8")
    text = content.decode("utf-8", "surrogateescape").removeprefix("\ufeff")
    if not text.strip("\r\n"):
        raise FileFault("file_empty", "no header row")
    if text[:200].count("\x00") > 20:
        raise FileFault("file_utf16", "UTF-16 without its mark; save as CSV UTF-8")
    return text
