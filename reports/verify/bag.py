"""Opens a report's bag and names every file that is not as its maker left it."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass

from reports.writers.bag import MANIFEST, TAG_MANIFEST, zip_bytes

PAYLOAD = "data/"


class NoBag(ValueError):
    """The file is no bag at all; the sentence says why."""


@dataclass(frozen=True)
class Bag:
    """The files by path inside the bag's folder, and what is wrong with them."""

    name: str
    files: dict[str, bytes]
    faults: list[str]


def open_bag(content: bytes) -> Bag:
    """Every fault is named; the files are given even so, that the figures can still be counted."""
    name, files, faults = _unpacked(content)
    for manifest, inside in ((MANIFEST, True), (TAG_MANIFEST, False)):
        faults += _against(files, manifest, inside)
    if (
        not faults
        and zip_bytes({f"{name}/{path}": held for path, held in files.items()}) != content
    ):
        faults.append(_where_it_differs(name, files, content))
    return Bag(name, files, faults)


def _unpacked(content: bytes) -> tuple[str, dict[str, bytes], list[str]]:
    try:
        archive = zipfile.ZipFile(io.BytesIO(content))
    except (zipfile.BadZipFile, OSError, ValueError) as fault:
        raise NoBag(f"no ZIP that can be opened: {fault}") from None
    files: dict[str, bytes] = {}
    faults: list[str] = []
    for entry in archive.infolist():
        try:
            files[entry.filename] = archive.read(entry)
        except (
            zipfile.BadZipFile,
            NotImplementedError,
            OSError,
            RuntimeError,
            ValueError,
        ) as fault:
            faults.append(f"{entry.filename}: cannot be read ({fault})")
    name = next((path.partition("/")[0] for path in files), "")
    if not any(path.endswith(MANIFEST) for path in files):
        faults.append(f"{MANIFEST}: not there")
    return name, {path.partition("/")[2]: held for path, held in files.items()}, faults


def _against(files: dict[str, bytes], manifest: str, payload: bool) -> Iterator[str]:
    """What the manifest says and what is there, both ways."""
    if manifest not in files:
        yield f"{manifest}: not there"
        return
    said = dict(_lines(files[manifest]))
    for path, digest in said.items():
        if path not in files:
            yield f"{path}: named in {manifest}, and not there"
        elif hashlib.sha256(files[path]).hexdigest() != digest:
            yield f"{path}: its SHA-256 is not the one in {manifest}"
    own = [path for path in files if path.startswith(PAYLOAD) == payload and path != TAG_MANIFEST]
    yield from (f"{path}: not named in {manifest}" for path in own if path not in said)


def _lines(content: bytes) -> Iterator[tuple[str, str]]:
    """Path and digest of each line; a line that is none is a path that will not be found."""
    for line in content.decode(errors="replace").splitlines():
        digest, _, path = line.partition("  ")
        yield path or line, digest


def _where_it_differs(name: str, files: dict[str, bytes], content: bytes) -> str:
    """Every file is whole, and yet the ZIP around them is not as we write it."""
    made = zip_bytes({f"{name}/{path}": held for path, held in files.items()})
    pairs = zip(content, made, strict=False)
    place = next((at for at, (one, other) in enumerate(pairs) if one != other), len(made))
    return f"the ZIP itself: byte {place} of {len(content)} is not as it was written"
