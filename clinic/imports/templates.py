"""Empty record files and the data dictionary, both written from clinic.columns."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from clinic.columns import SUBJECTS, file_columns
from clinic.imports.cells import csv_line
from clinic.imports.source import ALL_COLUMNS

DICTIONARY_COLUMNS = ("file", "column", "key", "required", "kind", "unit", "allowed", "meaning")


def dictionary_rows() -> Iterator[tuple[str, ...]]:
    """One row a column of a record file, in the order of the files and their headers."""
    for name, subject in SUBJECTS.items():
        for column in ALL_COLUMNS[name].values():
            yield (
                subject.file_name,
                column.name,
                "yes" if column.key else "no",
                "yes" if column.required else "no",
                column.kind,
                column.unit,
                column.allowed,
                column.meaning,
            )


def files() -> dict[str, str]:
    """Name and content of everything that write_templates writes."""
    rows = list(dictionary_rows())
    made = {subject.file_name: csv_line(file_columns(subject)) for subject in SUBJECTS.values()}
    made["data_dictionary.csv"] = "".join(map(csv_line, (DICTIONARY_COLUMNS, *rows)))
    made["data_dictionary.md"] = _markdown(rows)
    return made


def write_templates(folder: Path) -> list[Path]:
    """Refuses to write over anything: a filled file may lie there."""
    made = files()
    there = [name for name in made if (folder / name).exists()]
    if there:
        raise FileExistsError(f"{', '.join(there)} already in {folder}")
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in made.items():
        (folder / name).write_text(content, encoding="utf-8", newline="")
    return [folder / name for name in made]


_INTRODUCTION = """# Data dictionary of the record files

A folder of CSV files, UTF-8, with a header row. An empty cell is unknown, and erases nothing that
is known. A column that is neither a key nor required may be absent. Days are YYYY-MM-DD; a moment
without offset is clinic time.
"""


def _markdown(rows: list[tuple[str, ...]]) -> str:
    parts = [_INTRODUCTION]
    for subject in SUBJECTS.values():
        parts.append(f"\n## {subject.file_name}\n\nOne row a {subject.one}.\n")
        parts.append(
            "| column | key | required | allowed | unit | meaning |\n|---|---|---|---|---|---|"
        )
        parts += [
            f"| `{column}` | {key} | {required} | {allowed} | {unit} | {meaning} |"
            for file, column, key, required, _, unit, allowed, meaning in rows
            if file == subject.file_name
        ]
    return "\n".join(parts) + "\n"
