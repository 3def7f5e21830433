"""Reads a folder of record files into tables of text cells."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from clinic.columns import SUBJECTS, Subject
from clinic.imports.guards import (
    LARGEST_FOLDER_BYTES,
    FileBytes,
    FileFault,
    decoded,
    read_bytes,
)
from clinic.imports.places import Place, Remark
from clinic.imports.source import Source
from clinic.imports.table_file import read_table

_FILE_NAMES = tuple(subject.file_name for subject in SUBJECTS.values())
_OURS_TOO = ("data_dictionary.csv",)  # write_templates puts it beside the files


def read_folder(folder: Path) -> Source:
    """Every record file of the folder; what cannot be read is a fault of the source."""
    source = Source()
    present = [subject for subject in SUBJECTS.values() if _is_there(folder, subject)]
    if not present:
        names = ", ".join(_FILE_NAMES)
        said = "none of the record files found"
        source.faults.append(Remark(Place(folder.name), "", "", said, names, "folder_empty"))
    elif too_large := _too_large(folder, present):
        source.faults.append(too_large)
    else:
        read = [each for subject in present if (each := _read_file(folder, subject, source))]
        source.changed = lambda: [remark for each in read if (remark := each.changed())]
    source.warnings += _not_read(folder)
    return source


def _is_there(folder: Path, subject: Subject) -> bool:
    path = folder / subject.file_name
    return path.is_symlink() or path.exists()


def _read_file(folder: Path, subject: Subject, source: Source) -> FileBytes | None:
    try:
        found = read_bytes(folder / subject.file_name)
        source.digests[subject.file_name] = found.sha256
        read_table(subject, decoded(found.content), source)
    except FileFault as fault:
        source.lost[subject.name] = None
        place = Place(subject.file_name)
        source.faults.append(Remark(place, "", "", str(fault), code=fault.code))
        return None
    # The text is kept as cells from here on; the state alone tells of a later change.
    return FileBytes(found.path, b"", found.state)


def _too_large(folder: Path, present: list[Subject]) -> Remark | None:
    size = sum((folder / subject.file_name).lstat().st_size for subject in present)
    if size <= LARGEST_FOLDER_BYTES:
        return None
    said = (
        f"{size / 1e6:,.0f} MB; at most {LARGEST_FOLDER_BYTES / 1e6:,.0f} MB are loaded at once "
        "(setting): load it in parts, one folder for some of the clinics each"
    )
    return Remark(Place(folder.name), "", "", said, code="folder_large")


def _not_read(folder: Path) -> list[Remark]:
    """A misspelt file name must not pass in silence."""
    found = []
    for path in sorted(folder.glob("*.[cC][sS][vV]")):
        if path.name not in (*_FILE_NAMES, *_OURS_TOO):
            near = get_close_matches(path.name.lower(), _FILE_NAMES, 1)
            said = "not a record file, not read"
            said += f"; did you mean {near[0]}" if near else ""
            found.append(Remark(Place(path.name), "", "", said, code="file_unknown"))
    return found
