"""Rows as the checks see them, and what a check says: which rows, which fields, what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Any

from clinic.columns import SUBJECTS
from clinic.reading import day_text


@dataclass(eq=False, slots=True)
class CheckRow:
    """One row, stored or about to be: its values (its parents' names among them) and its place."""

    subject: str
    values: dict[str, Any]
    where: Any = None  # the caller's own: a place in a file, a stored row
    changed: bool = True  # about to be written; what concerns stored rows alone is not told again

    def __getitem__(self, name: str) -> Any:
        return self.values.get(name)

    @property
    def name(self) -> str:
        """How a message calls it: "peritonitis episode E1", "PD spell of 5 Feb 2024"."""
        subject = SUBJECTS[self.subject]
        if self.subject == "patients":
            return f"patient {self['patient']}"
        keys = [self[column.name] for column in subject.key_columns]
        said = ", ".join(_said(key) for key in keys if key not in ("", None))
        of = "of " if isinstance(keys[0], date) else ""
        return f"{subject.one} {of}{said}"


def _said(key: Any) -> str:
    if isinstance(key, datetime):
        return key.isoformat(timespec="minutes")
    return day_text(key) if isinstance(key, date) else str(key)


# Rows of one patient by subject, as in clinic.columns.
PatientRows = Mapping[str, Sequence[CheckRow]]


@dataclass(frozen=True, slots=True)
class Mark:
    """One field of one row that a finding is about."""

    row: CheckRow
    field: str

    @property
    def value(self) -> Any:
        return self.row[self.field]


@dataclass(frozen=True, slots=True)
class Finding:
    """A fault (nothing is stored) or a warning (stored and listed until somebody settles it)."""

    code: str
    sentence: str
    marks: tuple[Mark, ...]
    fault: bool = True
    allowed: str = ""


def fault(code: str, sentence: str, *marks: tuple[CheckRow, str], allowed: str = "") -> Finding:
    return Finding(code, sentence, tuple(Mark(*mark) for mark in marks), True, allowed)


def warning(code: str, sentence: str, *marks: tuple[CheckRow, str]) -> Finding:
    return Finding(code, sentence, tuple(Mark(*mark) for mark in marks), False)


def local_day(value: date | datetime, zone: tzinfo) -> date:
    return value.astimezone(zone).date() if isinstance(value, datetime) else value


def samples_of(rows: PatientRows, episode: str) -> list[CheckRow]:
    return [row for row in rows.get("effluent_samples", ()) if row["episode"] == episode]


def onset(episode: CheckRow, rows: PatientRows, zone: tzinfo) -> date | None:
    """Day of onset: as recorded, else of presentation, else of the earliest sample (design 2)."""
    if episode["onset_on"]:
        return episode["onset_on"]
    if episode["presented_at"]:
        return local_day(episode["presented_at"], zone)
    drawn = [sample["collected_at"] for sample in samples_of(rows, episode["episode"])]
    known = [moment for moment in drawn if moment]
    return local_day(min(known), zone) if known else None


def onsets(rows: PatientRows, zone: tzinfo) -> list[tuple[date, CheckRow]]:
    """Peritonitis episodes with their day of onset, in order; one without any is left out."""
    found = [(onset(row, rows, zone), row) for row in rows.get("peritonitis", ())]
    known = [(day, row) for day, row in found if day]
    return sorted(known, key=lambda pair: (pair[0], pair[1]["episode"]))


def by_day(rows: Iterable[CheckRow], name: str) -> list[CheckRow]:
    """In order of that day; a row whose day could not be read is told elsewhere, and left out."""
    return sorted((row for row in rows if row[name]), key=lambda row: row[name])
